"""Who sits in which sitting and on which bench: wishes bind, the rest is chance."""

from collections import Counter, defaultdict
from dataclasses import replace

from examkit.planning.said import said as _


def problems(plan):
    """Everything that makes seating impossible, each with the way out."""
    yield from _room_problems(plan)
    yield from _wish_problems(plan)
    yield from _bench_problems(plan)
    yield from _need_problems(plan)


def _room_problems(plan):
    places = sum(len(hall.benches) for hall in plan.halls)
    if not plan.entrants:
        yield _("There are no candidates. Import the class list first.")
    if not plan.halls:
        yield _("There is no sitting. Add a sitting with a room first.")
    elif len(plan.entrants) > places:
        yield _(
            "%(candidates)d candidates, but only %(places)d open benches in all sittings. "
            "Add a sitting, open benches or use a larger room.",
            candidates=len(plan.entrants),
            places=places,
        )


def _wish_problems(plan):
    room_for = {hall.name: len(hall.benches) for hall in plan.halls}
    wishes = Counter(entrant.sitting for entrant in plan.entrants if entrant.sitting)
    for entrant in plan.entrants:
        if entrant.sitting and entrant.sitting not in room_for:
            yield _(
                "Candidate %(number)s is entered for the sitting '%(sitting)s'; this exam has "
                "%(sittings)s. Correct the candidate or add the sitting.",
                number=entrant.number,
                sitting=entrant.sitting,
                sittings=", ".join(f"'{name}'" for name in room_for) or "none",
            )
    for name, wished in sorted(wishes.items()):
        if wished > room_for.get(name, wished):
            yield _("%(wished)d candidates are entered for the sitting '%(sitting)s', which has %(places)d "
                    "open benches. Move some to another sitting or open benches.",
                    wished=wished, sitting=name, places=room_for[name])


def _bench_problems(plan):
    taken = defaultdict(list)
    for entrant in plan.entrants:
        if not entrant.bench:
            continue
        if not _halls_with(plan, entrant):
            yield _("Candidate %(number)s asks for bench %(bench)s, which is not an open bench of the "
                    "sitting. Correct the bench or open it.", number=entrant.number, bench=entrant.bench)
        taken[entrant.sitting, entrant.bench].append(entrant.number)
    for (sitting, bench), numbers in sorted(taken.items()):
        if len(numbers) > (1 if sitting else len(plan.halls)):
            yield _("Candidates %(numbers)s ask for the same bench %(bench)s in the same sitting. "
                    "Give one of them another bench or sitting.", numbers=", ".join(numbers), bench=bench)


def _need_problems(plan):
    """Needs for which no sitting has the place: a separate room, a bench for the left-handed."""
    apart = [one.number for one in plan.entrants if one.separate]
    places = {kind: sum(len(h.benches) for h in plan.halls if h.separate == kind) for kind in (True, False)}
    if len(apart) > places[True]:
        yield _("A separate room is needed for %(needed)d (number %(numbers)s), and sittings in separate "
                "rooms have %(places)d open benches. Add a sitting in a room marked as separate.",
                needed=len(apart), numbers=", ".join(apart), places=places[True])
    others = len(plan.entrants) - len(apart)
    if places[True] and others > places[False]:
        yield _("%(candidates)d candidates sit in the common rooms, which have %(places)d open benches. Add "
                "a sitting or open benches.", candidates=others, places=places[False])
    left = [one.number for one in plan.entrants if one.left]
    benches = sum(len(hall.left) for hall in plan.halls)
    if len(left) > benches:
        yield _("A left-handed bench is needed for %(needed)d (number %(numbers)s), and the sittings have "
                "%(benches)d. Mark benches of the rooms as left-handed.",
                needed=len(left), numbers=", ".join(left), benches=benches)


def _halls_with(plan, entrant):
    """The sittings in which this candidate can sit as wished and needed."""
    return [
        hall for hall in plan.halls
        if entrant.sitting in ("", hall.name)
        and entrant.separate == hall.separate
        and (not entrant.left or hall.left)
        and (not entrant.bench or any(bench.label == entrant.bench for bench in hall.benches))
    ]


def spread(plan, stream):
    """A sitting for each candidate: wishes first, then the emptiest sitting (as a share of its benches)
    fills up."""
    members = {hall.name: [] for hall in plan.halls}
    kept_back = Counter(one.sitting for one in plan.entrants if one.sitting)
    order = stream.shuffled(plan.entrants)
    for entrant in sorted(order, key=lambda one: (not one.sitting, not one.bench, not one.left)):
        hall = _emptiest(plan, entrant, members, kept_back, stream)
        if hall is None:
            return _("Candidate %(number)s finds no bench %(bench)s free in any sitting that suits their "
                     "needs. Give them a sitting, or another bench.",
                     number=entrant.number, bench=entrant.bench)
        members[hall.name].append(entrant)
        kept_back[hall.name] -= entrant.sitting == hall.name
    return members


def _emptiest(plan, entrant, members, kept_back, stream):
    """The sitting with the smallest share of benches in use that can take the candidate, ties by chance."""
    fit = []
    for hall in stream.shuffled(_halls_with(plan, entrant)):
        used = len(members[hall.name]) + (0 if entrant.sitting else kept_back[hall.name])
        bench_taken = entrant.bench and any(one.bench == entrant.bench for one in members[hall.name])
        if entrant.left and not entrant.bench:
            if sum(one.left for one in members[hall.name]) >= len(hall.left):
                continue
        if used < len(hall.benches) and not bench_taken:
            fit.append(((used + 1) / len(hall.benches), len(fit), hall))
    return min(fit)[2] if fit else None


def left_handed(plan, members, stream):
    """The same with a left-handed bench for each who needs one, or a refusal."""
    given = {}
    for hall in plan.halls:
        taken = {one.bench for one in members[hall.name] if one.bench}
        free = stream.shuffled(sorted(set(hall.left) - taken))
        for one in members[hall.name]:
            if one.left and not one.bench and not free:
                return _("Sitting '%(sitting)s' has too few benches for left-handed candidates: candidate "
                         "%(number)s finds none. Mark another bench of the room, or move somebody to "
                         "another sitting.", sitting=hall.name, number=one.number)
        given[hall.name] = [
            replace(one, bench=free.pop()) if one.left and not one.bench else one
            for one in members[hall.name]
        ]
    return given


def pick_benches(hall, members, stream):
    """As many benches as candidates: those asked for, the rest by chance."""
    asked = {one.bench for one in members if one.bench}
    free = stream.shuffled(bench for bench in hall.benches if bench.label not in asked)
    chosen = [bench for bench in hall.benches if bench.label in asked] + free[: len(members) - len(asked)]
    return tuple(sorted(chosen))
