"""The demo's exam on its day: prepared, its one sitting begun, so that the day's pages can be tried."""

from datetime import timedelta
from pathlib import Path

from django.utils import timezone

from examkit.day.services import note
from examkit.models import Happening, User
from examkit.planning import services
from examkit.planning.roster import read_roster

CLASS_LIST = Path(__file__).with_name("class_list_today.csv")
NAME = "Unknown salt, today"
POOL = ("CuSO4.5H2O", "ZnSO4.7H2O", "NH4Cl", "BaCl2.2H2O", "CaCO3", "KI")
BEGUN = timedelta(minutes=25)
QUARTER_min = 15
ABSENT, STILL_TO_NOTE, SPILT, HURT = "104", ("109", "110", "111", "112"), "102", "106"


def today_exam(centre, who, room):
    """12 candidates in one sitting that has begun, six salts, drawn."""
    starts = timezone.localtime(timezone.now() - BEGUN)
    exam = services.exam_create(
        centre=centre, who=who, name=NAME, held_on=starts.date(), scheme="semimicro", mark_scheme="common",
        sample_mg=1500, spare_percent=20)
    services.sitting_add(
        exam=exam, who=who, room=room, name="Today",
        starts_at=starts.replace(minute=starts.minute // QUARTER_min * QUARTER_min, second=0, microsecond=0))
    entries = read_roster(CLASS_LIST.read_bytes(), CLASS_LIST.name).entries
    services.roster_import(exam=exam, who=who, entries=entries)
    services.pool_set(exam=exam, who=who, formulas=POOL)
    services.draw_seal(exam=exam, who=who)
    services.draw_make(exam=exam, who=who)
    exam.refresh_from_db()
    return exam


def begin(exam):
    """What the invigilator has noted so far: most are there, one is not, and some things happened."""
    who = User.objects.get(username="orla")
    samples = {sample.candidate.number: sample for sample in exam.samples.select_related("candidate")}
    sitting = exam.sittings.get()
    for number, sample in sorted(samples.items()):
        if number not in STILL_TO_NOTE:
            kind = Happening.ABSENT if number == ABSENT else Happening.PRESENT
            note(sitting=sitting, who=who, kind=kind, sample=sample)
    note(sitting=sitting, who=who, kind=Happening.SECOND, sample=samples[SPILT],
         words="Half of it was spilt beside the burner.")
    note(sitting=sitting, who=who, kind=Happening.INCIDENT, sample=samples[HURT],
         words="Hot water on one finger; cooled under the tap, seen by the first aider, went on.")
    _name_a_colour(sitting, who, next(one for one in samples.values() if one.candidate.needs_colour_help))
    note(sitting=sitting, who=who, kind=Happening.TIME, minutes=5, words="The gas was off for five minutes.")


def _name_a_colour(sitting, who, sample):
    """The invigilator says what there is to see in a test, whatever the salt."""
    record = sitting.exam.expected.get(salt=sample.salt).record
    flame = next(line for line in record["lines"] if line["test"] == "flame")
    note(sitting=sitting, who=who, kind=Happening.COLOUR, sample=sample, test="flame", words=flame["text"])
