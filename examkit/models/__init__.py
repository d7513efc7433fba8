"""What is stored to plan and prepare: centres, people, exams, rooms, rosters, samples, stock, audit trail."""

from examkit.models.audit import AuditEntry
from examkit.models.centre import Centre, Membership, Role, User
from examkit.models.exam import Exam, ExpectedRecord, PoolSalt, State
from examkit.models.own import Own, OwnKind
from examkit.models.roster import Candidate
from examkit.models.sitting import Bench, Room, Sample, Sitting
from examkit.models.stock import Preparation, ShelfItem

__all__ = [
    "AuditEntry", "Bench", "Candidate", "Centre", "Exam", "ExpectedRecord", "Membership", "Own", "OwnKind",
    "PoolSalt", "Preparation", "Role", "Room", "Sample", "ShelfItem", "Sitting", "State", "User",
]
