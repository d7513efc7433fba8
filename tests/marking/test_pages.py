"""The examiner's pages through the client: what they do, and how they meet stale, doubled and wrong requests."""

import pytest
from django.test import Client
from django.urls import reverse

from examkit.models import Exam, Sample, State
from examkit.planning.codes import LETTERS
from grading.models import Award, Record, RecordLine
from tests.marking import exams
from tests.marking.test_awards import accept_all, part_of

PART = "group-3b.observation"
HTMX = {"hx-request": "true"}


@pytest.fixture
def page(as_user, examiner):
    """The client of the examiner."""
    return as_user(examiner)


def url(name, sample, *more):
    return reverse(f"marking:{name}", args=[sample.exam_id, sample.code, *more])


def index(exam):
    return reverse("marking:index", args=[exam.pk])


def line(observation="", inference="", version=0, test="group-3b", **more):
    fields = {"observation": observation, "inference": inference, "version": version} | more
    return {f"{test}-{name}": value for name, value in fields.items()}


def whole(**lines):
    """The whole form as a browser sends it."""
    from examkit.knowledge import knowledge

    tests = [stage.test for stage in knowledge().schemes["semimicro"].stages] + ["result"]
    sent = {}
    for test in tests:
        sent |= line(test=test)
    for test, fields in lines.items():
        sent |= line(test=test.replace("_", "-"), **fields)
    return sent


def award(sample, marks="", reason="", version=0, part=PART):
    return {
        f"{part}-marks": marks,
        f"{part}-reason": reason,
        f"{part}-version": version,
        f"{part}-stamp": part_of(sample, part).stamp,
    }


def all_awards(sample):
    """The whole form of the marking page, as a browser sends it."""
    sent = {}
    for part in exams.parts(sample):
        sent |= award(sample, part=part.key)
    return sent


# The queue


def test_the_queue_shows_every_sample_by_code_with_its_state(page, exam, entered):
    html = page.get(index(exam)).content.decode()

    for code in exam.samples.values_list("code", flat=True):
        assert f"{code[:3]} {code[3:]}" in html
    assert "not entered 3" in html and "entered 1" in html


def test_the_queue_is_filtered_by_state(page, exam, entered):
    response = page.get(index(exam), {"state": "entered"})

    [row] = response.context["rows"]
    assert (row.code, row.lines, row.out_of) == (
        entered.code,
        5,
        sum(part.out_of for part in exams.parts(entered)),
    )


def test_a_code_typed_in_any_case_opens_its_record(page, exam, sample):
    typed = f" {sample.code[:3].lower()} {sample.code[3:].lower()} "

    assert page.get(index(exam), {"code": typed}).url == url("record", sample)


def test_a_slip_in_a_code_is_noticed_by_its_check_character(page, exam, sample):
    slip = sample.code[:-1] + next(letter for letter in LETTERS if letter != sample.code[-1])

    assert "does not fit" in page.get(index(exam), {"code": slip}).content.decode()


def test_a_code_of_no_sample_is_said_so(page, exam):
    response = page.get(index(exam), {"code": "CCCCCC"})

    assert response.status_code == 200 and "No sample of this exam" in response.content.decode()


def test_the_next_unfinished_record_follows_the_one_before(page, exam):
    codes = sorted(exam.samples.values_list("code", flat=True))

    response = page.get(reverse("marking:next", args=[exam.pk]), {"after": codes[1]})

    assert codes[2] in response.url


def test_handing_over_too_early_is_refused_in_words(page, exam):
    response = page.post(reverse("marking:hand-over", args=[exam.pk]), follow=True)

    assert "4 records are not finished" in response.content.decode()
    assert Exam.objects.get().state == State.SAT


# Entry


def test_the_entry_page_has_a_line_for_every_test_with_outcomes_to_pick(page, sample):
    response = page.get(url("record", sample))

    assert len(response.context["rows"]) == len(response.context["exam"].expected.first().record["lines"])
    assert all(row.picks for row in response.context["rows"])


def test_a_line_is_saved_without_a_page_load(page, sample):
    response = page.post(url("line", sample, "group-3b"), line("black ppt"), headers=HTMX)

    assert "saved" in response.content.decode() and "<html" not in response.content.decode()
    assert RecordLine.objects.get().observation == "black ppt"


def test_a_picked_outcome_goes_behind_the_words_typed(page, sample):
    page.post(url("line", sample, "group-3b"), line("at once", pick="black precipitate"))

    assert RecordLine.objects.get().observation == "at once; black precipitate"


def test_the_whole_record_is_saved_without_javascript(page, sample):
    response = page.post(
        url("record", sample),
        whole(group_3b={"observation": "black ppt"}, result={"observation": "Ni2+", "inference": "Cl-"}),
    )

    record = Record.objects.get()
    assert response.status_code == 302
    assert (record.cation, record.anion) == ("Ni2+", "Cl-")


def test_a_stale_line_shows_both_versions_and_keeps_what_was_typed(page, entered):
    response = page.post(
        url("record", entered),
        whole(group_3b={"observation": "white ppt typed late", "version": 0}, result={"version": 1}),
    )
    html = response.content.decode()

    assert response.status_code == 409
    assert "white ppt typed late" in html and "black precipitate" in html
    assert RecordLine.objects.get(test="group-3b").observation == "black precipitate"


def test_a_stale_line_replaces_the_other_version_only_when_that_was_ticked(page, entered):
    page.post(url("line", entered, "group-3b"), line("white ppt", version=0, replace=1))

    assert RecordLine.objects.get(test="group-3b").observation == "white ppt"


def test_a_stale_line_saved_by_htmx_says_so_in_its_status(page, entered):
    html = page.post(
        url("line", entered, "group-3b"), line("white ppt", version=0), headers=HTMX
    ).content.decode()

    assert (
        "replaces it" in html and "black precipitate" in html and 'name="group-3b-version" value="0"' in html
    )


def test_going_back_and_sending_the_same_form_again_changes_nothing(page, sample):
    for _again in range(2):
        assert (
            page.post(url("record", sample), whole(group_3b={"observation": "black ppt"})).status_code == 302
        )

    assert RecordLine.objects.get(test="group-3b").version == 1


def test_words_that_are_too_long_are_refused_and_shown_again(page, sample):
    response = page.post(url("record", sample), whole(group_3b={"observation": "long " * 1001}))

    assert response.status_code == 409 and "long long" in response.content.decode()


def test_a_test_that_the_scheme_does_not_have_is_no_page(page, sample):
    assert page.post(url("line", sample, "litmus"), line("red", test="litmus")).status_code == 404
    assert not RecordLine.objects.exists()


def test_script_in_a_record_is_shown_as_text(page, sample, examiner):
    exams.enter(sample, examiner, {"flame": ("<script>alert(1)</script>", "</textarea><b>")})

    for name in ("record", "marks"):
        html = page.get(url(name, sample)).content.decode()
        assert "<script>alert" not in html and "</textarea><b>" not in html


def test_a_line_sent_again_after_signing_in_ends_on_the_whole_page(page, sample):
    response = page.post(url("line", sample, "group-3b"), line("black ppt"), follow=True)

    assert response.redirect_chain == [(url("record", sample), 302)] and "<html" in response.content.decode()


def test_a_stale_line_sent_again_shows_both_versions_on_the_whole_page(page, entered):
    response = page.post(url("line", entered, "group-3b"), line("white ppt typed late", version=0))
    html = response.content.decode()

    assert response.status_code == 409 and "<html" in html
    assert "white ppt typed late" in html and "black precipitate" in html


def test_lines_that_were_saved_beside_a_stale_one_can_be_changed_at_once(page, entered):
    html = page.post(
        url("record", entered),
        whole(group_3b={"observation": "late"}, ammonia={"observation": "green ppt"}, result={"version": 1}),
    ).content.decode()

    assert 'name="ammonia-version" value="1"' in html and 'name="group-3b-version" value="0"' in html


def test_a_closed_record_answers_a_whole_form_with_what_was_typed(page, entered):
    Record.objects.update(finished=True)

    response = page.post(url("record", entered), whole(group_3b={"observation": "late words"}))

    assert response.status_code == 409 and "late words" in response.content.decode()


def test_what_was_typed_outlives_an_ended_session(client, sample):
    response = client.post(url("line", sample, "group-3b"), line("black ppt"))

    assert response.status_code == 401 and "black ppt" in response.content.decode()
    assert not Record.objects.exists()


def test_a_wrong_csrf_token_saves_nothing_and_shows_what_was_typed(examiner, sample):
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(examiner, backend="django.contrib.auth.backends.ModelBackend")

    response = browser.post(url("line", sample, "group-3b"), line("black ppt"))

    assert response.status_code == 403 and "black ppt" in response.content.decode()
    assert not Record.objects.exists()


# Marks


def test_the_marking_page_shows_written_expected_and_suggested_with_reason(page, entered):
    html = page.get(url("marks", entered)).content.decode()

    assert "pale green precipitate, insoluble in excess" in html
    assert "is right" in html and "apple green gelatinous precipitate" in html
    assert part_of(entered).reason.split("”")[0].lstrip("“") in html


def test_lines_that_the_program_is_not_sure_of_come_first(page, entered, examiner):
    exams.enter_line(entered, examiner, "naoh", "wibble", version=1)

    html = page.get(url("marks", entered)).content.decode()

    assert html.index("Look at these first") < html.index("wibble") < html.index("The other lines")


def test_the_page_itself_awards_nothing(page, entered):
    page.get(url("marks", entered))

    assert not Award.objects.exists()


def test_a_record_that_was_not_entered_is_entered_first(page, sample):
    assert page.get(url("marks", sample)).url == url("record", sample)


def test_a_mark_is_saved_without_a_page_load_and_the_total_follows(page, entered):
    html = page.post(url("award", entered, PART), award(entered, "1"), headers=HTMX).content.decode()

    assert "1 by Edda Fell" in html and 'hx-swap-oob="true"' in html and "<html" not in html
    assert Award.objects.get().steps == 2


def test_the_accept_button_works_without_javascript(page, entered):
    response = page.post(url("marks", entered), all_awards(entered) | {"accept": PART})

    assert response.status_code == 302
    assert Award.objects.get().part == PART


@pytest.mark.parametrize(
    ("marks", "said"),
    [
        ("7", "is not a mark here"),
        ("0.3", "is not a mark here"),
        ("-1", "is not a mark here"),
        ("many", "is not a mark here"),
        ("1e9", "is not a mark here"),
        ("0", "say why"),
    ],
)
def test_marks_that_cannot_be_are_refused_beside_the_field(page, entered, marks, said):
    html = page.post(url("award", entered, PART), award(entered, marks), headers=HTMX).content.decode()

    assert said in html
    assert not Award.objects.exists()


def test_without_javascript_a_refused_mark_keeps_what_was_typed(page, entered):
    response = page.post(url("marks", entered), all_awards(entered) | award(entered, "7", "typed reason"))

    assert response.status_code == 409
    assert 'value="7"' in response.content.decode() and 'value="typed reason"' in response.content.decode()


def test_a_stale_mark_shows_the_one_that_stands(page, entered, moderator):
    from tests.marking.test_awards import give

    sent = award(entered, "0", "smudged")
    give(entered, moderator, 2)

    html = page.post(url("award", entered, PART), sent, headers=HTMX).content.decode()

    assert "in the meantime" in html and "1 by Moss Dale" in html
    assert Award.objects.get().steps == 2


def test_a_mark_for_words_the_page_does_not_show_is_refused_until_it_is_loaded_again(page, entered, examiner):
    sent = award(entered, "1")
    exams.enter_line(entered, examiner, "group-3b", "white ppt", version=1)

    for _again in range(2):
        html = page.post(url("award", entered, PART), sent, headers=HTMX).content.decode()
        assert "Look at it again" in html and sent[f"{PART}-stamp"] in html
    assert not Award.objects.exists()


def test_a_mark_sent_again_after_signing_in_ends_on_the_whole_page(page, entered):
    response = page.post(url("award", entered, PART), award(entered, "1"), follow=True)

    assert response.redirect_chain == [(url("marks", entered), 302)]
    assert Award.objects.get().steps == 2


def test_a_refused_mark_sent_again_keeps_what_was_typed(page, entered):
    response = page.post(url("award", entered, PART), award(entered, "7", "typed reason"))

    assert response.status_code == 409 and 'value="typed reason"' in response.content.decode()


def test_all_sure_suggestions_are_accepted_in_one_step(page, entered):
    digest = page.get(url("marks", entered)).context["suggestions"].digest

    page.post(url("accept-sure", entered), {"digest": digest})

    assert Award.objects.count() == len(exams.parts(entered))


def test_a_finished_record_can_be_read_but_not_changed(page, entered, examiner):
    accept_all(entered, examiner)
    page.post(url("finish", entered))

    response = page.post(url("line", entered, "group-3b"), line("white ppt", version=1), headers=HTMX)

    assert "is finished" in response.content.decode()
    assert "mark-field" not in page.get(url("marks", entered)).content.decode()


def test_a_record_is_opened_again_with_a_reason(page, entered, examiner):
    accept_all(entered, examiner)
    page.post(url("finish", entered))
    page.post(url("reopen", entered), {"reason": ""})
    assert Record.objects.get().finished

    page.post(url("reopen", entered), {"reason": "a page was found"})
    assert not Record.objects.get().finished


# Who, and what they learn


@pytest.mark.parametrize("role", ["teacher", "assistant", "moderator"])
def test_only_examiners_mark(as_user, cast, exam, sample, role):
    client = as_user(getattr(cast, role))

    assert {
        client.get(address).status_code
        for address in (index(exam), url("record", sample), url("marks", sample))
    } == {403}


def test_another_centres_exam_is_no_page(as_user, cast, sample):
    from tests.cast import person

    other = person("other examiner", cast.elsewhere, "examiner")

    client = as_user(other)
    assert client.get(url("record", sample)).status_code == 404
    assert client.post(url("line", sample, "group-3b"), line("black ppt")).status_code == 404
    assert not Record.objects.exists()


def test_no_examiners_page_names_a_candidate(page, exam, entered, examiner):
    accept_all(entered, examiner)
    other = Sample.objects.exclude(pk=entered.pk).first()
    requests = [
        page.get(index(exam)),
        page.get(index(exam), {"code": "0071"}),
        page.get(url("record", entered)),
        page.get(url("record", other)),
        page.get(url("marks", entered)),
        page.post(url("finish", entered), follow=True),
        page.get(reverse("marking:next", args=[exam.pk]), follow=True),
        page.post(reverse("marking:hand-over", args=[exam.pk]), follow=True),
        page.post(url("line", other, "naoh"), line("x", test="naoh"), headers=HTMX),
        page.get(url("marks", entered)),
        page.get(reverse("home")),
    ]
    for response in requests:
        told = response.content.decode() + str(dict(response.headers)) + response.request["PATH_INFO"]
        told += "".join(address for address, _status in getattr(response, "redirect_chain", ()))
        for number, name, group in exams.CANDIDATES:
            secrets = (name, name.split()[-1], group, *([] if response is requests[1] else [number]))
            assert not [secret for secret in secrets if secret in told]
