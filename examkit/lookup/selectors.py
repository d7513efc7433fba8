"""What the look-up pages show: the knowledge base in rows, each row computed forwards."""

from dataclasses import dataclass

from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.observe import Observation, observe
from examkit.chemistry.specimen import find_ion, find_salt


@dataclass(frozen=True)
class Row:
    """What one ion shows in one test."""

    ion: object
    test: object
    observation: Observation
    positive: bool


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
    """What a word typed into the search means: ("salt" | "ion" | "test", key), or None."""
    text = text.strip()
    if text in kb.tests:
        return "test", text
    for kind, search in (("salt", find_salt), ("ion", find_ion)):
        try:
            return kind, search(kb, text).formula
        except UnknownSubject:
            continue
    titles = {test.title.casefold(): key for key, test in kb.tests.items()}
    return ("test", titles[text.casefold()]) if text.casefold() in titles else None
