"""Build the records from the files: shape first, then records, then the checks that need the whole base."""

from pydantic import TypeAdapter, ValidationError

from examkit.chemistry.errors import FormulaError
from examkit.chemistry.knowledge import check, constants, model, shapes, sources
from examkit.chemistry.knowledge.citations import Source
from examkit.chemistry.knowledge.makers import (
    cites,
    colour_record,
    ion_record,
    reagent_record,
    salt_record,
    test_record,
)
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
        sources=gather("sources/", one("key"), lambda s: Source(s.key, s.cite, s.kind)),
        colours=gather(
            "words/colours.yaml",
            lambda rows: [((i, "word"), r.word, r) for i, r in enumerate(rows)],
            colour_record,
        ),
        ions=gather("ions/", one("ion"), ion_record),
        salts=gather("salts/", many("salts", "formula"), salt_record),
        tests=gather("tests/", one("test"), test_record),
        reagents=gather("reagents/", one("key"), reagent_record),
        schemes=gather("schemes/", one("scheme"), scheme),
        mark_schemes=gather("marking/", one("mark_scheme"), lambda m: m.model_dump()),
        refusals=tuple(
            model.Refusal(r.cation, r.anion, r.reason, cites(r.source), r.salt, tuple(r.names),
                          tuple(map(tuple, r.together)))
            for _document, rows in by_folder.get("refusals.yaml", ())
            for r in rows
        ),
        statements=hazards.get("statements", {}),
        hazard_classes=hazards.get("classes", {}),
        pictograms=hazards.get("pictograms", {}),
        labels=dict(_free(by_folder, "labels.yaml")),
        elsewhere=tuple(
            tuple(cited)
            for name in sources.ELSEWHERE
            for _document, value in by_folder.get(name, ())
            for _path, cited in sources.found_in(value if isinstance(value, dict) else value.model_dump())
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
