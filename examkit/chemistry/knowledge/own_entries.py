"""A centre's own entries become records, by the same shapes and checks as the shipped files.

What an entry holds, besides `source` (who says so, and why):
salt       `salt`: as in a file of salts/, without its sources
reagent    `reagent`: the keys of a file of reagents/ that differ from the shipped reagent
outcome    `subject`, `test`, `facet`, `seen`, `equations`: one more outcome that is accepted there
scheme     `scheme`: as a file of schemes/, without its source
marking    `marking`: as a file of marking/, without its key and source; its rules are checked by who marks
"""

import re
from dataclasses import replace

from examkit.chemistry import formula
from examkit.chemistry.errors import FormulaError
from examkit.chemistry.knowledge import check, shapes, sources
from examkit.chemistry.knowledge.build import explained, shaped_file
from examkit.chemistry.knowledge.citations import Source
from examkit.chemistry.knowledge.layers import (
    SOURCE_KIND,
    Layer,
    OwnProblem,
    fact_at,
    in_order,
    laid_over,
    reagent_file,
)
from examkit.chemistry.knowledge.makers import alternative_record, reagent_record, salt_record
from examkit.chemistry.knowledge.read import Document
from examkit.chemistry.knowledge.schemes import scheme
from examkit.chemistry.knowledge.working import scheme_faults
from examkit.chemistry.specimen import told

FOLDERS = {"salt": "salts/", "reagent": "reagents/", "outcome": "ions/", "scheme": "schemes/",
           "marking": "marking/"}
OF_FACTS = (sources.sources_exist, check.facts_fit_tests, check.colours_are_known, check.equations_balance)
PLAIN = (  # what the checks say to those who edit files, and how it is said to a teacher
    (re.compile(r"'([^']*)', which has no file in ions/\."), r"'\1', which the base does not know."),
    (re.compile(r"has no file in ions/\."), "is not an ion of the base."),
    (re.compile(r"\s*(?:Add it to|See|Add) [^.]*(?:\.yaml|\.md)[^.]*\."), ""),
    (re.compile(r"the file.s cation"), "the cation"),
    (re.compile(r" is not in hazards\.yaml\."), " is not known."),
)


def layer_of(base, entries):
    """The Layer of these entries over a base, and all problems (then the layer is not to be used)."""
    layer, problems, shaped = Layer(), [], []
    for entry in sorted(entries, key=lambda entry: list(FOLDERS).index(entry.kind)):
        layer.sources[entry.source] = Source(entry.source, entry.data.get("source", ""), SOURCE_KIND)
        document = _document(entry)
        wrong = [] if entry.data.get("source", "").strip() else [_unsaid(entry)]
        try:
            shape, faults = MAKE[entry.kind](base, layer, entry, document)
        except FormulaError as error:
            shape, faults = None, [document.problem(("formula",), str(error))]
        problems += wrong + [_told(entry, fault) for fault in faults]
        if shape is not None:
            shaped.append((entry, document, shape))
    merged = laid_over(base, layer, base.edition)
    return layer, problems + [p for each in shaped for p in _checked(merged, *each)]


def _document(entry):
    return Document(f"{FOLDERS[entry.kind]}own {entry.key}", _content(entry), {})


def _content(entry):
    """The entry as the plain data of a shipped file, citing the centre."""
    data, cites = entry.data, [entry.source]
    if entry.kind == "salt":
        salt = data.get("salt") or {}
        ions = sorted((salt.get("ions") or {}).items(), key=lambda each: each[0].endswith("-"))
        salt |= {"ions": dict(ions)}  # cations first: stored keys have no order
        return {"cation": _cation(salt), "salts": [salt | {"source": cites, "hazard_source": cites}]}
    if entry.kind == "outcome":
        return {"seen": data.get("seen"), "equations": data.get("equations", []), "source": cites}
    if entry.kind == "scheme":
        return in_order(data.get("scheme") or {}) | {"scheme": entry.key, "source": cites}
    if entry.kind == "marking":
        return (data.get("marking") or {}) | {"mark_scheme": entry.key, "source": cites}
    return (data.get("reagent") or {}) | {"key": entry.key, "source": cites}


def _cation(salt):
    """The first cation of a salt's ions; what is no ion is told by the checks."""
    for ion in salt.get("ions") or ():
        try:
            if formula.parse(ion).charge > 0:
                return ion
        except FormulaError:
            continue
    return "?"


def _unsaid(entry):
    what, hint = "who says so, and why, is not said.", "A fact needs a source: give one."
    return OwnProblem(entry, "source", what, hint)


def _told(entry, problem):
    """A problem of a file in the words of the person who filled in a form."""
    what, hint = problem.what, problem.hint
    for pattern, plain in PLAIN:
        what, hint = pattern.sub(plain, what), pattern.sub(plain, hint)
    key = problem.key.removeprefix("salts").lstrip(".").removesuffix(".")
    return OwnProblem(entry, key, what, hint.strip())


# ---- one function per kind: the checked shape or None, and faults; the record goes into the layer ----

def _salt(base, layer, entry, document):
    file, faults = shaped_file(document)
    if file is None:
        return None, faults
    shape = file.salts[0]
    known = {word.casefold() for salt in base.salts.values() for word in (salt.name, *salt.names)}
    if shape.formula in base.salts:
        faults = [document.problem(("formula",), f"'{shape.formula}' stands in the shipped base already.",
                                   "Add an outcome that is also accepted to it instead.")]
    elif shape.name.casefold() in known:
        faults = [document.problem(("name",), f"'{shape.name}' is the name of another salt of the base.",
                                   "Say how they differ, for example by the water.")]
    faults = [*faults, *(document.problem(*refused) for refused in _refusals(base, shape))]
    layer.salts[shape.formula] = salt_record(shape)
    return file, faults


def _refusals(base, shape):
    """(place, sentence) of what the base refuses: this formula, or every salt of its two ions."""
    for refusal in base.refusals:
        if refusal.refuses(shape.formula, shape.ions):
            yield ("formula",) if refusal.salt else ("ions",), told(refusal)


def _reagent(base, layer, entry, document):
    shipped = base.reagents.get(entry.key)
    if shipped is None:
        return None, [document.problem(("key",), f"the base has no reagent '{entry.key}'.")]
    document = replace(document, data=reagent_file(shipped) | document.data)
    file, faults = shaped_file(document)
    if file is None:
        return None, faults
    layer.reagents[entry.key] = reagent_record(file)
    return file, [*faults, *(document.problem(*fault) for fault in _strength(base, file))]


def _strength(base, file):
    """What cannot be of a strength: nothing, or more than what it is diluted from."""
    for key in ("strength_mol_L", "percent_w_v", "percent_w_w", "density_g_mL"):
        value = getattr(file, key)
        if value is not None and value <= 0:
            yield (key,), f"{value} is no strength.", "Give more than 0."
    stock = base.reagents.get(file.made_from.get("stock"))
    there = stock and stock_strength(stock)
    if there and file.strength_mol_L and file.strength_mol_L > there:
        yield (("strength_mol_L",),
               f"{file.strength_mol_L:g} mol/L cannot be diluted from {stock.name} ({there:.3g} mol/L).",
               "Take a weaker strength.")


def stock_strength(stock):
    """Strength (mol/L) of a stock, from its density and mass per cent where it is not given; else None."""
    if stock.strength_mol_L:
        return stock.strength_mol_L
    if stock.percent_w_w and stock.density_g_mL and stock.formula:
        return 10 * stock.density_g_mL * stock.percent_w_w / formula.molar_mass_g_mol(stock.formula)
    return None


def _outcome(base, layer, entry, document):
    data = entry.data
    subject, place = data.get("subject"), (data.get("test"), data.get("facet"))
    fact = fact_at(laid_over(base, layer, base.edition), subject, place)
    if fact is None:
        what = f"'{subject}' has no outcome of its own in '{place[0]}.{place[1]}'."
        hint = "What a salt shows there may come from its ions: choose the ion."
        return None, [document.problem(("subject",), what, hint)]
    shape, faults = _alternative(document)
    if shape is None:
        return None, faults
    test, facet = base.tests[place[0]], base.tests[place[0]].facets[place[1]]
    missing = [step for step in {o.step: 0 for o in fact.seen if o.step}
               if step not in [o.step for o in shape.seen]]
    if facet.steps and missing:
        faults = [*faults, document.problem(("seen",), f"'{test.title}' is read at: {', '.join(missing)}.",
                                            "Say what is seen there; choose 'nothing' where nothing is.")]
    _put(base, layer, replace(fact, also=(*fact.also, alternative_record(shape))))
    told = shapes.FactShape.model_construct(
        seen=shape.seen, source=shape.source, equations=shape.equations, also=[], when=[])
    return shapes.IonFile.model_construct(ion=subject, tests={place[0]: {place[1]: told}}, silent=[]), faults


def _alternative(document):
    """The outcome as an alternative; shape faults are told by the places of the form."""
    from pydantic import ValidationError

    try:
        return shapes.AlternativeShape.model_validate(document.data), []
    except ValidationError as error:
        return None, [explained(document, item) for item in error.errors()]


def _put(base, layer, fact):
    """The fact into a copy of its ion or salt, in the layer."""
    kind = layer.salts if fact.subject in {**base.salts, **layer.salts} else layer.ions
    old = kind.get(fact.subject) or {**base.salts, **base.ions}[fact.subject]
    kind[fact.subject] = replace(old, facts=old.facts | {(fact.test, fact.facet): fact})


def _scheme(base, layer, entry, document):
    file, faults = shaped_file(document)
    if file is None:
        return None, faults
    if file.scheme in base.schemes:
        what = f"'{file.scheme}' is a shipped scheme, which never changes. Copy it under another key."
        return None, [document.problem(("scheme",), what)]
    titles = [known.title for known in (*base.schemes.values(), *layer.schemes.values())]
    if file.title in titles:
        faults = [*faults, document.problem(("title",), f"'{file.title}' is the title of another scheme.")]
    layer.schemes[file.scheme] = scheme(file)
    return file, faults


def _marking(base, layer, entry, document):
    """A mark scheme is looked at for its name only: what its rules mean is for who marks to say."""
    data, faults = document.data, []
    if entry.key in base.mark_schemes:
        what = f"'{entry.key}' is a shipped mark scheme, which never changes. Copy it under another key."
        faults.append(document.problem(("mark_scheme",), what))
    title = str(data.get("title") or "").strip()
    known = [each.get("title") for each in (*base.mark_schemes.values(), *layer.mark_schemes.values())]
    if not title or title in known:
        what = f"'{title}' is the title of another mark scheme." if title else "it has no title."
        faults.append(document.problem(("title",), what))
    layer.mark_schemes[entry.key] = data
    return None, faults


MAKE = {"salt": _salt, "reagent": _reagent, "outcome": _outcome, "scheme": _scheme, "marking": _marking}


def _checked(merged, entry, document, shape):
    """The problems that the checks of the whole base find in one entry."""
    by_folder = {FOLDERS[entry.kind]: [(document, shape)]}
    if entry.kind == "outcome":
        found = [problem for look in OF_FACTS for problem in look(merged, by_folder)]
    else:
        found = check.check(merged, by_folder, set())
    if entry.kind == "scheme":
        found += [document.problem(*fault) for fault in scheme_faults(merged, shape.scheme)]
    return [_told(entry, problem) for problem in found if "refusals.yaml" not in problem.what]
