"""What the tests of second marking do again and again."""

from grading.models import Award, SecondMark
from grading.second import selectors, services
from tests.marking.exams import parts

PART = "appearance.observation"
WHY = "only half of it is said"


def drawn(exam):
    """The samples in the order of their codes."""
    return [exam.samples.select_related("exam__centre").get(code=row.code) for row in selectors.rows(exam)]


def give(sample, who, part, less=0, *, version=0, reason=None):
    """Give one part its second mark, as suggested or so many steps less."""
    reason = (WHY if less else "") if reason is None else reason
    return services.second_set(sample=sample, part=part.key, steps=part.steps - less, reason=reason,
                               version=version, stamp=part.stamp, who=who)


def mark_again(sample, who, lower=""):
    """Give every part the suggested mark, and one a step less."""
    for part in parts(sample):
        give(sample, who, part, int(part.key == lower))


def decide(sample, who, steps, *, reason="both were looked at again", part=PART):
    """Settle the difference in a part."""
    award = Award.objects.get(record__sample=sample, part=part)
    stamp = next(each.stamp for each in parts(sample) if each.key == part)
    return services.settle(sample=sample, part=part, steps=steps, reason=reason, version=award.version,
                           stamp=stamp, who=who)


def second_mark(sample, part=PART):
    """The second mark of a part."""
    return SecondMark.objects.get(marking__record__sample=sample, part=part)
