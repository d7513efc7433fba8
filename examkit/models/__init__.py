"""What is stored to plan and prepare: centres, people, exams, rooms, rosters, samples, stock, audit trail."""

from examkit.models.audit import AuditEntry
from examkit.models.centre import Centre, Membership, Role, User
from examkit.models.day import DayNote, Happening
from examkit.models.exam import Duty, Exam, ExpectedRecord, Part, PoolSalt, State
from examkit.models.own import Own, OwnKind
from examkit.models.roster import Candidate, ListAct, ListWaiting
from examkit.models.sitting import Bench, Room, Sample, Sitting
from examkit.models.stock import Amendment, Preparation, ShelfItem, Trial, TrialLine, Tube

__all__ = [
    "Amendment", "AuditEntry", "Bench", "Candidate", "Centre", "DayNote", "Duty", "Exam", "ExpectedRecord",
    "Happening", "ListAct", "ListWaiting", "Membership", "Own", "OwnKind", "Part", "PoolSalt",
    "Preparation", "Role", "Room", "Sample", "ShelfItem", "Sitting", "State", "Trial", "TrialLine", "Tube",
    "User",
]
