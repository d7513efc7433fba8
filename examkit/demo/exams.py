"""The demo's exams: one drawn, prepared, sat; one on its day; one that waits for its class list and pool."""

from datetime import datetime, time, timedelta
from decimal import Decimal
from pathlib import Path

from django.utils import timezone

from examkit.day.services import rest_present
from examkit.demo import today
from examkit.models import Exam, Room, ShelfItem, State, User
from examkit.planning import services
from examkit.planning.roster import read_roster
from examkit.stockroom.selectors import stock_list
from examkit.stockroom.services import shelf_add, tick
from examkit.stockroom.signing import sign_off
from examkit.stockroom.trials.selectors import bottles_of, trial_row
from examkit.stockroom.trials.services import trial_open, trial_see

CLASS_LIST = Path(__file__).with_name("class_list.csv")
SAT, DRAFT = "Unknown salt, winter term", "Unknown salt, rehearsal"
POOL = (
    "NiSO4.6H2O", "CuSO4.5H2O", "FeCl3.6H2O", "Pb(NO3)2", "ZnSO4.7H2O", "MnCl2.4H2O",
    "NH4Cl", "BaCl2.2H2O", "CaCO3", "CH3COONa.3H2O", "Co(NO3)2.6H2O", "KI",
)

SHELF = (  # substance, g or mL, mol/L
    ("CuSO4.5H2O", 250, None), ("NiSO4.6H2O", 100, None), ("ZnSO4.7H2O", 250, None), ("KI", 50, None),
    ("NH4Cl", 500, None), ("BaCl2.2H2O", 100, None), ("CaCO3", 500, None), ("Pb(NO3)2", 4, None),
    ("FeCl3.6H2O", 100, None), ("MnCl2.4H2O", 100, None), ("CH3COONa.3H2O", 250, None),
    ("Co(NO3)2.6H2O", 25, None),
    ("hydrochloric-acid-concentrated", 1000, None), ("sulfuric-acid-concentrated", 500, None),
    ("nitric-acid-concentrated", 500, None), ("ammonia-concentrated", 500, None),
    ("sodium-hydroxide-2M", 500, Decimal(2)), ("silver-nitrate", 100, Decimal("0.1")),
)


def exams(centre):
    """The exams, where they are missing."""
    teacher, assistant = (User.objects.get(username=name) for name in ("nell", "ossian"))
    room = _room(centre, teacher)
    if not ShelfItem.objects.filter(centre=centre).exists():
        for number, (substance, amount, mol_L) in enumerate(SHELF, start=1):
            shelf_add(centre=centre, who=assistant, substance=substance, amount=Decimal(amount),
                      strength_mol_L=mol_L, lot=f"AB {100 + 7 * number}", grade="for analysis")
    if not Exam.objects.filter(centre=centre, name=SAT).exists():
        sit(prepare(sat_exam(centre, teacher, room), assistant), teacher)
    if not Exam.objects.filter(centre=centre, name=DRAFT).exists():
        draft_exam(centre, teacher, room)
    if not Exam.objects.filter(centre=centre, name=today.NAME).exists():
        today.begin(prepare(today.today_exam(centre, teacher, room), assistant))


def _room(centre, who):
    found = Room.objects.filter(centre=centre).first()
    return found or services.room_create(centre=centre, who=who, name="Laboratory 2", rows=5, columns=4)


def sat_exam(centre, who, room):
    """40 candidates in two sittings of 20 benches, 12 salts, drawn."""
    day = timezone.localdate() - timedelta(days=3)
    exam = services.exam_create(
        centre=centre, who=who, name=SAT, held_on=day, scheme="semimicro", mark_scheme="common",
        sample_mg=1500, spare_percent=20,
    )
    for name, hour in (("Morning", 9), ("Afternoon", 13)):
        starts = timezone.make_aware(datetime.combine(day, time(hour)))
        services.sitting_add(exam=exam, who=who, room=room, name=name, starts_at=starts)
    reading = read_roster(CLASS_LIST.read_bytes(), CLASS_LIST.name)
    services.roster_import(exam=exam, who=who, entries=reading.entries)
    services.pool_set(exam=exam, who=who, formulas=POOL)
    exam.refresh_from_db()
    services.draw_seal(exam=exam, who=who)
    exam.refresh_from_db()
    services.draw_make(exam=exam, who=who)
    exam.refresh_from_db()
    return exam


def prepare(exam, assistant):
    """The stock room ticks its lines, tries a bottle of each salt, signs off."""
    for line in stock_list(exam).ticks:
        tick(exam=exam, who=assistant, item=line.item, done=True, version=line.version)
    for salt in sorted(set(exam.samples.values_list("salt", flat=True))):
        _try(exam, salt, assistant)
    sign_off(exam=exam, who=assistant)
    exam.refresh_from_db()
    return exam


def sit(exam, teacher):
    """Everybody came; the sittings are over."""
    for sitting in exam.sittings.all():
        rest_present(sitting=sitting, who=teacher)
    services.exam_move(exam=exam, to=State.SAT, who=teacher)


def _try(exam, salt, who):
    """Every test of the scheme with the bottle of a salt, as expected."""
    trial = trial_open(exam=exam, who=who, salt=salt, bottle=bottles_of(exam, salt)[0])
    for line in trial_row(trial).lines:
        trial_see(trial=trial, who=who, test=line.test, agrees=True, version=line.version)


def draft_exam(centre, who, room):
    """An exam at its beginning: name, day and one sitting."""
    exam = services.exam_create(
        centre=centre, who=who, name=DRAFT, held_on=timezone.localdate() + timedelta(days=21),
        scheme="semimicro",
        mark_scheme="common", sample_mg=1500, spare_percent=20,
    )
    services.sitting_add(exam=exam, who=who, room=room, name="Afternoon")
