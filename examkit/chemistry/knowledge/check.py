"""Checks that need the whole base. Each yields problems; the loader gathers them and raises them together."""

from collections import Counter
from fractions import Fraction
from itertools import chain

from examkit.chemistry import formula
from examkit.chemistry.errors import FormulaError
from examkit.chemistry.knowledge import constants
from examkit.chemistry.knowledge.operations import faults as operation_faults
from examkit.chemistry.knowledge.sources import documents, fact_blocks, sources_exist
from examkit.chemistry.tube import LEFT, START, reached, throws_down


def check(base, by_folder, broken):
    """All problems of the files that have the right shape.

    A check is left out while a folder that it looks names up in is broken: it would only repeat that.
    """
    sound = (look for look, folders in CHECKS if not folders & broken)
    return [problem for look in sound for problem in look(base, by_folder)]


def facts_fit_tests(base, by_folder):
    """Tests, facets and steps that facts speak of are those of tests/."""
    for document, _subject, path, test, facet, fact in fact_blocks(by_folder):
        known = base.tests.get(test)
        if known is None:
            yield document.problem(
                path[:-1], f"there is no test '{test}'.", f"Tests: {', '.join(base.tests)}."
            )
        elif facet not in known.facets:
            yield document.problem(
                path, f"the test '{test}' has no facet '{facet}'.", f"Facets: {', '.join(known.facets)}."
            )
        else:
            yield from _steps(document, path, known, known.facets[facet], fact)
    for document, ion in documents(by_folder, "ions/"):
        for index, block in enumerate(ion.silent):
            for place in block.tests:
                test, _dot, facet = place.partition(".")
                known = base.tests.get(test)
                if known is None or (facet and facet not in known.facets):
                    yield document.problem(
                        ("silent", index, "tests"), f"there is no test or facet '{place}'."
                    )


def ions_beside_are_known(base, by_folder):
    """The ions that `when` names have a file, and each item names some."""
    for document, _subject, path, _test, _facet, fact in fact_blocks(by_folder):
        for index, other in enumerate(fact.when):
            place = (*path, "when", index)
            if not other.present and not other.salt_of:
                yield document.problem(place, "when?", "Name ions under `present` or `salt_of`.")
            for ion in {*other.present, *other.salt_of} - set(base.ions):
                yield document.problem(place, f"'{ion}' has no file in ions/.")


def _steps(document, path, test, facet, fact):
    for seen in (fact.seen, *(other.seen for other in (*fact.also, *fact.when))):
        for outcome in seen:
            if facet.steps and outcome.step and outcome.step not in facet.steps:
                yield document.problem(
                    path,
                    f"'{test.id}.{facet.key}' has no step '{outcome.step}'.",
                    f"Steps: {', '.join(facet.steps)}.",
                )


def colours_are_known(base, by_folder):
    """Every colour word stands in words/colours.yaml."""
    known = set(base.colours) | {like for colour in base.colours.values() for like in colour.like}
    hint = "Add it to words/colours.yaml or use a word that stands there."
    for document, _subject, path, _test, _facet, fact in fact_blocks(by_folder):
        for seen in (fact.seen, *(other.seen for other in (*fact.also, *fact.when))):
            for word in {word for outcome in seen for word in outcome.colours} - known:
                yield document.problem(path, f"'{word}' is no colour word.", hint)
    for document, file in documents(by_folder, "salts/"):
        for index, salt in enumerate(file.salts):
            for word in {*salt.colour, *salt.solution} - known:
                yield document.problem(("salts", index, "colour"), f"'{word}' is no colour word.", hint)
    for document, rows in documents(by_folder, "words/colours.yaml"):
        for index, row in enumerate(rows):
            for word in set(row.under) - set(base.colours):
                yield document.problem(
                    (index, "under"), f"'{row.word}' is a shade of '{word}', which is no colour word."
                )


def equations_balance(base, by_folder):
    """Mass and charge balance in every equation."""
    for document, _subject, path, _test, _facet, fact in fact_blocks(by_folder):
        for equation in (
            *fact.equations,
            *(e for other in (*fact.also, *fact.when) for e in other.equations),
        ):
            try:
                formula.check_equation(equation)
            except FormulaError as error:
                yield document.problem((*path, "equations"), str(error))


def salts_add_up(base, by_folder):
    """The ions of a salt are known, their charges cancel, and with the water they make its formula."""
    for document, file in documents(by_folder, "salts/"):
        for index, salt in enumerate(file.salts):
            path = ("salts", index, "ions")
            if file.cation not in salt.ions:
                yield document.problem(
                    path, f"'{salt.formula}' does not hold the file's cation {file.cation}."
                )
            for ion in salt.ions:
                if ion not in base.ions:
                    yield document.problem(
                        path, f"'{salt.formula}' holds '{ion}', which has no file in ions/."
                    )
            for ion in {*salt.ages, *salt.ages.values()} - set(base.ions):
                what = f"'{salt.formula}' ages with '{ion}', which has no file in ions/."
                yield document.problem(("salts", index, "ages"), what)
            if salt.formula in base.salts:  # else its formula could not be read, and that is said
                yield from _composition(document, path, salt)


def _composition(document, path, salt):
    total = Counter()
    for ion, count in [
        *salt.ions.items(),
        *salt.besides.items(),
        ("H2O", Fraction(formula.water_of(salt.formula)).limit_denominator(12)),
    ]:
        parsed = formula.parse(ion)
        total["charge"] += parsed.charge * count
        for element, number in parsed.elements:
            total[element] += number * count
    if total.pop("charge"):
        yield document.problem(path, f"the charges of the ions of '{salt.formula}' do not cancel.")
    if {k: v for k, v in total.items() if v} != dict(formula.parse(salt.formula).elements):
        yield document.problem(
            path, f"the ions of '{salt.formula}' and its water do not add up to the formula."
        )


def every_ion_is_covered(base, by_folder):
    """For every facet that speaks of its kind an ion has a fact or a place in `silent`."""
    for document, shape in documents(by_folder, "ions/"):
        ion = base.ions[shape.ion]
        for test in base.tests.values():
            for facet in test.facets.values():
                if ion.kind not in facet.kinds or (test.id, facet.key) in ion.facts:
                    continue
                if (test.id, "") not in ion.silent and (test.id, facet.key) not in ion.silent:
                    yield document.problem(
                        ("tests",),
                        f"{ion.formula} says nothing about '{test.id}.{facet.key}'.",
                        "Add a fact, or the test to `silent`, with a source.",
                    )


def schemes_work(base, by_folder):
    """A scheme's tests and ions are known, and its groups are what the ions show."""
    for document, shape in documents(by_folder, "schemes/"):
        scheme = base.schemes[shape.scheme]
        for index, stage in enumerate(scheme.stages):
            if stage.test not in base.tests:
                yield document.problem(("tests", index, "test"), f"there is no test '{stage.test}'.")
            for ion in (*stage.becomes, *stage.becomes.values()):
                if ion not in base.ions:
                    yield document.problem(("tests", index, "before"), f"'{ion}' has no file in ions/.")
        for ion in (*scheme.cations, *scheme.anions):
            if ion not in base.ions:
                yield document.problem(
                    ("syllabus",), f"'{ion}' has no file in ions/.", "Add the ion or take it out."
                )
        yield from _fractions(document, scheme)
        if all(stage.test in base.tests for stage in scheme.stages):
            yield from _groups(base, document, scheme)


def _fractions(document, scheme):
    """A stage takes a fraction that an earlier stage left."""
    there = {START, LEFT}
    for index, stage in enumerate(scheme.stages):
        if stage.takes not in there:
            what = f"'{stage.test}' takes '{stage.takes}', which no test before it leaves."
            yield document.problem(("tests", index, "takes"), what, f"There are: {', '.join(sorted(there))}.")
        there |= {stage.precipitate, stage.solution} - {""}


def _groups(base, document, scheme):
    for stage in scheme.stages:
        if not stage.group or stage.test not in base.tests:
            continue
        if stage.group not in scheme.groups:
            yield document.problem(
                ("groups",), f"the group '{stage.group}' of '{stage.test}' is not described."
            )
            continue
        if base.tests[stage.test].portion != "tube":
            continue
        named = set(scheme.groups[stage.group]["cations"])
        for ion in (i for i in scheme.cations if i in base.ions):
            form = reached(base, scheme, ion, base.tests[stage.test])
            answers = form is not None and throws_down(base.ions[form].facts.get((stage.test, "tube")))
            if answers and ion not in named:
                what = f"{ion} falls in '{stage.test}' but is not named in group {stage.group}."
                yield document.problem(("groups", stage.group), what)
            if ion in named and not answers and stage is not scheme.stages[_last_group(scheme)]:
                what = f"{ion} is named in group {stage.group} but shows no precipitate in '{stage.test}'."
                yield document.problem(("groups", stage.group), what)


def _last_group(scheme):
    """Where the last group stands: what falls in no group is counted to it."""
    return max(index for index, stage in enumerate(scheme.stages) if stage.group)


def dangers_are_of_ions(base, by_folder):
    """The ions with which a test is never done have a file."""
    for document, test in documents(by_folder, "tests/"):
        for ion in set(test.never) - set(base.ions):
            yield document.problem(("never",), f"'{ion}' has no file in ions/.")


def reagents_are_known(base, by_folder):
    """A stock solution is there to be diluted."""
    for document, reagent in documents(by_folder, "reagents/"):
        stock = reagent.made_from.get("stock")
        if stock and stock not in base.reagents:
            yield document.problem(("made_from", "stock"), f"there is no reagent '{stock}' to dilute.")


def hazards_are_known(base, by_folder):
    """Hazard statements and pictograms have their texts."""

    def look(document, path, hazards):
        for code in set(hazards.statements) - set(base.statements):
            yield document.problem(
                path, f"the hazard statement '{code}' has no text.", "Add it to hazards.yaml."
            )
        for key in set(hazards.pictograms) - set(base.pictograms):
            yield document.problem(path, f"the pictogram '{key}' is not in hazards.yaml.")

    for document, file in documents(by_folder, "salts/"):
        for index, salt in enumerate(file.salts):
            yield from look(document, ("salts", index, "hazards"), salt.hazards)
    for document, reagent in documents(by_folder, "reagents/"):
        yield from look(document, ("hazards",), reagent.hazards)


def refusals_say_what(base, by_folder):
    """A refusal names a pair of ions that there are, one salt by its formula, or two lists of such ions."""
    for document, rows in documents(by_folder, "refusals.yaml"):
        for index, row in enumerate(rows):
            pair = bool(row.cation and row.anion)
            if not (row.salt or pair or (len(row.together) == 2 and all(row.together))):
                way_out = "Name cation and anion, a salt, or two lists of ions that never come together."
                yield document.problem((index,), "what is refused?", way_out)
            for ion in {row.cation, row.anion, *chain.from_iterable(row.together)} - {"", *base.ions}:
                yield document.problem((index,), f"'{ion}' has no file in ions/.")


def refused_pairs_are_not_sold(base, by_folder):
    """No salt of the base is a pair, or the salt, that the base refuses."""
    for document, file in documents(by_folder, "salts/"):
        for index, salt in enumerate(file.salts):
            refusal = next((r for r in base.refusals if r.refuses(salt.formula, salt.ions)), None)
            if refusal:
                kind = "a salt" if refusal.salt else "a pair"
                yield document.problem(
                    ("salts", index), f"'{salt.formula}' is {kind} that refusals.yaml refuses."
                )


def constants_hold(base, by_folder):
    """Reactions of equilibrium constants balance, and are written with species that are defined."""
    yield from constants.problems(base, documents(by_folder, "constants/"))


def operations_can_be_done(base, by_folder):
    """Operations take what there is, with reagents of the shelf, and every step is looked at."""
    for document, shape in documents(by_folder, "tests/"):
        test = base.tests[shape.test]
        for place, what in operation_faults(base, test, test.operations):
            yield document.problem(("operations", *place), what)
    for document, shape in documents(by_folder, "schemes/"):
        for key in ("driven_off", "extract_loses"):
            for ion in set(getattr(shape.solutions, key)) - set(base.ions):
                yield document.problem(("solutions", key), f"'{ion}' has no file in ions/.")
        for index, stage in enumerate(base.schemes[shape.scheme].stages):
            if stage.test in base.tests and stage.operations:
                for place, what in operation_faults(base, base.tests[stage.test], stage.operations):
                    yield document.problem(("tests", index, "operations", *place), what)


CHECKS = (  # each with the folders whose names it looks up
    (sources_exist, {"sources/"}),
    (facts_fit_tests, {"tests/"}),
    (ions_beside_are_known, {"ions/"}),
    (colours_are_known, {"words/colours.yaml"}),
    (equations_balance, set()),
    (salts_add_up, {"ions/"}),
    (every_ion_is_covered, {"ions/", "tests/"}),
    (schemes_work, {"ions/", "tests/", "schemes/"}),
    (dangers_are_of_ions, {"ions/"}),
    (reagents_are_known, {"reagents/"}),
    (hazards_are_known, {"hazards.yaml"}),
    (refusals_say_what, {"ions/", "refusals.yaml"}),
    (refused_pairs_are_not_sold, {"refusals.yaml"}),
    (constants_hold, {"constants/"}),
    (operations_can_be_done, {"tests/", "reagents/", "schemes/", "constants/"}),
)
