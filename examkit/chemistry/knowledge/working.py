"""Whether a scheme that somebody edited can work: what is missing, in words, with the way out."""

from itertools import combinations

from examkit.chemistry.tube import throws_down


def scheme_faults(base, key):
    """(path, what, hint) of everything that keeps a scheme of the base from working."""
    scheme = base.schemes[key]
    if any(stage.test not in base.tests for stage in scheme.stages):
        return []  # that is said already, and nothing can be run
    looks = (_amounts, _twice, _order, _asked_before, _groups_answered, _placed, _told_apart, _volumes)
    return [fault for look in looks for fault in look(base, scheme)]


def _amounts(base, scheme):
    if scheme.grams <= 0:
        yield ("grams",), "the specimen has no mass.", "Give more than 0 g."
    if scheme.sample_g < scheme.grams:
        what = f"a candidate is given {scheme.sample_g:g} g, but the tests take {scheme.grams:g} g."
        yield ("sample_g",), what, "Give out at least as much."


def _twice(base, scheme):
    seen = set()
    for stage in scheme.stages:
        if (stage.test, stage.takes) in seen:
            yield ("tests",), f"'{base.tests[stage.test].title}' stands in the scheme twice.", "Keep one."
        seen.add((stage.test, stage.takes))


def _order(base, scheme):
    """What is known of a group's reagent holds for what earlier groups have left."""
    order = [stage.test for stage in scheme.stages if base.tests[stage.test].portion == "tube"]
    shipped = list(map(_tests, _shipped(base)))
    for one, other in combinations(dict.fromkeys(order), 2):
        known = [tests.index(one) < tests.index(other) for tests in shipped if {one, other} <= {*tests}]
        if known and not any(known):
            first, then = base.tests[other].title, base.tests[one].title
            what = f"'{then}' is known for what '{first}' has left in solution."
            yield ("tests",), what, f"Put '{first}' before it."


def _shipped(base):
    """The schemes whose sources are not a centre's own word."""
    return [s for s in base.schemes.values() if all(base.sources[c.key].kind != "own" for c in s.sources)]


def _tests(scheme):
    return [stage.test for stage in scheme.stages]


def _asked_before(base, scheme):
    """A test that is done only after what another showed needs that other before it."""
    before = set()
    for stage in scheme.stages:
        test = base.tests[stage.test]
        clauses = [*test.applies.get("all", ()), *test.applies.get("any", ())]
        missing = [clause["test"] for clause in clauses if clause["test"] not in before]
        if missing and (test.applies.get("all") or len(missing) == len(clauses)):
            titles = ", ".join(base.tests[name].title for name in dict.fromkeys(missing))
            what = f"'{test.title}' is decided by what was seen before, in: {titles}."
            yield ("tests",), what, "Put that before it, or leave this test out, too."
        before.add(stage.test)


def _groups_answered(base, scheme):
    """A group that is described has a test that answers it."""
    answered = {stage.group for stage in scheme.stages}
    for name, group in scheme.groups.items():
        if name in answered:
            continue
        ions = ", ".join(group["cations"])
        tests = [test.title for test in base.tests.values() if _throws(base, test, group["cations"])]
        hint = f"Tests that could: {', '.join(tests)}." if tests else "Take the group out."
        yield ("groups",), f"no test answers group {name} ({ions}).", hint


def _throws(base, test, ions):
    facts = [base.ions[ion].facts.get((test.id, "tube")) for ion in ions if ion in base.ions]
    return test.portion == "tube" and facts and all(throws_down(fact) for fact in facts)


def _placed(base, scheme):
    """Every cation of the syllabus belongs to a group."""
    grouped = {ion for group in scheme.groups.values() for ion in group["cations"]}
    for ion in scheme.cations:
        if ion not in grouped:
            hint = "Put it into the group whose test it answers, or take it out of the syllabus."
            yield ("groups",), f"{ion} of the syllabus is in no group.", hint


def _told_apart(base, scheme):
    """Every ion shows something, and no two of a kind show the same in all tests."""
    tests = [base.tests[name] for name in dict.fromkeys(stage.test for stage in scheme.stages)]
    for ions in (scheme.cations, scheme.anions):
        shown = {ion: _shown(tests, base.ions[ion]) for ion in ions if ion in base.ions}
        for ion, outcomes in shown.items():
            if not outcomes:
                yield (("tests",), f"no test of the scheme shows {ion}.",
                       _helpful(base, tests, ion) or "Take it out of the syllabus.")
        for one, other in combinations([ion for ion in shown if shown[ion]], 2):
            if shown[one] == shown[other]:
                yield (("tests",), f"{one} and {other} show the same in every test of the scheme.",
                       _helpful(base, tests, one, other) or "Take one out of the syllabus.")


def _shown(tests, ion):
    """All that an ion visibly shows in some tests."""
    return {
        (test.id, facet): ion.facts[test.id, facet].seen
        for test in tests for facet in test.facets
        if (test.id, facet) in ion.facts and any(o.seen for o in ion.facts[test.id, facet].seen)
    }


def _helpful(base, tests, one, other=None):
    """Which tests of the base would help."""
    names = [
        test.title for test in base.tests.values()
        if test not in tests and (there := _shown([test], base.ions[one]))
        != (_shown([test], base.ions[other]) if other else {}) and (there or other)
    ]
    return f"These would: {', '.join(names[:4])}." if names else ""


def _volumes(base, scheme):
    """What is in the tube is no less than what went in, but for what is boiled down."""
    for number, stage in enumerate(scheme.stages):
        for operations in stage.operations.values():
            portion = 0.0
            for operation in operations:
                portion = operation.volume_mL if operation.do == "take" else portion
                if operation.do != "evaporate" and 0 < operation.to_mL < portion:
                    there, taken = f"{operation.to_mL:g} mL", f"{portion:g} mL"
                    title = base.tests[stage.test].title
                    what = f"{title}: {there} in the tube is less than the portion of {taken}."
                    yield ("tests", number, "operations"), what, "Give the volume of all that is in the tube."
