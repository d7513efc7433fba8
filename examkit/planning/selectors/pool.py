"""The salts that an exam may choose from, and what should be thought of before they are drawn."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from examkit.chemistry.formula import pretty
from examkit.knowledge import knowledge
from examkit.planning.conflicts import crowded
from examkit.planning.selectors.ceiling import above_ceiling
from examkit.planning.selectors.draw import plan_of
from examkit.planning.selectors.expected import by_colour_alone, told_apart
from examkit.planning.solver import families


@dataclass(frozen=True)
class Offer:
    """A salt of the scheme's syllabus as a line of the pool page."""

    formula: str
    shown: str
    name: str
    colour: str
    swatch: str
    cations: tuple[str, ...]
    anions: tuple[str, ...]
    dissolves_in: str
    signal: str
    statements: tuple[tuple[str, str], ...]
    moisture: str


def offered(exam):
    """The salts whose ions all belong to the syllabus of the exam's scheme, by cation, then anion."""
    kb = knowledge(exam.centre)
    scheme = kb.schemes[exam.scheme]
    order = {ion: place for place, ion in enumerate([*scheme.cations, *scheme.anions])}
    fit = [salt for salt in kb.salts.values() if {*salt.cations, *salt.anions} <= order.keys()]
    fit.sort(key=lambda salt: ([order[ion] for ion in (*salt.cations, *salt.anions)], salt.formula))
    return [_offer(kb, salt) for salt in fit]


def uncovered(exam):
    """The specimens of the pool that the scheme does not cover (changed after the choice)."""
    covered = {offer.formula for offer in offered(exam)}
    return [formula for formula in exam.pool.values_list("formula", flat=True) if formula not in covered]


def _offer(kb, salt):
    colour = salt.colour[0] if salt.colour else ""
    known = kb.colours.get(colour)
    statements = [(code, kb.statements.get(code, "")) for code in salt.hazards.statements]
    return Offer(
        salt.formula, pretty(salt.formula), salt.name, colour, known.swatch if known else "",
        tuple(pretty(ion) for ion in salt.cations), tuple(pretty(ion) for ion in salt.anions),
        _solvent(salt.dissolves_in), salt.hazards.signal, tuple(statements), salt.moisture,
    )


def _solvent(words):
    """A solvent's words with its formula set: "conc HNO₃"."""
    return " ".join(pretty(word) if word[-1:].isdigit() else word for word in words.split())


def pool_warnings(exam):
    """What to think of before the draw: pairs that look alike, neighbours that cannot differ, colour
    alone."""
    formulas = list(exam.pool.values_list("formula", flat=True))
    return [
        *_alike(exam, formulas), *_cations(exam), *_colour_alone(exam, formulas), *_hazards(exam, formulas)
    ]


def _hazards(exam, formulas):
    over = above_ceiling(exam, formulas)
    if over:
        told = (f"{pretty(one)} ({', '.join(code for _name, code in why)})" for one, why in over.items())
        yield _("Above the hazard ceiling of this exam: %(salts)s. Set the ceiling where a pool is "
                "suggested, choose others, or decide otherwise with your own risk assessment.") % {
                    "salts": "; ".join(told)}


def _alike(exam, formulas):
    for pair in told_apart(exam, formulas):
        if pair.first is None:
            yield _("The scheme does not tell %(one)s from %(other)s: every test shows the same. A "
                    "candidate cannot find out which it "
                    "is.") % {"one": pretty(pair.one), "other": pretty(pair.other)}


def _cations(exam):
    """A warning where benches that meet at one corner outnumber the cations (four for any full room)."""
    plan = plan_of(exam)
    most, hall, group = crowded(plan)
    kinds = {cation for choice in plan.pool for cation in choice.cations}
    if len(plan.pool) > 1 and len(kinds) < most:
        yield _(
            "The pool has %(cations)d cations, but %(benches)s in '%(sitting)s' all meet at one "
            "corner: in a full room neighbours must share a cation. Add a salt with another cation, or "
            "leave benches empty."
        ) % {"cations": len(kinds), "benches": ", ".join(bench.label for bench in group), "sitting": hall}
    larger = [kind for kind in families(plan.pool) if len(kind.salts) * 4 > len(plan.pool)]
    if most == 4 and len(kinds) >= 4 and larger:
        yield _("More than a quarter of the pool has the cation %(cation)s. In a full room salts cannot "
                "then all be drawn equally often with neighbours' cations different; the draw page says "
                "what gives way.") % {
                    "cation": " and ".join(pretty(ion) for ion in larger[0].cations)}


def _colour_alone(exam, formulas):
    helped = list(exam.candidates.filter(needs_colour_help=True).values_list("number", flat=True))
    alone = by_colour_alone(exam, formulas) if helped else {}
    if alone:
        yield _("Told from others by colour alone: %(salts)s. They are kept from the candidates who need "
                "help with colours (%(numbers)s) where possible.") % {
                    "salts": ", ".join(pretty(formula) for formula in alone), "numbers": ", ".join(helped)}
