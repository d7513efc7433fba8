"""Margins of a whole scheme: of a specimen on its way through it, and of every ion of the syllabus alone."""

from examkit.chemistry.equilibria.margin import margin_of
from examkit.chemistry.equilibria.mixing import portion_millimoles
from examkit.chemistry.tube import reached


def margins_of_specimen(kb, scheme, specimen):
    """{(test, facet, step): {ion: Margin}} of a specimen: groups in turn, all else on fresh portions.

    What a group throws down does not go on to the next; what stays dissolved does.
    """
    result, tube = {}, {}
    for condition in scheme.conditions:
        test = kb.tests[condition.test]
        portion = portion_millimoles(scheme, condition, test, specimen)
        if test.portion == "tube":
            tube = _changed(scheme, test.id, tube or portion)
            portion = tube
        here = _margins(kb, scheme, condition, portion)
        result[test.id, condition.facet, condition.step] = here
        if test.portion == "tube":
            tube = {ion: amount * _left(here.get(ion)) for ion, amount in tube.items()}
    return result


def _margins(kb, scheme, condition, portion):
    """{ion: Margin} of the ions that a test speaks about, all in one tube."""
    place = {"facet": condition.facet, "step": condition.step}
    asked = [ion for ion in portion if kb.ions[ion].kind in kb.tests[condition.test].kinds]
    found = {i: margin_of(kb, scheme, condition.test, i, portion[i], portion, **place) for i in asked}
    return {ion: margin for ion, margin in found.items() if margin}


def _left(margin):
    """The share of an ion that stays dissolved."""
    return 1 - margin.fraction if margin else 1.0


def _changed(scheme, test_id, amounts):
    """Amounts after what the stage of this test turns into something else (iron(II) into iron(III))."""
    becomes = next((stage.becomes for stage in scheme.stages if stage.test == test_id), {})
    result = {}
    for ion, amount in amounts.items():
        result[becomes.get(ion, ion)] = result.get(becomes.get(ion, ion), 0) + amount
    return result


def least_millimoles(kb, scheme, ion, condition):
    """The smallest amount (mmol) of an ion in a portion, over the soluble salts that hold it."""
    test = kb.tests[condition.test]
    per_mL = scheme.extract_g_mL if test.portion == "extract" else scheme.original_g_mL
    salts = [salt for salt in kb.salts.values() if ion in salt.ions and salt.dissolves_in != "nothing"]
    shares = [1000 * per_mL * condition.portion_mL * s.ions[ion] / s.molar_mass_g_mol for s in salts]
    return min(shares, default=0.0)


def table(kb, scheme):
    """{(test, facet, step): {ion: Margin}} for every ion of the syllabus that reaches the test, alone.

    The amount is the smallest that any salt of the base gives; what an earlier group took is gone from it.
    """
    left = {}
    return {
        (condition.test, condition.facet, condition.step): _row(kb, scheme, condition, left)
        for condition in scheme.conditions
    }


def _row(kb, scheme, condition, left):
    """One condition; `left` keeps what of each ion is still dissolved on the way through the groups."""
    test, row = kb.tests[condition.test], {}
    for ion in (*scheme.cations, *scheme.anions):
        form = _form(kb, scheme, test, condition, ion)
        carried = left if test.portion == "tube" else {}
        share = carried.get(ion, 1.0)
        amount = share * least_millimoles(kb, scheme, ion, condition)
        place = {"facet": condition.facet, "step": condition.step}
        margin = form and margin_of(kb, scheme, test.id, form, amount, None, **place)
        if margin:
            row[ion] = margin
            carried[ion] = share * (1 - margin.fraction)
    return row


def _form(kb, scheme, test, condition, ion):
    """The form in which an ion meets a test, or None where the test does not concern it."""
    of = test.facets[condition.facet].of
    if kb.ions[ion].kind not in test.kinds or (of and ion not in of):
        return None
    return reached(kb, scheme, ion, test) if test.portion == "tube" else ion
