"""The class list in the database: imported whole or not at all, and edited by hand."""

import pytest

from examkit.errors import Refused
from examkit.models import AuditEntry, Candidate
from examkit.planning import progress, services
from examkit.planning.roster import Entry
from examkit.planning.selectors import compare
from examkit.planning.tasks import start_import
from tests.planning import exams

pytestmark = [pytest.mark.database, pytest.mark.django_db]
ODD = ["=1+1", "+44", "محمد علي", "Zoë", "Ada 🧪", "<script>alert(1)</script>", "N" * 300]


def brought_in(cast, exam, *entries):
    return services.roster_import(exam=exam, who=cast.teacher, entries=entries)


def test_a_list_is_added_with_all_its_fields(cast):
    exam = exams.draft(cast)

    brought_in(cast, exam, Entry("007", "Ada Byte", "12B", "morning", "A1", True, 25))

    candidate = exam.candidates.get()
    assert (candidate.number, candidate.sitting_wish, candidate.bench_wish) == ("007", "morning", "A1")
    assert candidate.needs_colour_help and candidate.extra_time_percent == 25


def test_a_second_import_adds_changes_and_leaves_by_number(cast):
    exam = exams.draft(cast)
    brought_in(cast, exam, Entry("1", "Ada"), Entry("2", "Ben"), Entry("3", "Chi"))

    difference = compare(exam, [Entry("1", "Ada"), Entry("2", "Benjamin", "12C"), Entry("4", "Dia")])

    assert [entry.number for entry in difference.added] == ["4"]
    assert [[str(part) for part in field] for field in difference.changed[0].fields] == [
        ["name", "Ben", "Benjamin"], ["class", "", "12C"]]
    assert difference.same == 1
    assert [candidate.number for candidate in difference.absent] == ["3"]


def test_an_import_removes_nobody_and_tells_the_trail_what_it_did(cast):
    exam = exams.draft(cast)
    brought_in(cast, exam, Entry("1", "Ada"), Entry("3", "Chi"))

    brought_in(cast, exam, Entry("1", "Ada B."), Entry("2", "Ben"))

    assert [candidate.name for candidate in exam.candidates.all()] == ["Ada B.", "Ben", "Chi"]
    assert AuditEntry.objects.last().detail == {"added": 1, "changed": ["1"], "stayed": 0}


def test_names_of_every_kind_are_stored_exactly(cast):
    exam = exams.draft(cast)

    brought_in(cast, exam, *(Entry(f"{n}", name) for n, name in enumerate(ODD)))

    assert [candidate.name for candidate in exam.candidates.all()] == ODD


def test_an_import_that_breaks_off_saves_nothing(cast):
    exam = exams.draft(cast)
    before = AuditEntry.objects.count()

    with pytest.raises(Exception):  # noqa: B017  whatever the database says to a number that stands twice
        brought_in(cast, exam, Entry("1", "Ada"), Entry("2", "Ben"), Entry("2", "Ben again"))

    assert not Candidate.objects.exists() and AuditEntry.objects.count() == before


def test_the_task_gives_counts(cast):
    exam = exams.draft(cast)

    result = start_import(exam=exam, who=cast.teacher, entries=[Entry("1", "Ada")])

    assert result.return_value == {"added": 1, "changed": 0, "same": 0}


def test_the_task_tells_how_far_it_is_and_forgets_it_at_the_end(cast, settings, tmp_path, monkeypatch):
    settings.VAR_DIR, told = tmp_path, []
    monkeypatch.setattr(progress, "forget", lambda task: told.append(progress.told(task)))
    exam = exams.draft(cast)

    start_import(exam=exam, who=cast.teacher, entries=[Entry(f"{n}", "Ada") for n in range(1200)])

    assert told == [1200] and exam.candidates.count() == 1200
    progress.tell("other", 5)
    monkeypatch.undo()
    progress.forget("other")
    assert progress.told("other") == 0


def test_the_task_gives_the_refusal(cast):
    exam = exams.drawn(cast, candidates=4)

    result = start_import(exam=exam, who=cast.teacher, entries=[Entry("1", "Ada")])

    assert "is drawn" in result.return_value["refused"]


def test_a_candidate_is_added_changed_and_taken_off_by_hand(cast):
    exam = exams.draft(cast)

    candidate = services.candidate_save(exam=exam, who=cast.teacher, number="9", name="Dia")
    services.candidate_save(exam=exam, who=cast.teacher, candidate=candidate, number="9", name="Dia E.")
    assert AuditEntry.objects.last().detail == {"number": "9", "fields": ["name"]}
    services.candidate_delete(candidate=exam.candidates.get(), who=cast.teacher, reason="left school")

    assert not exam.candidates.exists()
    assert AuditEntry.objects.last().what == "candidate removed"


def test_a_number_that_is_taken_is_refused(cast):
    exam = exams.draft(cast)
    services.candidate_save(exam=exam, who=cast.teacher, number="9", name="Dia")

    with pytest.raises(Refused, match="Candidate number 9 is taken already"):
        services.candidate_save(exam=exam, who=cast.teacher, number="9", name="Eli")
