"""What another mark scheme would suggest is made once, by a worker where records are many, and never stale."""

import pytest
from django.urls import reverse
from django_tasks_db.management.commands.db_worker import Worker
from django_tasks_db.models import DBTaskResult

from examkit.errors import ChangedMeanwhile
from examkit.models import AuditEntry, Exam, ExpectedRecord
from grading.errors import NotPossible
from grading.models import Foreseen, Record
from grading.schemes import foresight, tasks
from grading.schemes.foresight import foresee, sights, unknown
from grading.schemes.selectors import digest, effects
from grading.schemes.services import mark_scheme_apply
from tests.marking.exams import enter, enter_line, sample_of

pytestmark = pytest.mark.database


@pytest.fixture
def entered(exam, examiner):
    """Two records that were handed in."""
    found = [sample_of(exam, number) for number in ("0071", "0072")]
    for each in found:
        enter(each, examiner, lines={"naoh": ("pale green precipitate", "Ni2+")})
    return found


@pytest.fixture
def few(monkeypatch):
    """One record is as many as are read while somebody waits."""
    monkeypatch.setattr(foresight, "AT_ONCE", 1)


@pytest.fixture
def made(monkeypatch):
    """The codes of the records that were read anew."""
    codes, suggest = [], foresight.suggest

    def counted(record, key):
        codes.append(record.sample.code)
        return suggest(record, key)
    monkeypatch.setattr(foresight, "suggest", counted)
    return codes


@pytest.fixture
def with_worker(settings):
    """Tasks wait for a worker on the database."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


@pytest.fixture
def look(exam, ours, teacher, as_user):
    """The answer of the page that shows the effects; `look(task=...)`, `look(headers=...)`."""
    client = as_user(teacher)

    def asked(task="", **more):
        return client.get(reverse("remarking:exam", args=[exam.pk]), {"to": ours.key, "task": task}, **more)
    return asked


def work_one_off():
    """What a worker does with the one task that waits."""
    waiting = DBTaskResult.objects.get(status="READY")
    waiting.claim("worker of the test")
    Worker(queue_names=["default"], interval=0, batch=True, backend_name="default", startup_delay=False, max_tasks=1,
           worker_id="worker of the test", excluded_queue_names=[]).run_task(waiting)


def left(exam, key):
    return [sight.record.sample.code for sight in unknown(sights(exam, key))]


def test_each_record_is_read_once(exam, entered, ours, made):
    foresee(exam, ours.key)
    foresee(exam, ours.key)

    assert sorted(made) == sorted(each.code for each in entered)
    assert left(exam, ours.key) == []


def test_what_is_kept_is_what_would_be_made(exam, entered, ours):
    before = effects(exam, ours.key)
    foresee(exam, ours.key)

    assert effects(exam, ours.key) == before
    assert all(sight.fresh == foresight.suggest(sight.record, ours.key) for sight in sights(exam, ours.key))


def test_looking_changes_no_record_and_leaves_nothing_in_the_trail(exam, entered, ours):
    before = list(Record.objects.values()), AuditEntry.objects.count()
    foresee(exam, ours.key)

    assert (list(Record.objects.values()), AuditEntry.objects.count()) == before


def test_only_a_record_whose_words_changed_is_read_again(exam, entered, ours, examiner, made):
    foresee(exam, ours.key)
    enter_line(entered[0], examiner, "flame", "golden yellow flame")
    assert left(exam, ours.key) == [entered[0].code]

    del made[:]
    foresee(exam, ours.key)
    assert made == [entered[0].code]
    assert Foreseen.objects.count() == 2


def test_changed_rules_make_all_of_it_anew(exam, entered, ours):
    foresee(exam, ours.key)
    ours.data["marking"] |= {"result": {"cation": 8, "anion": 8}}
    ours.version += 1
    ours.save()

    assert len(left(exam, ours.key)) == 2


def test_a_changed_expected_record_makes_its_samples_anew(exam, entered, ours):
    foresee(exam, ours.key)
    kept = ExpectedRecord.objects.get(exam=exam, salt=entered[0].salt)
    kept.record["lines"][0]["also_accepted"] = []
    kept.record["remark"] = "amended"
    kept.save()

    assert left(exam, ours.key) == [entered[0].code]


def test_another_specimen_in_the_sitting_makes_it_anew(exam, entered, ours):
    foresee(exam, ours.key)
    exam.samples.filter(candidate__number="0073").update(salt=entered[1].salt)

    assert len(left(exam, ours.key)) == 2


def test_no_more_records_are_read_than_asked_for(exam, entered, ours, made):
    foresee(exam, ours.key, 1)

    assert len(made) == 1
    assert len(left(exam, ours.key)) == 1


def test_few_records_are_shown_at_once(entered, look):
    assert "Nothing is done yet." in look().content.decode()


def test_without_a_worker_each_look_reads_some_and_tells_how_far_it_is(entered, few, look):
    first = look()
    assert "1 of 2 records are read." in first.content.decode()
    assert "worker" not in first.content.decode()

    assert "of 2 records would have other suggestions" in look().content.decode()


def test_a_page_that_waits_is_loaded_anew_once_all_is_read(entered, few, look):
    look()

    assert look(headers={"HX-Request": "true"})["HX-Refresh"] == "true"


def test_with_a_worker_the_page_waits_for_it_and_asks_it_once(entered, few, look, with_worker, made):
    where = look()
    task = where["Location"].rpartition("task=")[2]
    assert "They wait for a worker." in look(task).content.decode()
    assert (DBTaskResult.objects.count(), made) == (1, [])

    work_one_off()

    assert "of 2 records would have other suggestions" in look(task).content.decode()
    assert len(made) == 2


def test_what_a_task_is_given_names_no_candidate_and_no_salt(exam, entered, ours, few, look, with_worker):
    look()

    assert DBTaskResult.objects.get().args_kwargs["args"] == [exam.pk, ours.key]


def test_a_worker_that_broke_off_is_told_and_nothing_is_changed(exam, entered, few, look, with_worker, monkeypatch):
    task = look()["Location"].rpartition("task=")[2]
    monkeypatch.setattr(foresight, "suggest", lambda *args: 1 / 0)
    work_one_off()

    answer = look(task, follow=True).content.decode()
    assert "could not all be read" in answer
    assert "Show whose marks would change" in answer
    exam.refresh_from_db()
    assert exam.mark_scheme == "common"


def test_reading_that_fails_without_a_worker_is_told(entered, few, look, monkeypatch):
    monkeypatch.setattr(foresight, "suggest", lambda *args: 1 / 0)

    assert "could not all be read" in look(follow=True).content.decode()


def test_a_worker_that_knows_other_facts_is_not_asked_without_end(entered, few, look, with_worker):
    task = look()["Location"].rpartition("task=")[2]
    work_one_off()
    Foreseen.objects.update(digest="of another knowledge base")

    assert "started anew" in look(task, follow=True).content.decode()
    assert DBTaskResult.objects.count() == 1


@pytest.mark.parametrize("task", ["nothing", "00000000-0000-4000-8000-000000000000", "\x00", "x" * 500])
def test_a_task_that_nobody_knows_is_started(task, entered, few, look, with_worker):
    assert "task=" in look(task)["Location"]


def test_a_task_of_another_exam_tells_nothing_of_this_one(exam, ours, with_worker):
    other = Exam.objects.create(centre=exam.centre, name="Other", scheme="semimicro", mark_scheme="common")
    task = tasks.start(other, ours.key)

    assert tasks.is_done(exam, ours.key, task) is None
    assert tasks.is_done(other, "common", task) is None
    assert tasks.is_done(other, ours.key, task) is False


def test_applying_reads_nothing_again_and_keeps_nothing(exam, entered, ours, teacher, made):
    foresee(exam, ours.key)
    seen = digest(exam, ours.key, effects(exam, ours.key))
    del made[:]
    mark_scheme_apply(exam=exam, key=ours.key, seen=seen, reason="agreed", who=teacher)

    assert made == []
    assert not Foreseen.objects.exists()
    assert {record.paper["mark_scheme"] for record in Record.objects.all()} == {ours.key}


def test_applying_what_was_not_read_yet_is_refused_before_it_takes_long(exam, entered, ours, teacher, few, made):
    with pytest.raises(ChangedMeanwhile, match="Look at them again"):
        mark_scheme_apply(exam=exam, key=ours.key, seen="x", reason="agreed", who=teacher)

    assert made == []


def test_a_mark_scheme_that_cannot_be_had_is_not_read(exam, entered, teacher):
    with pytest.raises(NotPossible):
        mark_scheme_apply(exam=exam, key="common", seen="x", reason="agreed", who=teacher)


@pytest.mark.parametrize("width", [320, 1280])
def test_the_page_that_waits_comes_to_the_effects_by_itself(exam, entered, ours, few, teacher, open_page, no_barriers,
                                                            width):
    page = open_page(teacher, viewport={"width": width, "height": 800})
    page.route("**/htmx*", lambda route: route.abort())
    page.goto(reverse("remarking:exam", args=[exam.pk]) + f"?to={ours.key}")
    page.get_by_text("1 of 2 records are read.").wait_for()
    no_barriers(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width

    page.unroute("**/htmx*")
    Foreseen.objects.all().delete()
    page.reload()
    page.get_by_text("Nothing is done yet.").wait_for()
