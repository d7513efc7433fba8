"""A pool chosen from what may be chosen: told apart, alike in difficulty, clear; by an exact model."""

import re
from dataclasses import dataclass

from examkit.planning.chance import Stream
from examkit.planning.solver import new_model, solve

LIMIT = 3.0  # deterministic time
STEP = 25  # hundredths of a bit: differences of difficulty below it do not count
# what one of each costs; fewer salts than wanted cost most
FEWER, REPEATED_CATION, MARGINAL, REPEATED_ANION, COLOUR_ALONE, SPREAD = 10_000, 60, 40, 20, 15, 25


@dataclass(frozen=True)
class Option:
    """A salt that may be chosen: what it holds, how hard it is to find, in how many tests it is marginal."""

    salt: str
    cations: tuple[str, ...]
    anions: tuple[str, ...]
    difficulty: int  # hundredths of a bit, among all that may be chosen
    marginal: int


def over_ceiling(codes, classes, ceiling):
    """The hazard codes of a salt that lie above the ceiling: (class, code) each.

    `classes` gives the codes of each class from worst to mildest, `ceiling` the worst code allowed of a class
    ("" or nothing: none).
    """
    single = {re.sub(r"[A-Za-z]+$", "", part) for code in codes for part in code.split("+")}
    return tuple(
        (key, code)
        for key, known in classes.items() for place, code in enumerate(known)
        if code in single and place < _place(known, ceiling.get(key))
    )


def _place(codes, worst):
    return codes.index(worst) if worst in codes else len(codes)


def suggest(options, alike, by_colour, number, kept=frozenset()):
    """So many salts of the options (or as many as there are), by formula, and whether none are better.

    `alike` and `by_colour` are pairs (sets of two formulas) that no test, or nothing but colour, parts. All
    `kept` are in, be they alike or more than wanted.
    """
    number = max(number, len(kept))
    options = sorted(options, key=lambda option: option.salt)
    model = new_model()
    chosen = {option.salt: model.new_bool_var(option.salt) for option in options}
    for salt in sorted(kept):
        model.add(chosen[salt] == 1)
    for pair in alike:
        if pair <= kept:
            continue  # chosen by a person, who is warned on the page of the pool
        model.add_at_most_one(chosen[salt] for salt in pair)
    missing = number - sum(chosen.values())
    model.add(missing >= 0)
    cost = FEWER * missing + _spread(model, options, chosen) + _repeats(model, options, chosen, number)
    cost += sum(MARGINAL * option.marginal * chosen[option.salt] for option in options)
    for pair in by_colour:
        both = model.new_bool_var("")
        model.add(sum(chosen[salt] for salt in pair) <= 1 + both)
        cost += COLOUR_ALONE * both
    model.minimize(cost)
    solver, found, proven = solve(model, Stream("suggestion", str(number)), LIMIT)
    return tuple(salt for salt, var in chosen.items() if found and solver.value(var)), proven


def _spread(model, options, chosen):
    """The distance of the hardest from the easiest chosen, in steps."""
    steps = {option.salt: option.difficulty // STEP for option in options}
    top = max(steps.values(), default=0)
    hardest, easiest = model.new_int_var(0, top, ""), model.new_int_var(0, top, "")
    for salt, step in steps.items():
        model.add(hardest >= step).only_enforce_if(chosen[salt])
        model.add(easiest <= step).only_enforce_if(chosen[salt])
    return SPREAD * (hardest - easiest)


def _repeats(model, options, chosen, number):
    """Salts of an ion beyond an even share of the ions at hand."""
    cost = 0
    for name, weight in (("cations", REPEATED_CATION), ("anions", REPEATED_ANION)):
        holders = {}
        for option in options:
            for ion in getattr(option, name):
                holders.setdefault(ion, []).append(chosen[option.salt])
        fair = -(-number // max(1, len(holders)))
        for some in holders.values():
            over = model.new_int_var(0, len(some), "")
            model.add(over >= sum(some) - fair)
            cost += weight * over
    return cost
