"""Things to places by chance, where not everything may go everywhere."""

from collections import Counter

from examkit.planning.solver import families


def matched(things, places, may, stream):
    """A place for every thing (dict place -> thing) by chance, or None; `may(thing, place)` allows it.

    Maximum matching by augmenting paths over shuffled orders: found where there is one.
    """
    at, order = {}, stream.shuffled(places)

    def seat(thing, tried):
        for place in order:
            if place not in tried and may(thing, place):
                tried.add(place)
                if place not in at or seat(at[place], tried):
                    at[place] = thing
                    return True
        return False

    return at if all(seat(thing, set()) for thing in stream.shuffled(things)) else None


def dealt(hall, kinds_at, number, pool, barred, stream):
    """The salt on each bench in use: the salts of a family by chance on the benches of that family.

    None where the salts barred from benches leave no way.
    """
    salt_at = {}
    for kind in families(pool):
        benches = [b.label for b in hall.benches if kinds_at.get((hall.name, b.label)) == kind.key]
        salts = [salt for salt in kind.salts for _each in range(number[hall.name, salt])]
        some = _shared_out(salts, benches, barred, stream)
        if some is None:
            return None
        salt_at |= some
    return salt_at


def _shared_out(salts, benches, barred, stream):
    """These salts on these benches, none where it is barred."""
    if not any(barred.get(bench) for bench in benches):
        return dict(zip(benches, stream.shuffled(salts), strict=True))
    each = [(salt, copy) for salt, many in Counter(salts).items() for copy in range(many)]
    found = matched(each, benches, lambda one, bench: one[0] not in barred.get(bench, ()), stream)
    return found and {bench: salt for bench, (salt, _copy) in found.items()}
