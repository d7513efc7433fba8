"""What changes in planning: each function is one transaction and one entry in the audit trail."""

from examkit.planning.services.back import room_back, sitting_back
from examkit.planning.services.changes import (
    batch_spoilt,
    bench_broken,
    bench_opened,
    candidate_moved,
    change_undo,
    late_candidate,
    seats_swapped,
)
from examkit.planning.services.copy import exam_copy
from examkit.planning.services.draw import draw_make, draw_seal, draw_unseal
from examkit.planning.services.exams import exam_change, exam_create, exam_delete, exam_move
from examkit.planning.services.list_acts import list_act_undo
from examkit.planning.services.pool import pool_set
from examkit.planning.services.rooms import (
    room_create,
    room_delete,
    room_place,
    room_separate,
    sitting_add,
    sitting_change,
    sitting_delete,
    sitting_length,
)
from examkit.planning.services.roster import candidate_delete, candidate_save, roster_import
from examkit.planning.services.rules import rules_set
from examkit.planning.services.set_back import place_undo, setting_undo
from examkit.planning.services.staff import duty_add, duty_remove

__all__ = [
    "batch_spoilt", "bench_broken", "bench_opened", "candidate_delete", "candidate_moved",
    "candidate_save", "change_undo", "draw_make", "draw_seal", "draw_unseal", "duty_add", "duty_remove",
    "exam_change", "exam_copy", "exam_create", "exam_delete", "exam_move", "late_candidate",
    "list_act_undo", "place_undo", "pool_set", "room_back", "room_create", "room_delete", "room_place",
    "room_separate", "roster_import", "rules_set", "seats_swapped", "setting_undo", "sitting_add",
    "sitting_back", "sitting_change", "sitting_delete", "sitting_length",
]
