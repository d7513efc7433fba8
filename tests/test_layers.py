"""Imports point one way, and pure folders know no Django (DEVELOPERS.md, "Direction of imports")."""

import ast
import subprocess
import sys
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
OURS = ("examkit", "grading", "tests", "manage")

HOUSE = ("examkit.errors", "examkit.models", "examkit.knowledge", "examkit.audit", "examkit.access",
         "examkit.resume", "examkit.undo", "examkit.chemistry")
PURE = ("examkit.chemistry", "grading.reading", "grading.scoring", "grading.analysis")
# a package -> what it may import of ours, beside itself; the longest name that fits counts
ALLOWED = {
    "examkit.chemistry": (),
    "examkit.errors": (),
    "examkit.environment": (),
    "examkit.logs": (),
    "examkit.models": ("examkit.errors",),
    "examkit.migrations": ("examkit.models",),
    "examkit.knowledge": ("examkit.chemistry", "examkit.models"),
    "examkit.audit": ("examkit.models",),
    "examkit.undo": ("examkit.errors", "examkit.models"),
    "examkit.resume": (),
    "examkit.access": ("examkit.models", "examkit.resume"),
    "examkit.settings": ("examkit.environment",),
    "examkit.apps": HOUSE,
    "examkit.lookup": HOUSE,
    "examkit.own": (*HOUSE, "examkit.planning"),
    "examkit.planning": HOUSE,
    "examkit.stockroom": (*HOUSE, "examkit.planning", "examkit.own"),
    "examkit.day": (*HOUSE, "examkit.planning", "examkit.stockroom"),
    "examkit.printing": (*HOUSE, "examkit.planning", "examkit.stockroom"),
    "examkit.house": (*HOUSE, "examkit.planning"),
    "examkit.demo": (*HOUSE, "examkit.planning", "examkit.stockroom", "examkit.printing", "examkit.day"),
    "examkit.management": (*HOUSE, "examkit.planning", "examkit.stockroom", "examkit.printing",
                           "examkit.demo", "manage.find_program"),
    "grading.errors": (),
    "grading.reading": ("grading.errors", "examkit.chemistry"),
    "grading.scoring": ("grading.errors", "grading.reading", "examkit.chemistry"),
    "grading.analysis": ("grading.errors",),
    "grading.models": ("examkit.models",),
    "grading.demo": ("grading", *HOUSE, "examkit.planning", "examkit.demo"),
    "grading.migrations": (),
    "grading.entry": (*HOUSE, "grading", "examkit.chemistry", "examkit.planning", "examkit.day"),
    "grading": (*HOUSE, *PURE, "grading", "examkit.own", "examkit.planning", "examkit.stockroom",
                "examkit.printing", "examkit.management"),
    "examkit": (),
}


def imports(source):
    """Every name that the source imports, wherever in it, as `module.name`; a relative one as `.`.

    >>> imports("from a.b import c")
    ['a.b.c']
    """
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom):
            found += ["."] if node.level else [f"{node.module}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
    return found


def inside(name, package):
    """Whether a dotted name lies in a package."""
    return name == package or name.startswith(package + ".")


def faults(module, source):
    """What is wrong with the imports of a module."""
    package = max((p for p in ALLOWED if inside(module, p)), key=len)
    for name in imports(source):
        if name == ".":
            yield f"{module}: a relative import"
        elif inside(name, "django") and any(inside(module, p) for p in PURE):
            yield f"{module}: pure, but imports {name}"
        elif name.split(".")[0] in OURS and not any(inside(name, p) for p in (package, *ALLOWED[package])):
            yield f"{module}: may not import {name}"


def modules():
    """Every module of the product with its source."""
    for folder in ("examkit", "grading"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            parts = path.relative_to(ROOT).with_suffix("").parts
            yield ".".join(parts[:-1] if parts[-1] == "__init__" else parts), path.read_text()


def test_imports_point_one_way():
    assert [fault for module, source in modules() for fault in faults(module, source)] == []


def test_no_module_imports_one_that_imports_it():
    sources = dict(modules())
    tree = {module: {_module(name, sources) for name in imports(source)} - {None, module}
            for module, source in sources.items()}
    assert len(list(TopologicalSorter(tree).static_order())) == len(sources)  # raises CycleError, which names it


def _module(name, sources):
    """The module of ours that an imported name stands in, or is."""
    parts = name.split(".")
    return next((found for end in (len(parts), len(parts) - 1) if (found := ".".join(parts[:end])) in sources), None)


def test_the_packages_themselves_import_nothing():
    assert [imports((ROOT / name / "__init__.py").read_text()) for name in ("examkit", "grading")] == [[], []]


@pytest.mark.parametrize(("module", "source", "fault"), [
    ("examkit.chemistry.expect", "from examkit.models import Exam", "may not import examkit.models.Exam"),
    ("examkit.chemistry.expect", "from .formula import parse", "a relative import"),
    ("examkit.chemistry.expect", "def f():\n    import django.conf", "pure, but imports django.conf"),
    ("grading.reading.reader", "from django.utils import text", "pure, but imports django.utils.text"),
    ("grading.reading.reader", "import grading.models", "may not import grading.models"),
    ("examkit.planning.services", "from grading.models import Award", "may not import grading.models.Award"),
    ("examkit.planning.services", "import examkit.stockroom", "may not import examkit.stockroom"),
    ("examkit.models.exam", "from examkit.planning import services", "may not import examkit.planning.services"),
])
def test_an_arrow_that_points_back_is_found(module, source, fault):
    assert list(faults(module, source)) == [f"{module}: {fault}"]


def test_the_pure_folders_run_where_there_is_no_django():
    names = [module for module, _source in modules() if any(inside(module, pure) for pure in PURE)]
    script = ("import sys, importlib\nsys.modules['django'] = None\n"
              "for name in sys.argv[1:]: importlib.import_module(name)")
    run = subprocess.run([sys.executable, "-c", script, *names], cwd=ROOT, capture_output=True, text=True,
                         check=False)

    assert (run.returncode, run.stderr) == (0, "")
