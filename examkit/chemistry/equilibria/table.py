"""Margins of a whole scheme: of a specimen on its way through it, and of every ion of the syllabus alone.

The amounts follow the tube: what a group throws down does not go on to the next, a precipitate that is
worked up brings along what it fell with, and where nothing can be calculated the facts decide.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

from examkit.chemistry.equilibria.margin import margin_in
from examkit.chemistry.equilibria.original import original_solution
from examkit.chemistry.equilibria.settled import settled_for
from examkit.chemistry.equilibria.species import book, charge
from examkit.chemistry.specimen import shut
from examkit.chemistry.tube import START, Fraction, names_left, split
from examkit.chemistry.vessel import calculable, staged

WATER = ("cold water", "hot water")


@dataclass(frozen=True)
class Supply:
    """Amounts (mmol) of ions in 1 mL of the original solution, and of the anions in 1 mL of the extract."""

    original: dict[str, float]
    extract: dict[str, float]


def margins_of_specimen(kb, scheme, specimen):
    """{(test, facet, step): {ion: Margin}} of a specimen: groups in turn, all else on fresh portions."""
    grams = sum(part.grams for part in specimen.parts)
    original = original_solution(kb, scheme, specimen)
    extract = {
        ion: scheme.extract_g_mL * specimen.millimoles(ion) / grams for ion in specimen.anions
        if ion not in shut(specimen) and not _lost_from_extract(scheme, specimen, ion)
    }
    return follow(kb, scheme, Supply(original, extract))


def _lost_from_extract(scheme, specimen, ion):
    """Whether acid drove an anion out of the extract: water would have brought it over without acid."""
    came_in = [salt for salt in specimen.salts if ion in salt.ions]
    return ion in scheme.extract_loses and not any(salt.dissolves_in in WATER for salt in came_in)


def follow(kb, scheme, supply):
    """{(test, facet, step): {ion: Margin}} as these ions go through every stage of a scheme."""
    return _run(kb, scheme, supply)[0]


def fractions(kb, scheme, supply):
    """{fraction: {ion: mmol}} that stand in the rack when the last stage of a scheme is done."""
    return _run(kb, scheme, supply)[1]


def _run(kb, scheme, supply):
    result = {}
    rack = {START: {ion: scheme.tube_mL * amount for ion, amount in supply.original.items()}}
    for stage, looks in staged(kb, scheme):
        test = kb.tests[stage.test]
        in_tube = test.portion == "tube"
        tube = _treated(stage, rack.pop(stage.takes, {})) if in_tube else {}
        if in_tube and not tube:
            continue
        last = _looked(kb, stage, test, looks, tube, supply, result)
        if in_tube:
            _leave(kb, stage, test, looks, tube, last, rack)
    return result, rack


def _looked(kb, stage, test, looks, tube, supply, result):
    """The margins of each look go into `result`; those of the last look at the tube itself come back."""
    last, before = {}, {}
    for look in looks:
        amounts = before if look.vessel.residue else _amounts(kb, look.vessel, tube, supply)
        here = _margins(kb, stage, test, look, amounts)
        if here:
            result[test.id, look.facet, look.step] = here
        if calculable(look.vessel):
            before = _fallen(kb, amounts, here)
            last = here if look.facet == "tube" and not look.vessel.residue else last
    return last


def _amounts(kb, vessel, tube, supply):
    """Mmol of each ion in a vessel, before anything falls."""
    whole = {
        "tube": tube,
        "original solution": {ion: n * vessel.portion_mL for ion, n in supply.original.items()},
        "extract": {ion: n * vessel.portion_mL for ion, n in supply.extract.items()},
    }.get(vessel.of, {})
    share = vessel.share if vessel.of == "tube" else 1.0
    gone = {_counted(kb, ion) for ion in vessel.gone}
    return {
        ion: n * share for ion, n in whole.items()
        if _counted(kb, ion) not in gone and ion not in vessel.beyond_of
    }


def _counted(kb, ion):
    """The basis species that an ion is counted as; the ion itself where it has no constants."""
    known = book(kb.constants)
    return known.main(ion) if ion in known.made else ion


def _margins(kb, stage, test, look, amounts):
    """{ion: Margin} of the ions that a test speaks about; `each`: every one in a tube of its own."""
    if not calculable(look.vessel):
        return {}
    of = test.facets[look.facet].of
    asked = [
        ion for ion in amounts
        if ion in kb.ions and kb.ions[ion].kind in test.kinds and (not of or ion in of)
        and _has_its_product(kb, test, look.facet, ion) and _belongs(kb, stage, test, ion)
    ]
    found = {}
    for ion in asked:
        others = amounts if not stage.each else {i: n for i, n in amounts.items() if i == ion}
        found[ion] = margin_in(kb, look.vessel, ion, others)
    return {ion: margin for ion, margin in found.items() if margin}


def _belongs(kb, stage, test, ion):
    """In the work-up of a precipitate, only ions of which the table says something there."""
    return stage.takes == START or any((test.id, facet) in kb.ions[ion].facts for facet in test.facets)


@lru_cache(maxsize=4000)
def _has_its_product(kb, test, facet, ion):
    """Whether the solids that the table names have constants: without them another solid would be shown."""
    fact = kb.ions[ion].facts.get((test.id, facet))
    named = [o.product for o in fact.seen if o.event == "precipitate" and o.product] if fact else []
    species = {_without_water(c.species) for c in kb.constants.values.values() if c.kind == "solids"}
    return not named or any(_without_water(product) in species for product in named)


def _without_water(solid):
    """The formula without its crystal water: tables of reactions leave that out."""
    return solid.split(".")[0]


def _fallen(kb, amounts, margins):
    """Mmol of what fell, with the ions that it fell with."""
    solid = {}
    for ion, margin in margins.items():
        for other, amount in _with_ions(kb, ion, margin, amounts[ion] * margin.fraction).items():
            solid[other] = solid.get(other, 0.0) + amount
    return solid


def _with_ions(kb, ion, margin, amount):
    """{ion: mmol} of an ion in a solid: itself, and its counter-ions in the solid's own proportions."""
    parts = book(kb.constants).of(margin.solid)
    main = book(kb.constants).main(ion)
    found, balance = {ion: amount}, charge(ion) * amount
    for part, number in parts.items():
        if part not in (main, "H+", "H2O"):
            found[part] = amount * number / parts[main]
            balance += charge(part) * found[part]
    if balance > 0:
        found["OH-"] = balance
    return found


def _leave(kb, stage, test, looks, tube, margins, rack):
    """The fractions that a stage leaves, as mmol; an ion without a Margin goes where its fact says."""
    solid = _begins_solid(looks)
    fell = _shares(kb, test, tube, margins, solid)
    names = names_left(stage, solid)
    calculated = {
        ion: replace(m, fraction=fell[ion]) for ion, m in margins.items()
        if ion in tube and (m.fraction == fell[ion] or (fell[ion] == 1 and _nearly_all(kb, m)))
    }
    precipitate = _fallen(kb, tube, calculated)
    for ion, share in fell.items():
        if ion not in calculated and share and ion in kb.ions and kb.ions[ion].kind == "cation":
            precipitate[ion] = precipitate.get(ion, 0.0) + share * tube[ion]
    rack[names[0]] = {ion: amount for ion, amount in precipitate.items() if amount > 0}
    rack[names[1]] = {ion: n * (1 - fell[ion]) for ion, n in tube.items() if fell[ion] < 1}


def _begins_solid(looks):
    return bool(looks) and looks[0].vessel.solid and not looks[0].vessel.residue


def _shares(kb, test, tube, margins, solid):
    """{ion: share of it that is solid when a stage is done}: calculated, where the table has the same."""
    cations = tuple(ion for ion in tube if ion in kb.ions and kb.ions[ion].kind == "cation")
    anions = tuple(ion for ion in tube if ion in kb.ions and kb.ions[ion].kind == "anion")
    falls, stays = (f.cations for f in split(kb, test.id, Fraction(cations, anions, solid)))
    shares = {}
    for ion in tube:
        margin = margins.get(ion)
        by_table = 0.0 if ion not in falls else 0.5 if ion in stays else 1.0
        same = margin and (by_table == 0.5 or margin.forms == bool(by_table))
        traces = same and by_table == 1 and _nearly_all(kb, margin)
        by_margin = not traces and (same or (margin and _open(kb, test, ion, margin)))
        shares[ion] = margin.fraction if by_margin else by_table
    return shares


def _nearly_all(kb, margin):
    """Whether what the calculation leaves is a trace: where the table has all fall, it goes no further."""
    return margin.state == "clear" and margin.fraction >= kb.constants.thresholds.clear_fraction


def _open(kb, test, ion, margin):
    """Whether a result is near the limit, and nobody has said what holds."""
    return margin.state == "marginal" and settled_for(kb, test.id, "tube", "", ion) is None


def _treated(stage, amounts):
    """Amounts after what is done before a stage: ions changed (iron(II) into iron(III)), anions taken out."""
    result = {}
    for ion, amount in amounts.items():
        if ion not in stage.removes:
            result[stage.becomes.get(ion, ion)] = result.get(stage.becomes.get(ion, ion), 0.0) + amount
    return result


def least_millimoles(kb, ion, g_mL):
    """The smallest amount (mmol) of an ion in 1 mL that holds `g_mL` g, over the salts that dissolve."""
    salts = [salt for salt in kb.salts.values() if ion in salt.ions and salt.dissolves_in != "nothing"]
    return min((1000 * g_mL * s.ions[ion] / s.molar_mass_g_mol for s in salts), default=0.0)


@lru_cache(maxsize=16)
def table(kb, scheme):
    """{(test, facet, step): {ion: (form, Margin)}} for every ion of the syllabus alone.

    The amount is the smallest that any salt of the base gives; `form` is what the ion has become by then.
    """
    found = {}
    for ion in (*scheme.cations, *scheme.anions):
        strengths = (scheme.original_g_mL, scheme.extract_g_mL)
        supply = Supply(*({ion: least_millimoles(kb, ion, g_mL)} for g_mL in strengths))
        forms = _forms(scheme, ion)
        for place, here in follow(kb, scheme, supply).items():
            for form, margin in here.items():
                if form in forms:
                    found.setdefault(place, {})[ion] = (form, margin)
    return found


def _forms(scheme, ion):
    """All that an ion may become on its way through a scheme, itself among them."""
    forms = [ion]
    for stage in scheme.stages:
        forms += [stage.becomes[form] for form in forms if form in stage.becomes]
    return set(forms)


