"""The candidate's pages through the test client: who gets in, what is shown, what nobody ever sees there."""

import html
import re

import pytest
from django.conf import settings
from django.urls import reverse

from examkit.knowledge import knowledge
from grading.entry.bench.codes import new_code
from grading.entry.bench.services import sitting_close
from grading.models import BenchCode, BenchRules, Record, RecordLine
from tests.entry.sat import at_the_bench, slips_of
from tests.marking.exams import CANDIDATES, SALTS, sample_of
from tests.test_access import TABLE, ask, fill, things_of

PAGE, DOOR = "/bench/", "/bench/sign-in/"


@pytest.fixture
def bench(client, exam, teacher):
    """The sample of a candidate whose browser is the test client."""
    return at_the_bench(client, exam, teacher)


def send(client, test, words="", inference="", version=0, **more):
    data = {f"{test}-observation": words, f"{test}-inference": inference, f"{test}-version": version} | more
    return client.post(f"/bench/line/{test}/", data)


def fields(page):
    """The names of the fields of a page."""
    return set(re.findall(r'name="([\w-]+)"', page))


# in by the door

def test_two_codes_open_the_record(bench, client):
    page = client.get(PAGE).content.decode()

    assert f"{bench.code[:3]} {bench.code[3:]}" in page
    assert "You can write until" in page


def test_a_wrong_code_opens_nothing_and_says_what_to_do(client, exam, teacher, sample):
    slips_of(exam, teacher)
    answer = client.post(DOOR, {"sample": sample.code, "password": new_code()})

    assert answer.status_code == 422
    assert "ask the invigilator" in answer.content.decode()
    assert client.get(PAGE).status_code == 302


def test_a_slip_is_told_and_is_no_wrong_try(client, exam, teacher, sample):
    code = slips_of(exam, teacher)[sample.code]
    for _time in range(settings.AXES_FAILURE_LIMIT + 2):
        answer = client.post(DOOR, {"sample": sample.code, "password": "CDFHJ KMNPR"})
        assert "slip" in answer.content.decode()

    assert client.post(DOOR, {"sample": sample.code, "password": code}).status_code == 302


def test_guessing_is_stopped_and_a_new_code_lets_in_again(client, exam, sitting, teacher, sample):
    code = slips_of(exam, teacher)[sample.code]
    answers = [client.post(DOOR, {"sample": sample.code, "password": new_code()}).status_code
               for _time in range(settings.AXES_FAILURE_LIMIT + 1)]
    assert (answers[0], answers[-1]) == (422, 429)

    answer = client.post(DOOR, {"sample": sample.code, "password": code})
    assert answer.status_code == 429
    assert "Too many wrong codes" in answer.content.decode()
    BenchCode.objects.update(ended_at=sitting.starts_at)
    assert client.post(DOOR, {"sample": sample.code, "password": slips_of(exam, teacher)[sample.code]}).status_code == 302


def test_guessing_at_one_sample_keeps_nobody_else_out(client, exam, teacher, sample):
    slips, other = slips_of(exam, teacher), sample_of(exam, "0072")
    for _time in range(settings.AXES_FAILURE_LIMIT + 1):
        client.post(DOOR, {"sample": sample.code, "password": new_code()})

    assert client.post(DOOR, {"sample": other.code, "password": slips[other.code]}).status_code == 302


def test_coming_in_signs_out_whoever_was_signed_in_on_the_device(exam, teacher, as_user):
    client = as_user(teacher)
    assert "is signed in on this device" in client.get(DOOR).content.decode()

    at_the_bench(client, exam, teacher)

    assert "_auth_user_id" not in client.session
    assert client.get("/exams/").status_code == 302


def test_somebody_who_signs_in_at_a_bench_loses_its_record(bench, client, teacher):
    client.force_login(teacher, backend="django.contrib.auth.backends.ModelBackend")

    assert client.get(PAGE).status_code == 403


# a candidate opens nothing else

@pytest.mark.parametrize(("route", "view"), TABLE, ids=[route or "home" for route, _view in TABLE])
def test_a_candidate_opens_their_own_pages_and_what_is_public_and_nothing_else(route, view, client, exam, cast, teacher):
    at_the_bench(client, exam, teacher)

    answer = ask(client, fill(route, exam, {"test": "naoh", "code": "ZZZZ"}))

    assert view.rule.everyone or view.rule.bench or (
        answer.status_code in (302, 401) and "sign-in" in answer.get("Location", "/sign-in/"))


def test_no_page_of_a_candidate_tells_salt_name_key_or_neighbour(bench, client, exam, teacher):
    BenchRules.objects.create(exam=exam, choices=True)
    send(client, "naoh", "green ppt")
    shown = ""
    for answer in (client.get(PAGE), client.get("/bench/state/"), client.post(PAGE, {"hand-in": "1"}),
                   client.get(DOOR), send(client, "flame", "none")):
        shown += answer.content.decode() + str(answer.headers) + str(answer.cookies)

    secrets = [*SALTS, "nickel(II) chloride", "zinc sulfate"]
    secrets += [part for number, name, group in CANDIDATES for part in (name, group)]
    secrets += [code for code in exam.samples.values_list("code", flat=True) if code != bench.code]
    assert [secret for secret in secrets if secret in shown] == []


def test_the_cautions_of_every_test_stand_above_it(bench, client, exam):
    page = html.unescape(client.get(PAGE).content.decode())
    kb = knowledge(exam.centre)

    cautions = [caution for stage in kb.schemes[exam.scheme].stages for caution in kb.tests[stage.test].cautions]
    assert [caution for caution in cautions if caution not in page] == []


def test_the_page_is_the_same_for_every_salt(client, exam, teacher, sitting):
    """But for the code: titles, lists, their order."""
    BenchRules.objects.create(exam=exam, choices=True)
    pages = []
    for number in ("0071", "0072"):
        sample = at_the_bench(client, exam, teacher, number)
        page = client.get(PAGE).content.decode()
        page = re.sub(r'data-slot="\w+"|value="\w{60,}"|"X-CSRFToken": "\w+"|nonce="\S+"', "", page)
        pages.append(page.replace(sample.code, "").replace(f"{sample.code[:3]} {sample.code[3:]}", ""))
        BenchCode.objects.update(ended_at=sitting.starts_at)

    assert pages[0] == pages[1]


# writing

def test_a_line_is_saved_for_a_script(bench, client):
    answer = send(client, "naoh", "pale green ppt", "Ni2+")

    assert (answer.status_code, answer.json()["version"]) == (200, 1)
    assert RecordLine.objects.get().observation == "pale green ppt"


def test_the_result_is_saved_like_a_line(bench, client):
    assert send(client, "result", "Ni2+", "chloride").json()["version"] == 1
    assert (Record.objects.get().cation, Record.objects.get().anion) == ("Ni2+", "chloride")


def test_a_line_written_elsewhere_comes_back_to_the_script(bench, client):
    send(client, "naoh", "white")
    answer = send(client, "naoh", "blue")

    assert answer.status_code == 409
    assert answer.json()["theirs"] == {"words": "white", "inference": "", "chosen": [], "version": 1}


def test_a_test_that_the_scheme_does_not_have_is_not_there(bench, client):
    assert send(client, "no-such-test").status_code == 404


@pytest.mark.parametrize("version", ["", "x", "-1", "9" * 30])
def test_a_line_that_cannot_be_read_is_told(version, bench, client):
    answer = send(client, "naoh", "white", version=version)

    assert answer.status_code in (409, 422)
    assert not RecordLine.objects.exclude(observation="").exists()


def test_words_longer_than_a_line_are_refused_in_words(bench, client):
    answer = send(client, "naoh", "w" * 5001)

    assert (answer.status_code, "5000" in answer.json()["problem"]) == (422, True)


def test_after_closing_a_script_hears_why(bench, client, sitting, teacher):
    sitting_close(sitting=sitting, who=teacher)

    assert send(client, "naoh", "late").status_code == 410
    assert "invigilator" in client.get("/bench/state/").json()["closed"]


def test_without_javascript_the_whole_record_is_saved_at_once(bench, client):
    page = client.get(PAGE).content.decode()
    data = {name: "" for name in fields(page) if name.endswith(("-observation", "-inference"))}
    data |= {name: 0 for name in fields(page) if name.endswith("-version")}
    answer = client.post(PAGE, data | {"naoh-observation": "green ppt", "result-observation": "Ni2+"})

    assert (answer.status_code, answer["Location"]) == (302, PAGE)
    assert RecordLine.objects.get().observation == "green ppt"
    assert Record.objects.get().cation == "Ni2+"


def test_a_whole_record_from_an_older_page_shows_both_versions_and_saves_the_rest(bench, client):
    send(client, "naoh", "white")
    old = {"naoh-observation": "blue", "naoh-inference": "", "naoh-version": 0,
           "flame-observation": "none", "flame-inference": "", "flame-version": 0}
    answer = client.post(PAGE, old)
    page = answer.content.decode()

    assert answer.status_code == 409
    assert "white" in page
    assert "blue" in page
    assert "naoh-replace" in page
    assert RecordLine.objects.get(test="flame").observation == "none"
    client.post(PAGE, old | {"naoh-replace": 1})
    assert RecordLine.objects.get(test="naoh").observation == "blue"


def test_a_form_that_came_after_the_end_is_shown_so_that_nothing_is_lost(bench, client, sitting, teacher):
    sitting_close(sitting=sitting, who=teacher)
    answer = client.post(PAGE, {"naoh-observation": "typed late", "naoh-version": 0})

    assert answer.status_code == 410
    assert "Sodium hydroxide, observation" in answer.content.decode()
    assert "typed late" in answer.content.decode()


def test_a_form_sent_again_after_the_end_says_nothing_of_what_is_saved(bench, client, sitting, teacher):
    send(client, "naoh", "typed in time")
    sitting_close(sitting=sitting, who=teacher)
    page = client.post(PAGE, {"naoh-observation": "typed in time", "naoh-version": 0}).content.decode()

    assert "What you sent just now" not in page


def test_a_form_sent_without_access_is_kept_through_the_door(bench, client, exam, sitting, teacher):
    client.session.flush()
    client.cookies.clear()
    answer = client.post(PAGE, {"naoh-observation": "typed late", "naoh-version": 0})
    assert answer.status_code == 401
    assert "typed late" in answer.content.decode()

    BenchCode.objects.update(ended_at=sitting.starts_at)
    code = slips_of(exam, teacher)[bench.code]
    kept = {"kept_path": PAGE, "kept:naoh-observation": "typed late", "kept:naoh-version": "0"}
    page = client.post(DOOR, {"sample": bench.code, "password": code} | kept).content.decode()
    assert "Your record is open again" in page
    client.post(PAGE, {"naoh-observation": "typed late", "naoh-version": 0})
    assert RecordLine.objects.get().observation == "typed late"


def test_what_was_kept_survives_a_wrong_code(client, exam, teacher, sample):
    kept = {"kept_path": PAGE, "kept:naoh-observation": "typed late"}

    assert "typed late" in client.post(DOOR, {"sample": sample.code, "password": "x"} | kept).content.decode()


def test_script_in_a_record_is_shown_as_text(bench, client):
    send(client, "naoh", "<script>alert(1)</script>")

    page = client.get(PAGE).content.decode()
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page


# choices

def test_outcomes_are_offered_only_where_the_exam_allows_it(bench, client, exam):
    assert "naoh-choice" not in client.get(PAGE).content.decode()

    BenchRules.objects.create(exam=exam, choices=True)
    assert "naoh-choice" in client.get(PAGE).content.decode()


def test_a_choice_is_kept_as_words_and_as_its_key(bench, client, exam):
    BenchRules.objects.create(exam=exam, choices=True)
    page = client.get(PAGE).content.decode()
    key = re.search(r'name="flame-choice".*?value="(flame:\w+)">\d+ golden yellow flame', page, re.DOTALL)[1]

    answer = send(client, "flame", "strong", **{"flame-choice": [key]})

    line = RecordLine.objects.get()
    assert answer.status_code == 200
    assert line.observation == "golden yellow flame; strong"
    (kept,) = line.chosen
    assert (kept["facet"], kept["key"], kept["text"]) == ("flame", key, "golden yellow flame")
    assert kept["seen"][0]["event"] == "flame"
    page = client.get(PAGE).content.decode()
    assert f'value="{key}" selected' in page
    assert ">\nstrong</textarea>" in page


def test_a_choice_that_is_not_offered_is_refused_and_the_words_stay(bench, client, exam):
    BenchRules.objects.create(exam=exam, choices=True)
    answer = client.post(PAGE, {"flame-observation": "strong", "flame-version": 0, "flame-choice": "flame:000"})

    assert answer.status_code == 409
    assert "Choose again" in answer.content.decode()
    assert ">\nstrong</textarea>" in answer.content.decode()


def test_a_choice_says_nothing_where_choosing_is_not_allowed(bench, client):
    send(client, "flame", "strong", **{"flame-choice": ["flame:000"]})

    assert (RecordLine.objects.get().observation, RecordLine.objects.get().chosen) == ("strong", [])


# handing in

def test_handing_in_is_asked_and_then_the_browser_forgets_the_code(bench, client):
    send(client, "naoh", "green ppt")
    page = client.post(PAGE, {"hand-in": "1"}).content.decode()
    assert "green ppt" in page
    assert "nothing written" in page
    assert "Nothing is written in 22 of 23 lines." in page

    answer = client.post("/bench/hand-in/", follow=True)
    assert "is handed in" in answer.content.decode()
    assert client.get(PAGE).status_code == 302
    assert BenchCode.objects.get(sample=bench).handed_in


def test_handing_in_twice_is_no_error(bench, client):
    client.post("/bench/hand-in/")

    assert client.post("/bench/hand-in/").status_code == 401


# the teacher's page

def test_the_teacher_sees_benches_and_codes_and_neither_salt_nor_name(bench, client, exam, teacher, as_user):
    send(client, "naoh", "green ppt")
    page = as_user(teacher).get(reverse("door:index", args=[exam.pk])).content.decode()

    assert f"{bench.code[:3]} {bench.code[3:]}" in page
    assert "writing" in page
    assert [secret for secret in (*SALTS, *(name for _number, name, _group in CANDIDATES)) if secret in page] == []


def test_codes_are_shown_once_with_bench_and_sample(exam, sitting, teacher, as_user, sample):
    client = as_user(teacher)
    until = {f"s{sitting.pk}-until": "2099-01-01T10:00"}
    assert "14 days" in client.post(f"/exams/{exam.pk}/bench/{sitting.pk}/issue/", until, follow=True).content.decode()

    page = client.post(f"/exams/{exam.pk}/bench/{sitting.pk}/issue/", soon(sitting)).content.decode()
    codes = re.findall(r'one-time code">(\w{5} \w{5})<', page)
    assert len(codes) == 4
    assert not any(code in client.get(f"/exams/{exam.pk}/bench/").content.decode() for code in codes)
    client.logout()
    assert client.post(DOOR, {"sample": sample.code, "password": codes[0]}).status_code == 302


def test_a_new_code_for_one_says_what_became_of_the_one_before(exam, sitting, invigilator, as_user, sample):
    client = as_user(invigilator)
    first = client.post(f"/exams/{exam.pk}/bench/{sitting.pk}/issue/", soon(sitting)).content.decode()
    again = client.post(f"/exams/{exam.pk}/bench/{sitting.pk}/new/{sample.code}/", soon(sitting)).content.decode()

    assert "The code before it opens nothing any more." not in first
    assert "The code before it opens nothing any more." in again


def test_a_sitting_without_anybody_needs_no_codes(exam, sitting, invigilator, as_user):
    sitting.samples.all().delete()
    answer = as_user(invigilator).post(f"/exams/{exam.pk}/bench/{sitting.pk}/issue/", soon(sitting), follow=True)

    assert "Nobody sits in this sitting" in answer.content.decode()


def test_who_handed_in_has_no_end_any_more(bench, client, exam, teacher, as_user):
    assert "until" in client.get(PAGE).content.decode()
    client.post("/bench/hand-in/")
    page = as_user(teacher).get(f"/exams/{exam.pk}/bench/").content.decode()

    row = re.search(rf"{bench.code[:3]} {bench.code[3:]}(.*?)</tr>", page, re.DOTALL)[1]
    assert "handed in" in row
    assert "until" not in row


def soon(sitting):
    from django.utils import timezone

    from tests.entry.sat import in_hours

    return {f"s{sitting.pk}-until": timezone.localtime(in_hours()).strftime("%Y-%m-%dT%H:%M")}


@pytest.mark.parametrize("step", ["issue", "time", "code"])
def test_an_end_that_is_none_is_told(step, exam, sitting, teacher, as_user, sample):
    step = f"new/{sample.code}" if step == "code" else step
    answer = as_user(teacher).post(f"/exams/{exam.pk}/bench/{sitting.pk}/{step}/", {}, follow=True)

    assert "Say until when" in answer.content.decode()
    assert not BenchCode.objects.exists()


def test_one_candidate_gets_a_new_code(bench, client, exam, sitting, teacher, as_user):
    page = as_user(teacher).post(f"/exams/{exam.pk}/bench/{sitting.pk}/new/{bench.code}/", soon(sitting)).content.decode()

    assert len(re.findall(r'one-time code">', page)) == 1
    assert BenchCode.objects.filter(sample=bench, ended_at=None).count() == 1


def test_time_is_set_and_the_page_closed(bench, client, exam, sitting, teacher, as_user):
    client = as_user(teacher)
    told = client.post(f"/exams/{exam.pk}/bench/{sitting.pk}/time/", soon(sitting), follow=True).content.decode()
    assert "The new end holds" in told

    told = client.post(f"/exams/{exam.pk}/bench/{sitting.pk}/close/", follow=True).content.decode()
    assert "is closed for “Morning”" in told
    told = client.post(f"/exams/{exam.pk}/bench/{sitting.pk}/close/", follow=True).content.decode()
    assert "closed for this sitting already" in told


def test_the_rule_is_set_and_refused_once_somebody_has_begun(exam, teacher, as_user, client):
    told = as_user(teacher).post(f"/exams/{exam.pk}/bench/rules/", {"choices": "on"}, follow=True).content.decode()
    assert "are saved" in told
    assert BenchRules.objects.get().choices

    at_the_bench(client, exam, teacher)
    told = as_user(teacher).post(f"/exams/{exam.pk}/bench/rules/", {}, follow=True).content.decode()
    assert "begun to write" in told


def test_a_sitting_of_another_exam_is_not_there(exam, teacher, as_user, cast):
    theirs = things_of(exam)["sitting"]
    other = exam.__class__.objects.create(centre=cast.centre, name="Other", scheme="semimicro", mark_scheme="common")

    assert as_user(teacher).post(f"/exams/{other.pk}/bench/{theirs}/close/").status_code == 404


# then it is marked like any other

def test_what_was_typed_at_the_bench_is_what_the_examiner_marks(bench, client, exam, sitting, teacher, examiner, as_user):
    send(client, "naoh", "pale green precipitate, insoluble in excess", "Ni2+")
    BenchCode.objects.update(until=sitting.starts_at)  # the time is over, and nobody has closed the page
    exam.state = "sat"
    exam.save()

    page = as_user(examiner).get(reverse("marking:marks", args=[exam.pk, bench.code])).content.decode()

    assert "pale green precipitate, insoluble in excess" in page
    assert Record.objects.get().paper["parts"]


def test_a_mark_scheme_that_cannot_be_used_is_told_and_breaks_no_page(bench, client, exam, examiner, as_user):
    send(client, "naoh", "pale green ppt")
    exam.state, exam.mark_scheme = "sat", "no-such"
    exam.save()

    answer = as_user(examiner).get(reverse("marking:marks", args=[exam.pk, bench.code]), follow=True)

    assert answer.status_code == 200
    assert "No mark scheme is called" in answer.content.decode()


def test_a_record_whose_suggestions_are_not_made_yet_breaks_no_page(bench, client, exam, cast, as_user):
    send(client, "naoh", "pale green ppt")
    exam.state = "sat"
    exam.save()

    opened = [(cast.teacher, "planning:exam", ()), (cast.teacher, "remarking:exam", ()), (cast.teacher, "door:index", ()),
              (cast.teacher, "moderation:index", ()), (cast.teacher, "moderation:results", ()),
              (cast.teacher, "moderation:sheet", (bench.code,)), (cast.moderator, "moderation:index", ()),
              (cast.moderator, "moderation:records", ()), (cast.moderator, "moderation:record", (bench.code,)),
              (cast.examiner, "marking:index", ()), (cast.examiner, "records:import", ()),
              (cast.examiner, "marking:record", (bench.code,)), (cast.examiner, "choosing:record", (bench.code,)),
              (cast.examiner, "marking:marks", (bench.code,))]
    for person, name, more in opened:
        assert as_user(person).get(reverse(name, args=[exam.pk, *more])).status_code in (200, 302), name
