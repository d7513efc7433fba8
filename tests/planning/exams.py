"""Exams in the database for the tests of services and pages: built through the services, as people do it."""

from examkit.models import State
from examkit.planning import services
from examkit.planning.roster import Entry

SALTS = [
    "NiCl2.6H2O", "CuSO4.5H2O", "Pb(NO3)2", "ZnSO4.7H2O", "BaCl2.2H2O", "FeSO4.7H2O",
    "CoCl2.6H2O", "MnCl2.4H2O", "KI", "NH4Cl", "CaCO3", "NaNO2",
]


def draft(cast, name="June practical", **fields):
    """An exam without anything yet."""
    particulars = {"held_on": None, "scheme": "semimicro", "mark_scheme": "common", "sample_mg": 1500,
                   "spare_percent": 20} | fields
    return services.exam_create(centre=cast.centre, who=cast.teacher, name=name, **particulars)


def entries(number=40):
    return [Entry(f"{n:03}", f"Candidate {n}", "12B") for n in range(1, number + 1)]


def room(cast, rows=5, columns=4, name="Laboratory 1"):
    return services.room_create(centre=cast.centre, who=cast.teacher, name=name, rows=rows, columns=columns)


def planned(cast, candidates=40, salts=SALTS, **wishes):
    """An exam with all that the draw needs: candidates, two sittings in one room, a pool."""
    exam, lab = draft(cast), room(cast)
    for name in ("morning", "afternoon"):
        services.sitting_add(exam=exam, who=cast.teacher, room=lab, name=name)
    services.roster_import(exam=exam, who=cast.teacher, entries=entries(candidates))
    services.pool_set(exam=exam, who=cast.teacher, formulas=salts)
    exam.refresh_from_db()
    return exam


def drawn(cast, **more):
    """An exam whose draw is made."""
    exam = planned(cast, **more)
    services.draw_seal(exam=exam, who=cast.teacher)
    services.draw_make(exam=exam, who=cast.teacher)
    exam.refresh_from_db()
    assert exam.state == State.DRAWN
    return exam
