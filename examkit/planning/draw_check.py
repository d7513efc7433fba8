"""The check of an exam's draw in the database: `manage.py verify` and the draw page use it."""

from examkit.models import State
from examkit.planning.changes import LATE
from examkit.planning.commitment import verify, verify_seal
from examkit.planning.plan import Plan
from examkit.planning.solver import solver_version


def check(exam):
    """What is wrong with an exam's draw, as sentences; empty where it is genuine (or not made yet)."""
    if not exam.draw:
        return [] if exam.state == State.DRAFT else ["The exam is past its draw, but nothing is kept of it."]
    plan = Plan.from_json(exam.draw["plan"])
    if exam.state == State.DRAFT:
        return verify_seal(_seal(exam), plan)
    found = verify(_seal(exam) | _made(exam), plan)
    return [*found, *_solver(exam, found), *_roster(exam, plan), *_expected(exam, plan)]


def _solver(exam, found):
    """Another version of the solver may find another of the equally good draws; that is no steering."""
    here = solver_version()
    if found and exam.draw["solver"] != here:
        yield (f"The draw was made with {exam.draw['solver']}, this program has {here}, which may draw "
               "otherwise from the same seed. Check again with that version before you conclude anything.")


def _seal(exam):
    return {"version": exam.draw["version"], "seed": exam.seed, "nonce": exam.nonce,
            "commitment": exam.commitment, "digests": exam.draw["digests"]}


def _made(exam):
    samples = exam.samples.select_related("candidate", "sitting", "bench")
    return {
        "public": exam.draw["public"],
        "seats": [[s.candidate.number, s.sitting.name, s.bench.label, s.salt] for s in samples],
        "codes": {s.candidate.number: s.code for s in samples},
        "changes": [change["about"] for change in exam.draw.get("changes", ())],
    }


def _roster(exam, plan):
    """The roster may lose names later, but neither candidates nor pool change after the draw."""
    late = {about["entrant"][0] for change in exam.draw.get("changes", ())
            if (about := change["about"])["kind"] == LATE}
    if set(exam.candidates.values_list("number", flat=True)) != late | {one.number for one in plan.entrants}:
        yield "The candidates are not those of the draw."
    if set(exam.pool.values_list("formula", flat=True)) != {choice.salt for choice in plan.pool}:
        yield "The pool is not that of the draw."


def _expected(exam, plan):
    frozen = dict(exam.expected.values_list("salt", "edition"))
    for salt in sorted({choice.salt for choice in plan.pool} - frozen.keys()):
        yield f"The expected record of {salt} was not frozen at the draw."
    for salt, edition in sorted(frozen.items()):
        if edition != exam.edition:
            yield f"The expected record of {salt} belongs to another edition than the draw."
