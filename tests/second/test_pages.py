"""The pages of second marking: who sees what, blind, by code, and with few queries."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from examkit.models import Membership, Role
from grading.models import Award, SecondDraw, SecondMark, SecondMarking
from grading.second import services
from tests.marking import exams
from tests.marking.exams import CANDIDATES, parts
from tests.second import acts

pytestmark = pytest.mark.database


def address(name, sample, *more):
    return reverse(f"second:{name}", args=[sample.exam_id, sample.code, *more])


def index(exam):
    return reverse("second:index", args=[exam.pk])


def html(client, url):
    response = client.get(url)
    assert response.status_code == 200
    return response.content.decode()


def award_data(sample, part, marks, reason="", version=0):
    return {f"{part.key}-marks": marks, f"{part.key}-reason": reason, f"{part.key}-version": version,
            f"{part.key}-stamp": part.stamp}


def test_the_second_marker_sees_record_and_suggestions_but_no_first_mark_nor_who_gave_it(sample, second, as_user):
    Award.objects.filter(record__sample=sample).update(reason="a first reason")
    page = html(as_user(second), address("marks", sample))

    assert "green crystals, damp" in page and "The program suggests" in page
    assert "0 of" in page and "Edda" not in page and "a first reason" not in page and "class=\"given\"" not in page
    assert "Accept all sure" not in page


def test_no_page_of_second_marking_names_a_candidate(exam, finished, second, moderator, as_user):
    services.sample_draw(exam=exam, size=1, reason="one more", who=moderator)
    for who, urls in ((second, [address("marks", sample) for sample in acts.drawn(exam)]),
                      (moderator, [index(exam), address("settle", finished)])):
        for url in urls:
            page = html(as_user(who), url)
            assert not [part for number, name, group in CANDIDATES for part in (number, name, group) if part in page]


@pytest.mark.parametrize("name", ["marking:marks", "moderation:record"])
def test_other_pages_hide_the_first_marks_from_the_second_marker_until_they_have_finished(
        name, exam, sample, second, as_user):
    Membership.objects.create(centre=exam.centre, user=second, role=Role.MODERATOR)
    url, client = reverse(name, args=[exam.pk, sample.code]), as_user(second)
    assert client.get(url).url == address("marks", sample)

    acts.mark_again(sample, second, lower=acts.PART)
    services.second_finish(sample=sample, who=second)
    assert "Edda" in html(client, url)


@pytest.mark.parametrize("act", ["accept-sure", "finish", "reopen", "renew"])
def test_acts_of_first_marking_lead_the_second_marker_to_their_page(act, sample, second, as_user):
    response = as_user(second).post(reverse(f"marking:{act}", args=[sample.exam_id, sample.code]))
    assert response.url == address("marks", sample)


def test_queue_and_list_hide_what_the_record_came_to(exam, sample, second, as_user):
    Membership.objects.create(centre=exam.centre, user=second, role=Role.MODERATOR)
    client = as_user(second)
    for name, key in (("marking:index", "rows"), ("moderation:records", "rows")):
        rows = client.get(reverse(name, args=[exam.pk])).context[key]
        assert {row.code: row.steps is None for row in rows} == {
            one.code: one.code == sample.code for one in exam.samples.all()}


def test_nobody_but_its_marker_opens_a_second_marking(sample, examiner, moderator, teacher, as_user):
    part = parts(sample)[0]
    for who, status in ((examiner, 404), (moderator, 404), (teacher, 403)):
        client = as_user(who)
        assert client.get(address("marks", sample)).status_code == status
        assert client.post(address("award", sample, part.key), award_data(sample, part, "1")).status_code == status
        assert client.post(address("finish", sample)).status_code == status
    assert not SecondMark.objects.exists()


def test_another_centre_sees_nothing(sample, cast, as_user):
    for role in Role.values:
        Membership.objects.get_or_create(centre=cast.elsewhere, user=cast.stranger, role=role)
    client = as_user(cast.stranger)
    for url in (index(sample.exam), address("marks", sample), address("settle", sample)):
        assert client.get(url).status_code == 404


def test_an_examiner_without_a_part_in_it_sees_no_sample(exam, sample, examiner, as_user):
    page = html(as_user(examiner), index(exam))
    assert "No record waits for your second marking" in page
    assert sample.code not in page.replace(" ", "") and "Second markers" not in page


def test_the_sample_is_drawn_on_the_page_by_number_or_share(exam, moderator, as_user):
    client = as_user(moderator)
    client.post(reverse("second:draw", args=[exam.pk]), {"size": "50 %"})
    assert SecondMarking.objects.count() == 2
    client.post(reverse("second:draw", args=[exam.pk]), {"size": "1", "reason": "to be surer"})
    assert SecondMarking.objects.count() == 3


@pytest.mark.parametrize(("size", "said"), [("some", "This is no number of records"), ("", "required")])
def test_a_size_that_is_none_is_said_beside_its_field(exam, moderator, as_user, size, said):
    response = as_user(moderator).post(reverse("second:draw", args=[exam.pk]), {"size": size})
    assert response.status_code == 409 and said in response.content.decode()
    assert not SecondDraw.objects.exists()


def test_what_a_draw_is_refused_for_is_said(exam, moderator, as_user):
    page = as_user(moderator).post(reverse("second:draw", args=[exam.pk]), {"size": "9"}, follow=True)
    assert "4 of 4 finished records can be drawn" in page.content.decode()


def test_an_examiner_draws_nothing_and_a_moderator_allows_nothing(exam, examiner, moderator, as_user):
    assert as_user(examiner).post(reverse("second:draw", args=[exam.pk]), {"size": "1"}).status_code == 403
    assert as_user(moderator).post(reverse("second:allowed", args=[exam.pk]), {"steps": "1"}).status_code == 403


def test_a_whole_record_is_saved_without_javascript(sample, second, as_user):
    data = {}
    for part in parts(sample):
        data |= award_data(sample, part, "0", "" if part.steps == 0 else "nothing of it")
    response = as_user(second).post(address("marks", sample), data)

    assert response.status_code == 302
    assert SecondMark.objects.filter(steps=0).count() == len(parts(sample))


def test_a_mark_without_its_reason_is_shown_again_with_the_problem(sample, second, as_user):
    part = parts(sample)[0]
    response = as_user(second).post(address("award", sample, part.key), award_data(sample, part, "0"))
    assert response.status_code == 409 and "say why" in response.content.decode()


def test_a_difference_shows_both_marks_with_words_and_expectation_and_is_settled(exam, finished, moderator, as_user):
    client, award = as_user(moderator), Award.objects.get(record__sample=finished, part=acts.PART)
    page = html(client, address("settle", finished))
    for words in ("green crystals, damp", "the first mark, 1", "the second mark, ½", "Edda Fell", "Sella Moor", acts.WHY):
        assert words in page
    data = {"part": acts.PART, f"{acts.PART}-decision": "second", f"{acts.PART}-reason": "damp is no colour",
            f"{acts.PART}-version": award.version, f"{acts.PART}-stamp": parts(finished)[0].stamp}
    response = client.post(address("settle", finished), data)

    assert response.url == index(exam)
    assert Award.objects.get(pk=award.pk).steps == 1
    assert "damp is no colour" in html(client, address("settle", finished))


@pytest.mark.parametrize(("change", "said"), [
    ({"decision": "other", "marks": "7"}, "is not a mark here"), ({"decision": "other"}, "is not a mark here"),
    ({"decision": "neither"}, "not one of the available"), ({"reason": ""}, "required"),
    ({"stamp": "0" * 16}, "changed since this page was shown"), ({"version": "9"}, "in the meantime"),
])
def test_a_decision_that_cannot_be_is_shown_again_with_the_problem(finished, moderator, as_user, change, said):
    award = Award.objects.get(record__sample=finished, part=acts.PART)
    data = {"decision": "first", "reason": "it stands", "version": award.version,
            "stamp": parts(finished)[0].stamp} | change
    response = as_user(moderator).post(
        address("settle", finished), {"part": acts.PART} | {f"{acts.PART}-{key}": value for key, value in data.items()})

    assert response.status_code == 409 and said in response.content.decode()
    assert Award.objects.get(pk=award.pk).version == award.version


def test_a_teacher_reads_differences_but_does_not_settle_them(finished, teacher, as_user):
    page = html(as_user(teacher), address("settle", finished))
    assert "A moderator settles these" in page and "<fieldset" not in page


def test_before_the_second_marking_is_finished_nobody_sees_both_marks(sample, second, moderator, as_user):
    acts.mark_again(sample, second, lower=acts.PART)
    page = html(as_user(moderator), address("settle", sample))
    assert "not finished" in page and "Edda" not in page


def test_the_page_of_the_release_says_what_is_unsettled_and_offers_no_consent(handed_over, moderator, as_user):
    page = html(as_user(moderator), reverse("moderation:index", args=[handed_over.pk]))
    assert "differ between first and second marker" in page and "Agree to the release" not in page


def test_the_first_page_of_the_second_marker_leads_to_what_waits(sample, second, as_user):
    page = html(as_user(second), reverse("home"))
    assert "Mark 1 record a second time" in page and index(sample.exam) in page


def test_pages_ask_as_often_for_many_records_as_for_few(cast, examiner, second, moderator, as_user):
    counted = []
    for size in (2, 6):
        exam = _marked_twice(cast, size, second)
        codes = acts.drawn(exam)
        urls = [index(exam), address("settle", codes[0]), reverse("moderation:index", args=[exam.pk])]
        client = as_user(moderator)
        for url in urls:
            client.get(url)
        for url in urls:
            with CaptureQueriesContext(connection) as seen:
                assert client.get(url).status_code == 200
            counted.append(len(seen))
    assert counted[:3] == counted[3:]


def _marked_twice(cast, size, second):
    """An exam of so many short records, all marked twice."""
    from examkit.models import Part
    from examkit.planning.services import duty_add
    from grading.demo.records import mark

    people = [(f"{n:04}", f"Person {n}", "A") for n in range(size)]
    exam = exams.sat_exam(cast.centre, name=f"{size} records", candidates=people, salts=("NiCl2.6H2O",) * size)
    duty_add(exam=exam, who=cast.teacher, user=second, part=Part.SECOND)
    for sample in exam.samples.select_related("exam__centre"):
        exams.enter(sample, cast.examiner, lines={"appearance": ("green crystals", "Ni2+")})
        mark(sample, cast.examiner)
    services.sample_draw(exam=exam, size=size, reason="", who=cast.moderator)
    for sample in acts.drawn(exam):
        acts.mark_again(sample, second, lower=acts.PART)
        services.second_finish(sample=sample, who=second)
    return exam
