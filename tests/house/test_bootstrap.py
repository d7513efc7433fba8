"""manage.py on a machine with nothing but Python."""

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

import manage

ROOT = Path(manage.__file__).parent


@pytest.fixture
def machine(monkeypatch, tmp_path):
    """A machine of its own: nothing is run; what would be run is noted."""
    calls = []

    def run(command, **_options):
        calls.append([str(word) for word in command])
        return subprocess.CompletedProcess(command, 0)

    (tmp_path / "requirements.txt").write_text("Django==5.2\n")
    monkeypatch.setattr(manage, "ROOT", tmp_path)
    monkeypatch.setattr(manage, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(manage, "VENV_PYTHON", tmp_path / ".venv" / "bin" / "python")
    monkeypatch.setattr(manage.subprocess, "run", run)
    return calls


def installed(calls):
    return [call for call in calls if "pip" in call and "install" in call]


def finish_venv():
    """What the real `python -m venv` leaves behind."""
    manage.VENV_PYTHON.parent.mkdir(parents=True, exist_ok=True)
    manage.VENV_PYTHON.touch()


def test_it_needs_the_standard_library_only():
    tree = ast.parse((ROOT / "manage.py").read_text())
    names = [alias.name for node in tree.body if isinstance(node, ast.Import) for alias in node.names]
    names += [node.module for node in tree.body if isinstance(node, ast.ImportFrom)]

    assert {name.split(".")[0] for name in names} <= sys.stdlib_module_names


def test_it_stays_under_two_hundred_lines():
    assert len((ROOT / "manage.py").read_text().splitlines()) < 200


def test_the_first_start_makes_the_environment_and_installs(machine, capsys):
    manage.prepare_venv()

    assert machine[0][1:3] == ["-m", "venv"] and len(installed(machine)) == 1
    assert (manage.VENV / "examkit-stamp").read_text() == manage.wanted_stamp()
    assert "Installing the pinned requirements" in capsys.readouterr().err


def test_the_second_start_runs_nothing(machine):
    manage.prepare_venv()
    finish_venv()
    machine.clear()

    manage.prepare_venv()

    assert machine == []


def test_changed_requirements_are_installed_into_the_environment_that_is_there(machine):
    manage.prepare_venv()
    finish_venv()
    machine.clear()
    (manage.ROOT / "requirements.txt").write_text("Django==5.3\n")

    manage.prepare_venv()

    assert len(installed(machine)) == 1 and not any("venv" in call for call in machine)


def test_an_interrupted_start_is_taken_up_again(machine):
    manage.make_venv(manage.VENV / "examkit-stamp")
    machine.clear()

    manage.prepare_venv()

    assert len(installed(machine)) == 1


def test_an_environment_that_is_not_ours_is_left_alone(machine):
    manage.VENV.mkdir()
    (manage.VENV / "pyvenv.cfg").touch()

    with pytest.raises(manage.Stop, match="was not made by manage.py"):
        manage.prepare_venv()

    assert machine == []


def test_a_python_without_ensurepip_is_told_the_package(machine, monkeypatch):
    monkeypatch.setattr(manage.importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(manage, "apt_install", lambda packages: False)

    with pytest.raises(manage.Stop, match=rf"apt-get install python3\.{sys.version_info[1]}-venv"):
        manage.prepare_venv()


def test_a_failed_install_is_told_and_tried_again_next_time(machine, monkeypatch):
    monkeypatch.setattr(manage.subprocess, "run",
                        lambda command, **_: subprocess.CompletedProcess(command, "pip" in command))

    with pytest.raises(manage.Stop, match="pip could not install"):
        manage.prepare_venv()

    assert (manage.VENV / "examkit-stamp").read_text() == "unfinished"


def test_as_root_on_debian_missing_libraries_are_installed_after_an_update(machine, monkeypatch):
    monkeypatch.setattr(manage, "has_library", lambda name: name != "pango-1.0")
    monkeypatch.setattr(manage.os, "geteuid", lambda: 0)
    monkeypatch.setattr(manage.shutil, "which", lambda name, **_: f"/usr/bin/{name}")

    manage.check_system("demo")

    assert machine == [["apt-get", "update"],
                       ["apt-get", "install", "-y", "--no-install-recommends", "libpango-1.0-0"]]


def test_elsewhere_the_exact_command_for_each_system_is_printed(machine, monkeypatch, capsys):
    monkeypatch.setattr(manage, "has_library", lambda name: False)
    monkeypatch.setattr(manage.os, "geteuid", lambda: 1000)

    with pytest.raises(manage.Stop, match="no sheet can be printed"):
        manage.check_system("demo")

    said = capsys.readouterr().err
    assert "sudo apt-get install -y libharfbuzz-subset0 libpango-1.0-0 libpangoft2-1.0-0" in said
    assert "sudo dnf install -y harfbuzz pango" in said and "brew install harfbuzz pango" in said
    assert "winget install -e --id MSYS2.MSYS2 &" in said and machine == []


def test_without_a_browser_or_server_the_tests_still_start(machine, monkeypatch, capsys):
    monkeypatch.setattr(manage, "has_library", lambda name: True)
    monkeypatch.setattr(manage, "find_program", lambda name: None)
    monkeypatch.setattr(manage.os, "geteuid", lambda: 1000)

    manage.check_system("test")

    assert "chromium poppler-utils postgresql" in capsys.readouterr().err


def test_other_commands_never_look_at_the_system(machine, monkeypatch):
    monkeypatch.setattr(manage, "has_library", lambda name: pytest.fail("looked"))

    manage.check_system("expect")


@pytest.mark.parametrize("name", manage.LIBRARIES)
def test_the_libraries_of_this_machine_are_found(name):
    assert manage.has_library(name)


def test_a_library_that_is_nowhere_is_missing():
    assert not manage.has_library("no-such-library-at-all")


def test_turned_off_it_hands_over_at_once():
    run = subprocess.run([sys.executable, str(ROOT / "manage.py"), "version"], capture_output=True, text=True,
                         env=os.environ | {"EXAMKIT_NO_BOOTSTRAP": "1"}, check=True)

    assert (run.stdout.strip(), run.stderr) == ("5.2.19", "")


def test_turned_off_and_without_django_it_says_the_way_out():
    run = subprocess.run([sys.executable, "-S", "-I", str(ROOT / "manage.py"), "version"], check=False,
                         capture_output=True, text=True, env={"EXAMKIT_NO_BOOTSTRAP": "1"})

    assert run.returncode == 1 and run.stderr.startswith("[examkit] No Django here.")
