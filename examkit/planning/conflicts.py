"""Why a draw is impossible: which rules stand against each other, and what would free it."""

from collections import defaultdict
from dataclasses import dataclass, replace

from examkit.planning.balance import shares
from examkit.planning.plan import corners
from examkit.planning.said import said as _


@dataclass(frozen=True)
class Rule:
    """A rule that a teacher could give up: its name, the way out, and how a plan looks without it."""

    name: object
    way: object
    lifted: object

    def used(self, plan):
        """Whether the plan has anything of this rule."""
        return self.lifted(plan) != plan


RULES = (
    Rule(_("a bench never has the same salt in sittings close in time"),
         _("shorten the time within which sittings count as close"),
         lambda plan: replace(plan, close=())),
    Rule(_("salts that are kept apart are never neighbours"),
         _("keep fewer salts apart"),
         lambda plan: replace(plan, pool=tuple(replace(one, marks=()) for one in plan.pool))),
    Rule(_("nobody gets a salt that is not for them"),
         _("add salts that suit everybody, or allow an invigilator to name colours"),
         lambda plan: replace(plan, entrants=tuple(replace(one, never=()) for one in plan.entrants))),
    Rule(_("no more samples of a salt than its stock allows"),
         _("order more of the scarce salts, or make the samples smaller"),
         lambda plan: replace(plan, pool=tuple(replace(one, most=None) for one in plan.pool))),
    Rule(_("benches asked for"),
         _("let candidates who asked for a bench sit anywhere"),
         lambda plan: replace(plan, entrants=tuple(replace(one, bench="") for one in plan.entrants))),
    Rule(_("neighbours across a shared sink have different salts"),
         _("do not count the benches of a sink as neighbours"),
         lambda plan: replace(plan, halls=tuple(replace(hall, links=()) for hall in plan.halls))),
)


def plain(plan):
    """What can be seen without a solver: too few salts, too little stock, a candidate without any salt."""
    if len(plan.pool) < 2:
        yield _("The pool has %(salts)d salts; neighbours must differ. Choose at least 2, better 4 or more.",
                salts=len(plan.pool))
    if plan.pool and plan.entrants:
        yield from _stock(plan)
        yield from _unsuited(plan)


def _stock(plan):
    enough = sum(shares(plan).values())
    if enough < len(plan.entrants):
        scarce = [f"{one.salt}: {one.most}" for one in plan.pool if one.most is not None]
        yield _("The stock suffices for %(samples)d samples (%(scarce)s), and there are %(candidates)d "
                "candidates. Order more, add salts, or make the samples smaller.",
                samples=int(enough), scarce="; ".join(scarce), candidates=len(plan.entrants))


def _unsuited(plan):
    salts, by_never = {one.salt for one in plan.pool}, defaultdict(list)
    for one in plan.entrants:
        if salts <= set(one.never):
            by_never[one.never].append(one.number)
    for numbers in by_never.values():
        yield _("No salt of the pool is for candidate %(numbers)s: each was met before, or is told by colour "
                "alone. Add a salt that suits, or allow an invigilator to name colours.",
                numbers=", ".join(numbers))


def explained(plan, possible):
    """The refusal in words: a smallest set of rules that cannot be kept together, and the ways out.

    `possible(plan)` says whether a draw of a plan is found.
    """
    used = [rule for rule in RULES if rule.used(plan)]
    if not used or not possible(_without(plan, used)):
        return [_too_few_salts(plan)]
    kept = list(used)
    for rule in used:
        fewer = [other for other in kept if other is not rule]
        if not possible(_without(plan, [other for other in used if other not in fewer])):
            kept = fewer
    return [
        _("These rules cannot be kept together: neighbours have different salts; %(rules)s.",
          rules="; ".join(str(rule.name) for rule in kept)),
        _("Any one of these frees the draw: %(ways)s; or add salts to the pool, or leave benches empty.",
          ways="; ".join(str(rule.way) for rule in kept)),
    ]


def _without(plan, rules):
    for rule in rules:
        plan = rule.lifted(plan)
    return plan


def crowded(plan):
    """The corner of a room where most open benches meet: that many salts, and cations, are needed for full
    rooms."""
    meeting = [(len(group), hall.name, group) for hall in plan.halls for group in corners(hall.benches)]
    return max(meeting, key=lambda one: one[0], default=(1, "", ()))


def _too_few_salts(plan):
    most, hall, group = crowded(plan)
    return _("Sitting '%(sitting)s': the neighbours %(benches)s all meet at one corner, and each bench has "
             "up to eight neighbours, so that %(needed)d salts are needed; the pool has %(salts)d. "
             "Add salts to the pool, or close benches.",
             sitting=hall, benches=", ".join(bench.label for bench in group),
             needed=max(most, len(plan.pool) + 1), salts=len(plan.pool))
