#!/usr/bin/env python3
"""Run examkit's commands, e.g. `python3 manage.py demo`, on a machine with nothing but Python.

Standard library only: makes .venv with the pinned requirements where missing or changed, checks the system
libraries, starts again inside. EXAMKIT_NO_BOOTSTRAP=1 turns that off. All it says goes to standard error.
"""

import contextlib
import ctypes
import ctypes.util
import glob
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
VENV_PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
OLDEST = (3, 11)

# what is needed: (Debian, Fedora, macOS, Windows) as their package managers name it
LIBRARIES = {
    "pango-1.0": ("libpango-1.0-0", "pango", "pango", "pango"),
    "pangoft2-1.0": ("libpangoft2-1.0-0", "pango", "pango", "pango"),
    "harfbuzz-subset": ("libharfbuzz-subset0", "harfbuzz", "harfbuzz", "harfbuzz"),
}
PROGRAMS = {
    "chromium": ("chromium", "chromium", "chromium", "Hibbiki.Chromium"),
    "initdb": ("postgresql", "postgresql-server", "postgresql@17", "PostgreSQL.PostgreSQL.17"),
    "pdftotext": ("poppler-utils", "poppler-utils", "poppler", "oschwartz10612.Poppler"),
}
BROWSERS = ("chromium", "chromium-browser", "chrome", "google-chrome",
            "/Applications/Chromium.app/Contents/MacOS/Chromium")
SERVER_FOLDERS = ("/usr/lib/postgresql/*/bin", "/usr/pgsql-*/bin", "/opt/homebrew/opt/postgresql*/bin",
                  "/usr/local/opt/postgresql*/bin", "C:/Program Files/PostgreSQL/*/bin")


class Stop(Exception):
    """The program cannot go on; the message says the way out."""


def say(text):
    print(f"[examkit] {text}", file=sys.stderr, flush=True)


def main():
    """Prepare the environment, then hand over to Django."""
    if sys.version_info < OLDEST:
        raise Stop("Python {}.{} or later is needed; this is {}.".format(*OLDEST, sys.version.split()[0]))
    command = sys.argv[1] if len(sys.argv) > 1 else ""
    if os.environ.get("EXAMKIT_NO_BOOTSTRAP") != "1":
        prepare_venv()
        check_system(command)
        restart_inside()
    if command == "demo":
        os.environ.setdefault("EXAMKIT_DEMO", "1")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "examkit.settings")
    try:
        from django.core.management import execute_from_command_line
    except ImportError as problem:
        raise Stop("No Django here. Install requirements.txt or unset EXAMKIT_NO_BOOTSTRAP.") from problem
    execute_from_command_line(sys.argv)


def wanted_stamp():
    pinned = (ROOT / "requirements.txt").read_bytes()
    return hashlib.sha256(pinned + repr(sys.version_info[:2]).encode()).hexdigest()


def prepare_venv():
    """Make or renew .venv where its stamp is not the wanted one; leave alone one that is not ours."""
    stamp = VENV / "examkit-stamp"
    if stamp.is_file() and stamp.read_text() == wanted_stamp() and VENV_PYTHON.exists():
        return
    if VENV.exists() and not stamp.is_file() and any(VENV.iterdir()):
        raise Stop(f"{VENV} was not made by manage.py and is left as it is. Move it away, or set "
                   "EXAMKIT_NO_BOOTSTRAP=1 and use it.")
    if not usable():
        make_venv(stamp)
    say("Installing the pinned requirements; the first time takes a few minutes ...")
    stamp.write_text("unfinished")
    pip = [str(VENV_PYTHON), "-m", "pip", "install", "--disable-pip-version-check"]
    if subprocess.run([*pip, "-r", "requirements.txt"], cwd=ROOT, stdout=sys.stderr, check=False).returncode:
        raise Stop("pip could not install the requirements (its words are above). Behind a proxy, set "
                   "HTTPS_PROXY or PIP_INDEX_URL; then run the same command again.")
    stamp.write_text(wanted_stamp())
    say("Requirements installed.")


def usable():
    """Whether .venv is there, has pip, and is of this Python's version."""
    if not VENV_PYTHON.exists():
        return False
    code = f"import pip, sys; sys.exit(sys.version_info[:2] != {sys.version_info[:2]})"
    return not subprocess.run([VENV_PYTHON, "-c", code], stderr=subprocess.DEVNULL, check=False).returncode


def make_venv(stamp):
    """An empty .venv with pip; Debian's Python may lack the part that makes one."""
    if importlib.util.find_spec("ensurepip") is None:
        package = "python{}.{}-venv".format(*sys.version_info)
        if not apt_install([package]):
            raise Stop("This Python cannot make virtual environments (ensurepip is missing). Debian, Ubuntu: "
                       f"sudo apt-get install {package}. Fedora: sudo dnf install python3-pip. Or install "
                       "requirements.txt in an environment of your own and set EXAMKIT_NO_BOOTSTRAP=1.")
    say(f"Making {VENV} with Python {sys.version.split()[0]} ...")
    shutil.rmtree(VENV, ignore_errors=True)
    VENV.mkdir()
    stamp.write_text("unfinished")  # first of all: interrupted from here on, it is still known as ours
    if subprocess.run([sys.executable, "-m", "venv", str(VENV)], stdout=sys.stderr, check=False).returncode:
        raise Stop(f"Python could not make {VENV} (its words are above). Check the rights on the folder.")


def restart_inside():
    """The same command again with .venv's interpreter."""
    if Path(sys.prefix).resolve() == VENV.resolve():
        return
    command = [str(VENV_PYTHON), str(ROOT / "manage.py"), *sys.argv[1:]]
    if os.name == "nt":
        sys.exit(subprocess.run(command, check=False).returncode)
    os.execv(command[0], command)


def has_library(name):
    """Whether the dynamic loader finds a library."""
    for file in (f"lib{name}.so.0", f"lib{name}.0.dylib", f"lib{name}.dylib", f"lib{name}-0.dll"):
        with contextlib.suppress(OSError):
            return bool(ctypes.CDLL(file))
    return bool(ctypes.util.find_library(name))


def find_program(name):
    """The path of a program, looked for where its packages put it; None where there is none."""
    if name == "chromium":
        own = os.environ.get("EXAMKIT_CHROMIUM", "")
        return next(filter(None, map(shutil.which, (own, *BROWSERS))), None)
    if name == "initdb":
        newest_first = [f for pattern in SERVER_FOLDERS for f in sorted(glob.glob(pattern), reverse=True)]
        return shutil.which("initdb") or shutil.which("initdb", path=os.pathsep.join(newest_first))
    return shutil.which(name)


def check_system(command):
    """For `demo` and `test`: install what the system lacks, or say the exact command."""
    if command not in ("demo", "test"):
        return
    if os.name == "nt":
        for folder in os.environ.get("WEASYPRINT_DLL_DIRECTORIES", r"C:\msys64\ucrt64\bin").split(";"):
            with contextlib.suppress(OSError):
                os.add_dll_directory(folder)
    missing = [needs for name, needs in LIBRARIES.items() if not has_library(name)]
    vital = bool(missing)
    if command == "test":
        missing += [needs for name, needs in PROGRAMS.items() if not find_program(name)]
    if not missing or apt_install([needs[0] for needs in missing]):
        return
    say("The system lacks what printing and the tests need. Install it with the line of your system:")
    for line in install_commands(missing):
        say("  " + line)
    if vital:
        raise Stop("Without the text libraries no sheet can be printed. Install them and run this again.")


def install_commands(missing):
    """The exact command for each system."""
    debian, fedora, mac, windows = (sorted(set(column)) for column in zip(*missing, strict=True))
    msys = " ".join(f"mingw-w64-ucrt-x86_64-{name}" for name in windows if "." not in name)
    steps = [f"winget install -e --id {name}" for name in windows if "." in name]
    steps += ["winget install -e --id MSYS2.MSYS2", rf"C:\msys64\usr\bin\pacman -S {msys}"] if msys else []
    return [f"Debian, Ubuntu:  sudo apt-get update && sudo apt-get install -y {' '.join(debian)}",
            f"Fedora:          sudo dnf install -y {' '.join(fedora)}",
            f"macOS:           brew install {' '.join(mac)}",
            "Windows:         " + " & ".join(steps)]


def apt_install(packages):
    """As root on Debian or Ubuntu: install them and say so; False elsewhere or where apt-get fails."""
    if not (shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0):
        return False
    say(f"Installing system packages: {' '.join(packages)} ...")
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for words in (["update"], ["install", "-y", "--no-install-recommends", *packages]):
        failed = subprocess.run(["apt-get", *words], env=quiet, stdout=sys.stderr, check=False).returncode
    return not failed


if __name__ == "__main__":
    try:
        main()
    except Stop as problem:
        say(str(problem))
        sys.exit(1)
    except KeyboardInterrupt:
        sys.exit(130)
