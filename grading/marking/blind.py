"""From whom first marks are hidden: whoever marks a record a second time, until they have finished it."""

from grading.models import SecondMarking


def hidden_codes(exam_pk, who):
    """The codes of the records of an exam whose first marks are hidden from a person."""
    open_ = SecondMarking.objects.filter(record__sample__exam=exam_pk, marker=who, finished_at=None)
    return set(open_.values_list("record__sample__code", flat=True))
