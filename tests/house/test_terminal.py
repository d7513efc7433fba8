"""The commands: verify, backup, restore, person, demo, test."""

import io
import json
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from types import SimpleNamespace

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection

from examkit import audit
from examkit.demo import school
from examkit.management import storage
from examkit.management.commands import test as everything
from examkit.management.throwaway import NoServer, postgresql
from examkit.models import Centre, Exam, Membership, Role, User
from tests import cast as cast_of

PASSWORD = "river lantern stable"


@pytest.fixture
def exam(centre):
    audit.record(centre=centre, who="teacher", what="exam planned", about="Spring")
    return cast_of.exam(centre)


@pytest.fixture
def run():
    """Run a command and give what it printed."""
    def run_(*words, **options):
        out = io.StringIO()
        call_command(*words, stdout=out, **options)
        return out.getvalue()
    return run_


def test_verify_says_that_the_trail_is_unbroken(exam, run):
    assert "Audit trail: unbroken." in run("verify", "Spring")


def test_verify_prints_one_json_document(exam, run):
    said = json.loads(run("verify", str(exam.pk), "--json"))

    head = audit.head(exam.centre).hash
    assert said["trail"] == {"centre": "Maple House School", "entries": 1, "head": head, "problems": []}
    assert said["draw"] == {"result": "not drawn yet", "commitment": "", "problems": []}


def test_verify_exits_with_1_where_a_printed_head_is_gone(exam, run):
    with pytest.raises(SystemExit, match="1"):
        run("verify", "Spring", "--head", "f" * 64)


def test_verify_names_the_exams_where_there_is_no_such_one(exam, run):
    with pytest.raises(CommandError, match=rf"No exam 'Sprung'. Exams: {exam.pk} Spring."):
        run("verify", "Sprung")


def test_verify_asks_for_the_number_where_two_centres_use_the_name(exam, cast, run):
    cast_of.exam(cast.elsewhere)

    with pytest.raises(CommandError, match="Give its number"):
        run("verify", "Spring")


@pytest.mark.parametrize("words", [["verify"], ["verify", "x", "--nonsense"], ["backup"], ["restore"],
                                   ["person", "x", "--centre", "y", "--role", "king"]])
def test_a_mistake_is_one_line_on_standard_error_and_exit_1(words):
    done = subprocess.run([sys.executable, "manage.py", *words], capture_output=True, text=True, check=False,
                          cwd=settings.BASE_DIR, env=os.environ | {"EXAMKIT_NO_BOOTSTRAP": "1"})

    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (1, "", 1)


@pytest.mark.parametrize("command", ["verify", "backup", "restore", "person", "demo", "test"])
def test_every_command_shows_an_example_in_its_help(command, capsys):
    from django.core.management import load_command_class

    parser = load_command_class("examkit", command).create_parser("manage.py", command)

    assert f"Example: manage.py {command}" in " ".join(parser.format_help().split())


@pytest.mark.database
@pytest.mark.django_db(transaction=True)
def test_what_was_there_at_the_backup_is_there_after_the_restore(tmp_path, exam, run):
    file = tmp_path / "copy"
    run("backup", str(file))
    Exam.objects.filter(pk=exam.pk).update(name="Changed later")
    run("restore", str(file), "--yes")

    assert Exam.objects.get(pk=exam.pk).name == "Spring"
    assert audit.verify(exam.centre) == [] and exam.centre.trail.last().what == "database restored"
    assert file.stat().st_mode & 0o777 == 0o600


def test_a_backup_of_sqlite_is_one_file_with_nothing_beside_it(tmp_path, db, run):
    if connection.vendor == "sqlite":
        run("backup", str(tmp_path / "copy"))

        with closing(sqlite3.connect(tmp_path / "copy")) as copy:
            assert copy.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        assert [file.name for file in tmp_path.iterdir()] == ["copy"]


def test_a_backup_is_never_overwritten(tmp_path, db, run):
    (tmp_path / "copy").write_text("precious")

    with pytest.raises(CommandError, match="is there already"):
        run("backup", str(tmp_path / "copy"))

    assert (tmp_path / "copy").read_text() == "precious"


def test_a_backup_into_no_folder_is_told(tmp_path, db, run):
    with pytest.raises(CommandError, match="There is no folder"):
        run("backup", str(tmp_path / "nowhere" / "copy"))


def test_restore_asks_first(tmp_path, db, run):
    with pytest.raises(CommandError, match="say --yes"):
        run("restore", str(tmp_path / "copy"))


@pytest.mark.django_db(transaction=True)
def test_restore_waits_for_a_writer_but_not_for_ever(tmp_path, exam, run, monkeypatch):
    if connection.vendor == "sqlite":
        monkeypatch.setattr(storage, "PATIENCE_S", 0.3)
        run("backup", str(tmp_path / "copy"))

        file = connection.settings_dict["NAME"]
        with closing(sqlite3.connect(file, isolation_level=None)) as writer:
            writer.execute("BEGIN IMMEDIATE")
            with pytest.raises(CommandError, match="in use"):
                run("restore", str(tmp_path / "copy"), "--yes")


@pytest.mark.parametrize(("content", "said"), [
    (None, "There is no file"), (b"not a database" * 99, "not an SQLite"),
])
def test_a_file_that_is_no_backup_is_refused_and_nothing_changes(tmp_path, exam, run, content, said):
    if content:
        (tmp_path / "copy").write_bytes(content)

    with pytest.raises(CommandError, match=said):
        run("restore", str(tmp_path / "copy"), "--yes")

    assert Exam.objects.filter(pk=exam.pk).exists()


def test_a_database_of_another_program_is_refused(tmp_path, db, run):
    sqlite3.connect(tmp_path / "copy").execute("CREATE TABLE recipes (name)").connection.close()

    with pytest.raises(CommandError, match="not a backup of examkit"):
        run("restore", str(tmp_path / "copy"), "--yes")


def add_person(run, monkeypatch, *words, password=PASSWORD):
    monkeypatch.setattr(sys, "stdin", io.StringIO(password + "\n"))
    return run("person", *words)


def test_the_first_teacher_of_a_school_comes_in_by_one_command(db, run, monkeypatch):
    add_person(run, monkeypatch, "t.marsh", "--name", "Tilda Marsh", "--centre", "Maple House",
               "--role", "teacher")

    user = User.objects.get(username="t.marsh")
    assert (user.get_full_name(), user.check_password(PASSWORD)) == ("Tilda Marsh", True)
    assert Centre.objects.get().trail.get().what == "role given"


def test_a_school_cannot_begin_in_the_database_of_the_demo(db, run, monkeypatch):
    Centre.objects.create(name=school.NAME, slug=school.SLUG)

    with pytest.raises(CommandError, match="another place for your school"):
        add_person(run, monkeypatch, "t.marsh", "--centre", "Maple House", "--role", "teacher")
    assert not User.objects.exists()


def test_a_person_who_is_there_gets_one_more_role_and_keeps_the_password(cast, run, monkeypatch):
    add_person(run, monkeypatch, "teacher", "--centre", "Maple House School", "--role", "examiner")

    assert set(cast.teacher.memberships.values_list("role", flat=True)) == {"teacher", "examiner"}
    assert User.objects.get(username="teacher").password == cast.teacher.password


def test_a_short_password_is_refused_and_nobody_is_made(db, run, monkeypatch):
    with pytest.raises(CommandError, match="at least 15 characters"):
        add_person(run, monkeypatch, "t", "--centre", "Maple House", "--role", "teacher", password="short")

    assert not User.objects.exists() and not Centre.objects.exists()


def test_two_schools_whose_names_look_alike_get_slugs_of_their_own(db, run, monkeypatch):
    for name in ("Maple House", "Maple-House", "Кленовый дом", "学校"):
        add_person(run, monkeypatch, "t", "--centre", name, "--role", "teacher")

    assert len(set(Centre.objects.values_list("slug", flat=True))) == 4


def test_the_demos_school_has_a_person_for_each_role_who_can_sign_in(db):
    school.school()

    assert list(dict.fromkeys(role for role, _username, _password in school.sign_ins())) == Role.labels
    for _role, username, password in school.sign_ins():
        assert User.objects.get(username=username).check_password(password)


def test_the_demos_school_is_made_once(db):
    school.school()
    school.school()

    assert (Centre.objects.count(), Membership.objects.count()) == (1, len(school.PEOPLE))


def test_the_demos_passwords_differ_from_one_installation_to_the_next(settings):
    settings.SECRET_KEY = "one"
    one = school.sign_ins()
    settings.SECRET_KEY = "two"

    assert not {password for *_, password in one} & {password for *_, password in school.sign_ins()}


def test_the_demo_never_comes_near_a_schools_own_data(cast, run, settings):
    settings.DEMO = True

    with pytest.raises(CommandError, match="which is not the demo's"):
        run("demo", no_serve=True)
    with pytest.raises(CommandError, match="which is not the demo's"):
        run("demo", no_serve=True, reset=True)

    assert Centre.objects.count() == 2


def test_the_demo_does_not_start_on_a_real_set_up(db, run, settings):
    settings.DEMO = False

    with pytest.raises(CommandError, match="never starts on a real set-up"):
        run("demo", no_serve=True)


@pytest.fixture
def pretend(monkeypatch):
    """Nothing is run: each step ends as `pretend.codes` says by its name, else well."""
    state = SimpleNamespace(codes={}, commands=[])

    def run_(command, environment):
        state.commands.append((command, environment))
        return next((code for word, code in state.codes.items() if word in command), 0)
    monkeypatch.setattr(everything, "run", run_)
    return state


def test_all_steps_run_in_order_and_are_summed_up(pretend, run):
    said = run("test")

    names = [name for name, _command in everything.steps()] + ["tests on PostgreSQL"]
    assert [line.split(" s  ")[1].split("  (")[0] for line in said.splitlines() if " s  " in line] == names
    assert "FAILED" not in said


def test_one_failing_step_fails_the_run_but_the_others_still_run(pretend, capsys):
    pretend.codes = {"ruff": 1}

    with pytest.raises(SystemExit, match="1"):
        call_command("test")

    assert "FAILED" in capsys.readouterr().out and len(pretend.commands) == len(everything.steps()) + 1


def test_no_step_touches_the_users_own_data(pretend, run, monkeypatch):
    monkeypatch.setenv("EXAMKIT_DEBUG", "1")
    monkeypatch.setenv("DATABASE_URL", "postgres://real/data")
    run("test")

    for _command, environment in pretend.commands[:-1]:
        assert "DATABASE_URL" not in environment and "EXAMKIT_DEBUG" not in environment
        assert environment["EXAMKIT_VAR"].startswith(everything.tempfile.gettempdir())


@pytest.mark.parametrize(("ci", "verdict"), [("", "NOT RUN"), ("true", "FAILED")])
def test_without_postgresql_the_summary_says_so_and_ci_fails(pretend, monkeypatch, capsys, ci, verdict):
    monkeypatch.setattr(everything, "find_program", lambda name: None)
    monkeypatch.setenv("CI", ci)
    try:
        call_command("test")
    except SystemExit:
        assert ci == "true"

    line = f"{verdict:8}     0.0 s  tests on PostgreSQL  (no PostgreSQL server is installed"
    assert line in capsys.readouterr().out


def test_words_after_test_go_to_pytest_alone(pretend):
    with pytest.raises(SystemExit, match="0"):
        everything.Command().run_from_argv(["manage.py", "test", "tests/chemistry", "-k", "nickel"])

    assert [command[1:] for command, _environment in pretend.commands] == [
        ["-m", "pytest", "tests/chemistry", "-k", "nickel"]]


def test_a_server_that_cannot_start_is_told(tmp_path):
    broken = tmp_path / "initdb"
    broken.write_text("#!/bin/sh\necho no space left >&2\nexit 1\n")
    broken.chmod(0o755)
    tmp_path.chmod(0o755)

    with pytest.raises(NoServer, match="initdb failed"), postgresql(str(broken)):
        pytest.fail("It cannot have started.")
