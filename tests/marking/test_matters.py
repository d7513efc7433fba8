"""What does not go together in a record, on the marking page: for the examiner, by code, stored with the marks."""

import pytest
from django.urls import reverse

from grading.marking import services
from grading.marking.parts import stored
from grading.marking.suggest import frozen_record
from grading.models import Record
from tests.marking import exams

ZINC = "ZnSO4.7H2O"
TITLE = "Matters for the examiner"


def of_zinc(exam):
    """What a good record of the other salt of the sitting says."""
    record = exam.expected.get(salt=ZINC).record
    return {line["test"]: (line["text"], "") for line in record["lines"] if line["done"]}


def matters(sample):
    return stored(Record.objects.get(sample=sample).paper).matters


def page_of(as_user, who, sample):
    return as_user(who).get(reverse("marking:marks", args=[sample.exam_id, sample.code])).content.decode()


def test_a_good_record_has_none_and_its_page_says_nothing_of_them(as_user, examiner, entered):
    assert matters(entered) == ()
    assert TITLE not in page_of(as_user, examiner, entered)


def test_a_record_that_fits_another_specimen_better_is_asked_about_by_code(as_user, examiner, exam, sample):
    exams.enter(sample, examiner, of_zinc(exam), cation="Zn2+", anion="SO42-")
    zinc = sorted(exam.samples.filter(salt=ZINC).values_list("code", flat=True))

    neighbour = next(matter for matter in matters(sample) if matter["kind"] == "another specimen")
    assert neighbour["specimen"] == ", ".join(zinc)
    html = page_of(as_user, examiner, sample)
    assert TITLE in html and "was a sample mixed up?" in html
    assert ZINC not in neighbour["text"]


def test_other_sittings_and_exams_are_not_compared_with(examiner, exam, sample, cast):
    from examkit.models import Sitting

    elsewhere = Sitting.objects.create(exam=exam, room=sample.sitting.room, name="Afternoon")
    exam.samples.filter(salt=ZINC).update(sitting=elsewhere)
    exams.enter(sample, examiner, of_zinc(exam))

    assert not [matter for matter in matters(sample) if matter["kind"] == "another specimen"]


def test_a_result_that_its_own_record_rules_out_is_told(as_user, examiner, sample):
    exams.enter(sample, examiner, cation="Zn2+")

    assert [matter["kind"] for matter in matters(sample)] == ["result"]
    assert "Zn²⁺ is named" in page_of(as_user, examiner, sample)


def test_lines_that_contradict_each_other_are_told(examiner, sample):
    lines = {"group-3b": ("white ppt", ""), "naoh": ("blue ppt, insoluble in excess", "")}
    exams.enter(sample, examiner, lines, cation="", anion="")

    assert {matter["kind"] for matter in matters(sample)} == {"lines"}


def test_they_follow_a_correction_of_the_record(examiner, sample):
    exams.enter(sample, examiner, cation="Zn2+")
    services.result_save(sample=sample, cation="Ni2+", anion="Cl-", version=1, who=examiner)

    assert matters(sample) == ()


def test_no_mark_depends_on_them(examiner, exam, sample):
    exams.enter(sample, examiner, of_zinc(exam))
    with_others = [part.steps for part in exams.parts(sample)]
    exam.samples.exclude(pk=sample.pk).update(salt=sample.salt)
    services.suggestions_renew(sample=sample, who=examiner)

    assert not [matter for matter in matters(sample) if matter["kind"] == "another specimen"]
    assert [part.steps for part in exams.parts(sample)] == with_others


def test_a_page_opened_later_computes_nothing(as_user, examiner, exam, sample, monkeypatch):
    exams.enter(sample, examiner, of_zinc(exam))
    monkeypatch.setattr("grading.marking.suggest.consistency", lambda *_: pytest.fail("computed on a page"))

    assert TITLE in page_of(as_user, examiner, sample)


def test_suggestions_stored_before_there_were_any_are_still_read(entered):
    record = Record.objects.get()
    del record.paper["matters"], record.paper["caps"]

    assert (stored(record.paper).matters, stored(record.paper).caps) == ((), {})


@pytest.mark.parametrize("role", ["teacher", "assistant", "moderator"])
def test_they_are_for_examiners_alone(as_user, cast, examiner, exam, sample, role):
    exams.enter(sample, examiner, of_zinc(exam))

    assert TITLE not in page_of(as_user, getattr(cast, role), sample)


def test_they_name_no_candidate(examiner, exam, sample):
    exams.enter(sample, examiner, of_zinc(exam), cation="Pb2+")
    told = str(matters(sample))

    assert frozen_record(sample) and told != "()"
    assert not [word for row in exams.CANDIDATES for word in row if word in told]
