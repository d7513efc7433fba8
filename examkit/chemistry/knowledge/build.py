"""Build the records from the files: shape first, then records, then the checks that need the whole base."""

from pydantic import TypeAdapter, ValidationError

from examkit.chemistry import formula
from examkit.chemistry.errors import FormulaError
from examkit.chemistry.knowledge import check, constants, model, operations, shapes, sources
from examkit.chemistry.knowledge.read import read
from examkit.chemistry.knowledge.schemes import MarkSchemeFile, SchemeFile, scheme

FOLDERS = (
    ("sources/", shapes.SourceFile),
    ("ions/", shapes.IonFile),
    ("salts/", shapes.SaltFile),
    ("tests/", shapes.TestFile),
    ("reagents/", shapes.ReagentFile),
    ("schemes/", SchemeFile),
    ("marking/", MarkSchemeFile),
    ("words/colours.yaml", list[shapes.ColourShape]),
    ("refusals.yaml", list[shapes.RefusalShape]),
    ("constants/", constants.ConstantsFile),
)
FREE = ("words/", "hazards.yaml", "labels.yaml", "waste.yaml")  # shapes are the reader's, the printer's


def build(files, edition):
    """The Knowledge of these files, and all problems found (then the base is not to be used)."""
    documents = [read(content.decode("utf-8", "replace"), name) for name, content in files.items()]
    problems = [problem for document in documents for problem in document.problems]
    shaped, by_folder = [], {}
    for document in documents:
        value, wrong = shaped_file(document)
        problems += wrong
        if value is not None:
            folder = _folder(document.file)
            by_folder.setdefault(folder, []).append((document, value))
            shaped.append((document, value))
    base, wrong = _records(by_folder, edition)
    problems += wrong
    problems += check.check(base, by_folder, {_folder(problem.file) for problem in problems})
    return base, problems


def _folder(file):
    for prefix, _shape_of in FOLDERS:
        if file.startswith(prefix):
            return prefix
    return next((prefix for prefix in FREE if file.startswith(prefix)), "")


def shaped_file(document):
    """The validated content of one file, or its problems with their lines."""
    folder = _folder(document.file)
    if folder == "" or document.problems:
        what = (
            ()
            if document.problems
            else (document.problem((), "this file belongs to no folder that is read."),)
        )
        return None, what
    kind = dict(FOLDERS).get(folder)
    if kind is None:
        return document.data, ()
    try:
        return TypeAdapter(kind).validate_python(document.data), ()
    except ValidationError as error:
        return None, [explained(document, item) for item in error.errors()]


def explained(document, item):
    """A pydantic error as a problem in the reader's words."""
    path = tuple(step for step in item["loc"] if not (isinstance(step, str) and step.startswith("function-")))
    if item["type"] == "extra_forbidden":
        return document.problem(
            path, f"the key '{path[-1]}' is not known here.", "See shared/README.md for the keys."
        )
    if item["type"] == "missing":
        source = path and str(path[-1]).endswith("source")
        return document.problem(
            path,
            f"the key '{path[-1]}' is missing.",
            "A fact without a source cannot be loaded: cite a key of sources/." if source else "",
        )
    return document.problem(path, f"{item['msg'][0].lower()}{item['msg'][1:]}, not {item['input']!r:.60}.")


def _records(by_folder, edition):
    problems = []

    def gather(folder, key, make):
        result, seen = {}, {}
        for document, value in by_folder.get(folder, ()):
            for path, name, item in key(value):
                if name in result:
                    problems.append(
                        document.problem(path, f"'{name}' stands in {seen[name]} too.", "Keep one.")
                    )
                    continue
                try:
                    result[name], seen[name] = make(item), document.file
                except FormulaError as error:
                    problems.append(document.problem(path, str(error)))
        return result

    def one(attribute):
        return lambda value: [((attribute,), getattr(value, attribute), value)]

    def many(attribute, inner):
        return lambda value: [
            ((attribute, i, inner), getattr(x, inner), x) for i, x in enumerate(getattr(value, attribute))
        ]

    hazards = dict(_free(by_folder, "hazards.yaml"))
    base = model.Knowledge(
        edition=edition,
        sources=gather("sources/", one("key"), lambda s: model.Source(s.key, s.cite, s.kind)),
        colours=gather(
            "words/colours.yaml", lambda rows: [((i, "word"), r.word, r) for i, r in enumerate(rows)], _colour
        ),
        ions=gather("ions/", one("ion"), _ion),
        salts=gather("salts/", many("salts", "formula"), salt_record),
        tests=gather("tests/", one("test"), _test),
        reagents=gather("reagents/", one("key"), reagent_record),
        schemes=gather("schemes/", one("scheme"), scheme),
        mark_schemes=gather("marking/", one("mark_scheme"), lambda m: m.model_dump()),
        refusals=tuple(
            model.Refusal(r.cation, r.anion, r.reason, _cites(r.source), r.salt, tuple(r.names),
                          tuple(map(tuple, r.together)))
            for _document, rows in by_folder.get("refusals.yaml", ())
            for r in rows
        ),
        statements=hazards.get("statements", {}),
        hazard_classes=hazards.get("classes", {}),
        pictograms=hazards.get("pictograms", {}),
        labels=dict(_free(by_folder, "labels.yaml")),
        elsewhere=tuple(
            tuple(cites)
            for name in sources.ELSEWHERE
            for _document, value in by_folder.get(name, ())
            for _path, cites in sources.found_in(value if isinstance(value, dict) else value.model_dump())
        ),
        waste=dict(_free(by_folder, "waste.yaml")),
        words={
            document.file.removeprefix("words/").removesuffix(".yaml"): value
            for document, value in by_folder.get("words/", ())
        },
        constants=constants.records(by_folder.get("constants/", ())),
    )
    return base, problems


def _free(by_folder, name):
    return next((value or {} for _document, value in by_folder.get(name, ())), {})


def _cites(source):
    return tuple(model.Citation(cite.key, cite.at) for cite in source)


def _colour(shape):
    return model.Colour(shape.word, tuple(shape.under), tuple(shape.like), shape.swatch, _cites(shape.source))


def _outcomes(seen):
    return tuple(model.Outcome(**{**item.model_dump(), "colours": tuple(item.colours)}) for item in seen)


def alternative_record(shape):
    return model.Alternative(
        _outcomes(shape.seen),
        _cites(shape.source),
        tuple(shape.present),
        tuple(shape.equations),
        tuple(shape.salt_of),
    )


def _fact(subject, test, facet, shape):
    return model.Fact(
        subject,
        test,
        facet,
        _outcomes(shape.seen),
        _cites(shape.source),
        tuple(shape.equations),
        tuple(map(alternative_record, shape.also)),
        tuple(map(alternative_record, shape.when)),
        shape.remark,
        shape.margin,
        shape.leaves,
    )


def _facts(subject, tests):
    return {
        (test, facet): _fact(subject, test, facet, shape)
        for test, facets in tests.items()
        for facet, shape in facets.items()
    }


def _ion(shape):
    charge = formula.parse(shape.ion).charge
    if not charge:
        raise FormulaError(f"'{shape.ion}' has no charge. Write it like Zn2+ or SO4^2-.")
    facts = _facts(shape.ion, shape.tests)
    silent = {
        tuple(place.partition(".")[::2]): _cites(block.source)
        for block in shape.silent
        for place in block.tests
    }
    return model.Ion(shape.ion, shape.name, tuple(shape.names), charge, facts, silent)


def salt_record(shape):
    cations = tuple(ion for ion in shape.ions if formula.parse(ion).charge > 0)
    anions = tuple(ion for ion in shape.ions if formula.parse(ion).charge < 0)
    sources = _cites(shape.source)
    salt = model.Salt(
        formula=shape.formula,
        name=shape.name,
        names=tuple(shape.names),
        ions=shape.ions,
        cations=cations,
        anions=anions,
        water=formula.water_of(shape.formula),
        molar_mass_g_mol=formula.molar_mass_g_mol(shape.formula),
        cas=shape.cas,
        colour=tuple(shape.colour),
        form=shape.form,
        moisture=shape.moisture,
        odour=shape.odour or "",
        dissolves_in=shape.dissolves_in,
        solution=tuple(shape.solution),
        keeping=shape.keeping,
        hazards=_hazards(shape.hazards),
        sources=sources,
        hazard_sources=_cites(shape.hazard_source),
        facts=_salt_facts(shape, sources),
        ages=shape.ages,
        extract=shape.extract,
    )
    return salt


def _hazards(shape):
    return model.Hazards(shape.signal or "", tuple(shape.statements), tuple(shape.pictograms))


def _salt_facts(shape, sources):
    """What the salt's own entry says, as facts of the tests on the solid; its `tests` come on top."""

    def fact(test, facet, *seen):
        return (test, facet), model.Fact(shape.formula, test, facet, seen, sources)

    own = dict(
        [
            fact(
                "appearance",
                "colour",
                model.Outcome("colour", colours=tuple(shape.colour), texture=shape.form),
            ),
            fact("appearance", "moisture", _moisture(shape.moisture)),
            fact("solubility", "dissolving", *_dissolving(shape)),
            fact("dry-heating", "water", _water(shape.formula)),
        ]
    )
    odour = model.Outcome("smell", smell=shape.odour) if shape.odour else model.Outcome("none")
    own |= dict([fact("appearance", "odour", odour)])
    return own | _facts(shape.formula, shape.tests)


def _moisture(moisture):
    if moisture in ("hygroscopic", "deliquescent"):
        return model.Outcome("dissolves", step="in air", texture="damp", also_seen="takes up moisture")
    return model.Outcome("none", step="in air")


def _dissolving(shape):
    """Each solvent in turn, until one dissolves the salt."""
    for solvent in model.SOLVENTS:
        if solvent == "nothing":
            return
        if solvent == shape.dissolves_in:
            yield model.Outcome("dissolves", step=solvent, colours=tuple(shape.solution))
            return
        yield model.Outcome("none", step=solvent)


def _water(text):
    if formula.water_of(text):
        return model.Outcome("gas", gas="H2O", also_seen="drops of water on the cool part of the tube")
    return model.Outcome("none")


def _test(shape):
    facets = {
        key: model.Facet(
            key,
            facet.title,
            tuple(facet.steps),
            facet.none,
            facet.combine,
            tuple(facet.sorts),
            tuple(facet.points_at),
            facet.salts,
            tuple(facet.of),
            tuple(shape.kinds if facet.kinds is None else facet.kinds),
            operations.portion_of(shape.operations, key, shape.portion),
            facet.fallen,
        )
        for key, facet in shape.facets.items()
    }
    return model.Test(
        shape.test,
        shape.title,
        shape.stage,
        tuple(shape.kinds),
        shape.portion,
        shape.purpose,
        shape.procedure,
        facets,
        operations.ways(shape.operations),
        tuple(shape.apparatus),
        tuple(shape.cautions),
        shape.applies,
        _cites(shape.source),
        shape.choose,
        shape.never,
    )


def reagent_record(shape):
    return model.Reagent(
        key=shape.key,
        name=shape.name,
        formula=shape.formula or "",
        kind=shape.kind,
        strength_mol_L=shape.strength_mol_L,
        percent_w_w=shape.percent_w_w,
        percent_w_v=shape.percent_w_v,
        density_g_mL=shape.density_g_mL,
        made_from=shape.made_from,
        procedure=shape.procedure,
        hazards=_hazards(shape.hazards),
        shelf_life=shape.shelf_life,
        cautions=tuple(shape.cautions),
        sources=_cites(shape.source),
    )
