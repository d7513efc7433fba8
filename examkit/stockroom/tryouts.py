"""How a reagent's bottle is tried: in a test where it decides, with a salt that shows it; else by eye."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from examkit.chemistry.describe import describe_test
from examkit.chemistry.knowledge.model import Outcome
from examkit.stockroom.deciding import DRY, LAST, decides, is_named_after, named, same, tubes

WATER, LEFT = "cold water", "residue"  # what a salt is said to dissolve in; the event that a solid is left


@dataclass(frozen=True)
class Tryout:
    """One test with two salts: the one that answers and what it shows, and one that shows nothing there;
    or, where no salt at hand shows what the reagent does, how to check the bottle (`check`)."""

    title: str = ""
    with_salt: str = ""
    shows: str = ""
    without: str = ""
    check: str = ""


@dataclass(frozen=True)
class Shown:
    """What one salt shows where a reagent decides: `told` as far as the last look at which it does, `rank`
    of the place, `plain` of the salt (the lowest is the simplest to try with)."""

    salt: str
    facet: str
    told: tuple[Outcome, ...]
    answers: bool
    rank: tuple
    plain: tuple


@dataclass(frozen=True)
class Seen:
    """One line of an expected record that is done: its stage, and its outcomes by facet."""

    stage: object
    outcomes: dict
    number: int
    points_to: int


def tryouts(kb, records, need, at_hand=tuple):
    """How the bottle of a reagent that is needed is tried.

    `records` are the expected records (JSON) of the drawn salts, `at_hand` gives those of the salts on
    the shelf: asked where no drawn salt, alone, shows what the reagent does, and before drawn mixtures.
    Of several tests the one is taken in which the reagent decides most surely, beside the fewest others;
    of several salts one that dissolves in water, whose outcome tells most, with the fewest hazards.
    """
    alone = [record for record in records if len(record["specimen"]) == 1]
    return (_found(kb, alone, need) or _found(kb, at_hand(), need) or _found(kb, records, need)
            or Tryout(check=_by_eye(kb.reagents[need.reagent])))


def _found(kb, records, need):
    """The best test of these records, or None."""
    reagent, by_look = kb.reagents[need.reagent], {}
    for record in records:
        for shown in _shown(kb, record, reagent, need.tests):
            by_look.setdefault((shown.rank, shown.facet), []).append(shown)
    best = [_ranked(looks) for looks in by_look.values() if any(each.answers for each in looks)]
    if not best:
        return None
    _rank, answer, silent = min(best, key=lambda each: each[0])
    test = kb.tests[answer.rank[-1]]
    return Tryout(test.title, answer.salt, describe_test(test, [(answer.facet, list(answer.told))]), silent)


def _ranked(looks):
    """The rank of a look, the simplest salt that answers there, and the name of one that does not."""
    answer = min((each for each in looks if each.answers), key=lambda each: each.plain)
    silent = min((each for each in looks if not each.answers), key=lambda each: each.plain, default=None)
    sure, away, others, number, test = answer.rank
    return (sure, away, silent is None, others, number, test), answer, silent.salt if silent else ""


def _shown(kb, record, reagent, tests):
    """What a record shows at each facet where the reagent decides."""
    lines = _lines(kb, record)
    for line in lines:
        test = kb.tests[line.stage.test]
        looks = decides(kb, line.stage, reagent.key) if test.id in tests else ()
        found = [*_named(reagent, line), *_decided(kb, reagent, line, looks, lines)]
        for facet, outcomes, sure, others, answers in found:
            away = test.id not in tests or not _is_named(reagent, test, facet)
            rank, plain = (sure, away, others, line.number, test.id), _plain(kb, record, line, outcomes)
            yield Shown(_name(kb, record), facet, outcomes, answers, rank, plain)


def _lines(kb, record):
    """The lines of a record that are done."""
    stages = {stage.test: stage for stage in kb.schemes[record["scheme"]].stages}
    return [Seen(stages[line["test"]], _outcomes(line), number, len(line["points_to"]))
            for number, line in enumerate(record["lines"]) if line["done"]]


def _named(reagent, line):
    """Facets whose outcome may say what the reagent did to a gas."""
    for facet, outcomes in line.outcomes.items() if reagent.told_as else ():
        yield facet, tuple(outcomes), LAST, 0, named(reagent, outcomes)


def _decided(kb, reagent, line, looks, lines):
    """Facets with a look at which the reagent decides, told as far as the last of these looks."""
    for facet in dict.fromkeys(look.tube.facet for look in looks):
        here = {look.tube.step: look for look in looks if look.tube.facet == facet}
        outcomes = line.outcomes.get(facet, [])
        answers = any(
            outcome.seen and outcome.step in here and not _is_left(kb, line, outcome)
            and not _seen_without(kb, reagent, here[outcome.step].tube, outcome, lines)
            for outcome in outcomes)
        last = max((n for n, outcome in enumerate(outcomes) if outcome.step in here), default=-1)
        sure, others = min(look.sure for look in here.values()), min(look.others for look in here.values())
        yield facet, tuple(outcomes[:last + 1]), sure, others, answers


def _is_left(kb, line, outcome):
    """Whether it is what a liquid has left undissolved, which is no doing of a reagent."""
    return outcome.event == LEFT and kb.tests[line.stage.test].stage != DRY


def _seen_without(kb, reagent, tube, outcome, lines):
    """Whether the salt shows the same in another tube that holds what this one does, but not the reagent."""
    return any(
        same(outcome, other) for line in lines for there in tubes(kb, line.stage)
        if there.course and there.is_part_of(tube, reagent.key)
        for other in line.outcomes.get(there.facet, []) if other.step == there.step)


def _is_named(reagent, test, facet):
    """Whether test or facet bears the reagent's name; one that only touches a gas has none to bear."""
    titles = f"{test.title} {test.facets[facet].title}"
    return bool(reagent.told_as) or is_named_after(reagent, titles)


def _plain(kb, record, line, outcomes):
    salts = [kb.salts[part["salt"]] for part in record["specimen"]]
    hazards = sum(len(salt.hazards.statements) for salt in salts)
    return any(salt.dissolves_in != WATER for salt in salts), len(outcomes), line.points_to, hazards


def _outcomes(line):
    """What a line shows: outcomes by facet."""
    found = {}
    for data in line["seen"]:
        fields = {key: value for key, value in data.items() if key in Outcome.__dataclass_fields__}
        found.setdefault(data["facet"], []).append(Outcome(**fields | {"colours": tuple(data["colours"])}))
    return found


def _by_eye(reagent):
    """How the bottle is checked without a salt, in its own words or in those for every bottle."""
    general = {
        "paper": _("Even in colour, dry, from a closed box."),
        "solid": _("As it should look, dry, without lumps or crust."),
    }.get(reagent.kind, _("Clear, without deposit or skin, in its usual colour."))
    return reagent.check or general


def _name(kb, record):
    return " + ".join(kb.salts[part["salt"]].name for part in record["specimen"])
