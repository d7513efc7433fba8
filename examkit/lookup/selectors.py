"""What the look-up pages show: the knowledge base in rows, each row computed forwards."""

from dataclasses import dataclass

from examkit.chemistry.doings import in_words, tube_in_words
from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.expect import Line, expect
from examkit.chemistry.observe import Observation, observe
from examkit.chemistry.specimen import find_ion, find_salt
from examkit.chemistry.uses import uses, uses_before
from examkit.chemistry.vessel import operations_of
from examkit.lookup.outcomes import Possible, otherwise


@dataclass(frozen=True)
class Row:
    """What one ion shows in one test."""

    ion: object
    test: object
    observation: Observation
    positive: bool


@dataclass(frozen=True)
class RecordLine:
    """A line of an expected record, with why the test is done and what might have been seen instead."""

    line: Line
    test: object
    otherwise: tuple[Possible, ...]


@dataclass(frozen=True)
class Ingredient:
    """Something that goes into a reagent: a reagent or a solid by formula, as what, how much in 1 L."""

    part: str  # solid | stock | solvent | with | additive
    reagent: object | None
    formula: str
    amount: str


def record_lines(kb, scheme, specimen):
    """The expected record of a specimen, explained."""
    return [_record_line(kb, scheme, line) for line in expect(kb, specimen, scheme.key).lines]


def _record_line(kb, scheme, line):
    test = kb.tests[line.test]
    return RecordLine(line, test, otherwise(kb, scheme, test, line.observation.seen) if line.done else ())


def row(kb, scheme, test, ion):
    """One ion, one test."""
    seen = observe(kb, test.id, ion.formula, scheme.key)
    return Row(ion, test, seen, any(outcome.seen for _facet, outcome in seen.seen))


def test_rows(kb, scheme, test):
    """What each ion of the syllabus shows in a test; those that show something, and the silent ones."""
    ions = [kb.ions[ion] for ion in (*scheme.cations, *scheme.anions)]
    rows = [row(kb, scheme, test, ion) for ion in ions if ion.kind in test.kinds]
    return [r for r in rows if r.positive], [r for r in rows if not r.positive]


def ion_rows(kb, scheme, ion):
    """What an ion shows in each test of the scheme that speaks of its kind."""
    tests = [kb.tests[stage.test] for stage in scheme.stages]
    return [row(kb, scheme, test, ion) for test in tests if ion.kind in test.kinds and _says(test, ion)]


def _says(test, ion):
    return any((test.id, facet) in ion.facts for facet in test.facets) or any(
        ion.kind in facet.kinds for facet in test.facets.values()
    )


def salts_of(kb, scheme):
    """The salts whose ions are all in the syllabus of a scheme, by cation in its order."""
    syllabus = {*scheme.cations, *scheme.anions}
    salts = [salt for salt in kb.salts.values() if syllabus.issuperset(salt.ions)]
    return sorted(salts, key=lambda salt: (scheme.cations.index(salt.cations[0]), salt.formula))


def salts_with(kb, ion):
    """The salts of the base that hold an ion."""
    return [salt for salt in kb.salts.values() if ion.formula in salt.ions]


def find(kb, text):
    """What a word typed into the search means: ("salt" | "ion" | "test" | "reagent", key), or None."""
    text = text.strip()
    if text in kb.tests:
        return "test", text
    for kind, search in (("salt", find_salt), ("ion", find_ion)):
        try:
            return kind, search(kb, text).formula
        except UnknownSubject:
            continue
    titles = {test.title.casefold(): ("test", key) for key, test in kb.tests.items()}
    names = {reagent.name.casefold(): ("reagent", key) for key, reagent in kb.reagents.items()}
    return (names | titles).get(text.casefold())


def groups_of(scheme, ion):
    """The groups of a scheme that a cation belongs to, with their reagents."""
    return [(name, group) for name, group in scheme.groups.items() if ion.formula in group["cations"]]


def reagents_of(kb, scheme):
    """The reagents that the tests of a scheme use, by name."""
    keys = {use.reagent for stage in scheme.stages
            for use in (*uses(kb.tests[stage.test], stage), *uses_before(stage))}
    return sorted((kb.reagents[key] for key in keys), key=lambda reagent: reagent.name.casefold())


def _stage(scheme, test):
    """The entry of a scheme for a test, or None where it leaves the test out."""
    return next((stage for stage in scheme.stages if stage.test == test.id), None)


def own_way(scheme, test):
    """Whether the scheme does the test otherwise than the test's own procedure tells."""
    stage = _stage(scheme, test)
    return bool(stage and stage.operations)


def needed(kb, scheme, test):
    """(reagent, mL, g, strips) that one candidate uses in a test of the scheme, all ways together."""
    found = uses(test, _stage(scheme, test))
    for key in dict.fromkeys(use.reagent for use in found):
        mine = [use for use in found if use.reagent == key]
        yield kb.reagents[key], _sum(mine, "volume_mL"), _sum(mine, "mass_g"), _sum(mine, "strips")


def ways(kb, scheme, test):
    """(title of the way or "", [operations in words]) of a test, as the scheme does it for its syllabus."""
    stage = _stage(scheme, test)
    syllabus = {*scheme.cations, *scheme.anions}
    for facet, operations in operations_of(test, stage).items():
        if facet and test.facets[facet].of and not syllabus & set(test.facets[facet].of):
            continue
        title = test.facets[facet].title if facet else ""
        tube = {"tube": tube_in_words(kb, scheme, stage)} if stage else {}
        yield title, [in_words(kb, test, operation, facet, **tube) for operation in operations]


def tests_with(kb, reagent):
    """The tests that use a reagent, each with what one candidate needs of it: (test, mL, g, strips)."""
    for test in kb.tests.values():
        found = [use for use in uses(test) if use.reagent == reagent.key]
        if found:
            yield test, _sum(found, "volume_mL"), _sum(found, "mass_g"), _sum(found, "strips")


def _sum(found, unit):
    return round(sum(getattr(use, unit) for use in found), 3)


def ingredients(kb, reagent):
    """What a reagent is made from, as far as its entry says; the stock room works out the amounts."""
    made, found = reagent.made_from, []
    for part in ("solid", "stock", "solvent", "with"):
        if part in made:
            amount = f"{made['g_per_L']} g/L" if part == "solid" and "g_per_L" in made else ""
            found.append(_ingredient(kb, part, made[part], amount))
    for more in made.get("additives", ()):
        amount = f"{more['mL_per_L']} mL/L" if "mL_per_L" in more else f"{more['g_per_L']} g/L"
        found.append(_ingredient(kb, "additive", more.get("reagent") or more["solid"], amount))
    return found


def _ingredient(kb, part, what, amount):
    return Ingredient(part, kb.reagents.get(what), what, amount)


def statements(kb, hazards):
    """Hazard statements as (code, text)."""
    return [(code, kb.statements.get(code, "")) for code in hazards.statements]
