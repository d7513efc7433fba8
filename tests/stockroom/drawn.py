"""An exam that is drawn, made without the solver: 12 salts dealt over 40 benches in turn."""

from datetime import UTC, date, datetime

from examkit.chemistry.expect import expect
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.models import Bench, Candidate, Exam, ExpectedRecord, Room, Sample, Sitting, State

SALTS = (
    "NiCl2.6H2O", "Pb(NO3)2", "CuSO4.5H2O", "NH4Cl", "ZnSO4.7H2O", "BaCl2.2H2O", "FeSO4.7H2O", "MnSO4.H2O",
    "Co(NO3)2.6H2O", "MgCO3", "CH3COONa.3H2O", "KBr",
)


def drawn_exam(centre, *, candidates=6, salts=SALTS, state=State.DRAWN, name="Salt practical"):
    """An exam of one room of 5 x 4 benches, with as many sittings as the candidates need."""
    exam = Exam.objects.create(centre=centre, name=name, held_on=date(2027, 3, 9), scheme="semimicro",
                               mark_scheme="common", state=state, edition=knowledge().edition)
    room = Room.objects.create(centre=centre, name=f"Laboratory of {name}")
    benches = [Bench.objects.create(room=room, row=n // 5, column=n % 5, label=f"{'ABCD'[n // 5]}{n % 5 + 1}")
               for n in range(20)]
    for number in range(candidates):
        _seat(exam, room, benches, number, salts[number % len(salts)])
    for salt in salts[:candidates]:
        record = expect(knowledge(), read_specimen(knowledge(), salt)).as_json()
        ExpectedRecord.objects.create(exam=exam, salt=salt, edition=exam.edition, record=record)
    return exam


def _seat(exam, room, benches, number, salt):
    sitting, _new = Sitting.objects.get_or_create(
        exam=exam, room=room, name=f"Sitting {number // 20 + 1}",
        starts_at=datetime(2027, 3, 9, 8 + 4 * (number // 20), tzinfo=UTC))
    candidate = Candidate.objects.create(exam=exam, number=f"{4001 + number}", name=f"Person Number {number + 1}")
    Sample.objects.create(exam=exam, candidate=candidate, sitting=sitting, bench=benches[number % 20],
                          salt=salt, code=f"{'KMRT'[number % 4]}{7 * number + 101}")
