"""The pairs of a pool as a picture: a triangle of squares, darker where fewer tests part the two."""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from examkit.chemistry.formula import pretty
from examkit.chemistry.parting import hanging
from examkit.knowledge import knowledge
from examkit.planning.selectors.expected import course_of, pairs_of

SIDE, LEFT, TOP = 34, 180, 12  # of a square, and of the room for names, in units of the drawing
NAME = 180  # room for the slanting names at the right


@dataclass(frozen=True)
class Square:
    """A pair: its place, how many tests part it as a class of shade, a sign, and all of it in words."""

    x: int
    y: int
    shade: str
    sign: str
    told: str

    @property
    def middle(self):
        """The middle of the square, for its sign."""
        return self.x + SIDE / 2, self.y + 0.7 * SIDE


@dataclass(frozen=True)
class Name:
    """A salt's name at the left of its row and on top of its column."""

    shown: str
    y: int
    x: int
    top: int


@dataclass(frozen=True)
class Picture:
    """The drawing."""

    squares: tuple[Square, ...]
    names: tuple[Name, ...]
    width: int
    height: int


def picture(exam, formulas):
    """The pairs of these salts under the exam's scheme; None for fewer than two."""
    if len(formulas) < 2:
        return None
    kb = knowledge(exam.centre)
    scheme, pool = kb.schemes[exam.scheme], tuple(sorted(formulas))
    hopes = {(p.one, p.other) for p in hanging(kb, [course_of(kb, scheme, salt) for salt in pool])}
    place = {salt: index for index, salt in enumerate(pool)}
    squares = tuple(_square(kb, pair, place, (pair.one, pair.other) in hopes)
                    for pair in pairs_of(kb, scheme, pool))
    names = tuple(
        Name(pretty(salt), TOP + index * SIDE + 23, LEFT + index * SIDE + 14, TOP + index * SIDE + 23)
        for salt, index in place.items()
    )
    return Picture(squares, names, LEFT + len(pool) * SIDE + NAME, TOP + len(pool) * SIDE + 10)


def _square(kb, pair, place, hangs):
    low, high = sorted((place[pair.one], place[pair.other]))
    tests = [kb.tests[test].title for test in pair.tests]
    told = f"{pretty(pair.one)}, {pretty(pair.other)}: " + _words(pair, tests, hangs)
    sign = "=" if not tests else "c" if pair.by_colour_alone else ""
    return Square(LEFT + low * SIDE, TOP + high * SIDE, _shade(len(tests)), "m" if hangs else sign, told)


def _shade(number):
    return "none" if not number else "one" if number == 1 else "few" if number <= 3 else "many"


def _words(pair, tests, hangs):
    if hangs:
        return _("parted by a marginal result alone")
    if not tests:
        return _("cannot be told apart")
    told = ngettext("%(n)d test parts them: %(tests)s", "%(n)d tests part them: %(tests)s", len(tests)) % {
        "n": len(tests), "tests": ", ".join(tests)}
    return told + (_(" (colour alone)") if pair.by_colour_alone else "")
