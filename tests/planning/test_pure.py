"""The pure parts of planning run where there is no Django: a draw can be checked with them alone."""

import subprocess
import sys
from pathlib import Path

PURE = ("allocation", "arrange", "balance", "chance", "changes", "codes", "commitment", "conflicts", "counts", "dealing",
        "empty_list", "exchange", "grid", "headings", "mixing", "needs", "oneroster", "people", "plan", "roster", "rounding", "rules", "said",
        "seating", "sharing", "sheets", "solver", "suggest", "tables", "workbooks", "zipped")
PROGRAM = """
import sys
sys.modules["django"] = None
import importlib
for name in {names!r}:
    importlib.import_module("examkit.planning." + name)
from examkit.planning.allocation import draw
from examkit.planning.plan import BenchAt, Choice, Entrant, Hall, Plan
hall = Hall("one", (BenchAt(0, 0, "A1"), BenchAt(0, 1, "A2")))
print(len(draw(Plan((hall,), (Entrant("1"), Entrant("2")), (Choice("a", ("A",)), Choice("b", ("B",)))), "s").seats))
"""


def test_the_pure_parts_import_and_draw_without_django():
    root = Path(__file__).resolve().parents[2]
    run = subprocess.run([sys.executable, "-c", PROGRAM.format(names=PURE)], cwd=root, capture_output=True, text=True)

    assert (run.stdout.strip(), run.stderr) == ("2", "")


def test_every_module_beside_the_django_ones_is_named_here():
    folder = Path(__file__).resolve().parents[2] / "examkit" / "planning"
    django = {"__init__", "draw_check", "forms", "progress", "tasks", "urls"}

    assert {path.stem for path in folder.glob("*.py")} - django == set(PURE)
