"""The print page, and the sheets as they are served."""

import pytest
from django.urls import reverse

from examkit.models import AuditEntry, Role
from examkit.printing import runs
from examkit.printing.sheets import SHEETS
from tests.stockroom.drawn import SALTS, drawn_exam

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("var")]
ROLES = {Role.TEACHER: "teacher", Role.ASSISTANT: "assistant", Role.EXAMINER: "examiner",
         Role.MODERATOR: "moderator", Role.INVIGILATOR: "invigilator"}


def url(key, exam):
    return reverse(f"printing:{key}", args=[exam.pk])


@pytest.mark.parametrize("role", ROLES)
def test_everybody_sees_and_gets_what_is_for_them_and_nothing_else(exam, as_user, cast, role):
    client = as_user(getattr(cast, ROLES[role]))
    page = client.get(url("overview", exam)).content.decode()

    for key, sheet in SHEETS.items():
        assert (url(key, exam) in page) == (role in sheet.roles), key
        if role not in sheet.roles:
            assert client.get(url(key, exam)).status_code == 403, key


def test_no_one_sees_both_names_and_salts_but_the_teacher():
    for role in set(ROLES) - {Role.TEACHER}:
        mine = {key for key, sheet in SHEETS.items() if role in sheet.roles}
        names = mine & {"record-sheets", "bench-plan-invigilator"}
        assert not names or mine == names, role  # names, or what is made of salts, never both


def test_another_school_gets_nothing(exam, as_user, cast):
    for key in ("overview", *SHEETS):
        assert as_user(cast.stranger).get(url(key, exam)).status_code == 404


@pytest.mark.parametrize("key", ["sample-labels", "bench-plan-assistant"])
def test_a_sheet_is_served_as_pdf_under_a_name_that_says_nothing(exam, as_user, assistant, key):
    answer = as_user(assistant).get(url(key, exam))

    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Content-Disposition"] == f'inline; filename="{key}.pdf"'
    assert "no-store" in answer.headers["Cache-Control"]
    assert b"".join(answer.streaming_content).startswith(b"%PDF-")


def test_who_had_the_key_stands_in_the_trail(exam, as_user, examiner):
    as_user(examiner).get(url("marking-key", exam))
    entry = AuditEntry.objects.get(what="sheet printed")

    assert (entry.who, entry.about) == ("examiner", f"{exam}: marking-key")


def test_a_sheet_is_set_once_and_kept_for_the_server_alone(exam, as_user, assistant, var, monkeypatch):
    as_user(assistant).get(url("sample-labels", exam))
    kept, = var.glob("prints/*/*.pdf")
    monkeypatch.setattr(runs, "set_sheet", None)  # asking for it again would fail now
    again = as_user(assistant).get(url("sample-labels", exam))

    assert again.status_code == 200
    assert kept.stat().st_mode & 0o077 == 0
    assert not any(salt in str(kept) for salt in SALTS)


def test_a_new_draw_gets_new_sheets_and_the_old_ones_go(exam, as_user, assistant, var):
    as_user(assistant).get(url("bench-plan-assistant", exam))
    before, = var.glob("prints/*/*.pdf")
    exam.samples.filter(salt="KBr").update(salt="NaCl")
    exam.samples.filter(salt="NiCl2.6H2O").update(salt="KBr")
    as_user(assistant).get(url("bench-plan-assistant", exam))
    after, = var.glob("prints/*/*.pdf")

    assert before != after


def test_where_a_worker_sets_the_sheets_the_page_waits_and_asks_once(exam, as_user, assistant, settings, var):
    settings.TASKS = {"default": {"BACKEND": "django_tasks.backends.dummy.DummyBackend"}}
    first = as_user(assistant).get(url("sample-labels", exam))
    second = as_user(assistant).get(url("sample-labels", exam))

    assert first.status_code == second.status_code == 202
    assert "asks again" in first.content.decode()
    assert len(list(var.glob("prints/*/*.asked"))) == 1
    assert not AuditEntry.objects.filter(what="sheet printed").exists()


def test_many_labels_are_announced_before_they_are_set(exam, as_user, assistant, monkeypatch):
    monkeypatch.setattr(runs, "MANY_LABELS", 20)
    client, address = as_user(assistant), url("bench-labels", exam)
    first = client.get(address, {"on": "a4-3x8"})
    page = first.content.decode()
    made = client.get(address, {"on": "a4-3x8", "go": "1"})
    again = client.get(address, {"on": "a4-3x8"})

    assert first.status_code == 202 and "half a minute" in page
    assert 'content="0;url=?on=a4-3x8&amp;go=1"' in page
    assert made.headers["Content-Type"] == again.headers["Content-Type"] == "application/pdf"


def test_a_few_labels_are_set_without_a_word(exam, as_user, assistant):
    assert as_user(assistant).get(url("bottle-labels", exam)).status_code == 200


def test_a_sheet_that_cannot_be_set_is_said_and_can_be_asked_for_again(exam, as_user, assistant, monkeypatch):
    monkeypatch.setattr(runs, "_keep", lambda *args: 1 / 0)
    page = as_user(assistant).get(url("sample-labels", exam), follow=True).content.decode()
    monkeypatch.undo()

    assert "could not be set" in page
    assert as_user(assistant).get(url("sample-labels", exam)).status_code == 200


def test_before_the_draw_the_page_says_so(as_user, teacher, centre):
    draft = drawn_exam(centre, candidates=0, state="draft")
    client = as_user(teacher)

    assert "not drawn yet" in client.get(url("overview", draft)).content.decode()
    assert "not drawn yet" in client.get(url("record-sheets", draft), follow=True).content.decode()
