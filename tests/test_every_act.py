"""Every act of planning, stock room and day stands in the trail, and is taken back with a reason or says why not."""

import ast
import importlib
import inspect

import pytest

from tests.test_layers import modules

PARTS = ("examkit.planning.services.", "examkit.stockroom.", "examkit.day.")
# act: what takes it back (each asks for a reason), or the ground why nothing does
PLANNING, STOCK, TRIALS, TUBES, DAY = (
    "examkit.planning.services.", "examkit.stockroom.", "examkit.stockroom.trials.services.",
    "examkit.stockroom.tubes.services.", "examkit.day.services.")
SETTING, PLACE, LIST, BOTTLE = (
    PLANNING + "set_back.setting_undo", PLANNING + "set_back.place_undo", PLANNING + "list_acts.list_act_undo",
    STOCK + "gone.set_back")
TAKEN_BACK_BY = {
    PLANNING + "exams.exam_create": PLANNING + "exams.exam_delete",
    PLANNING + "copy.exam_copy": PLANNING + "exams.exam_delete",
    PLANNING + "exams.exam_change": SETTING,
    PLANNING + "exams.exam_move": PLANNING + "exams.exam_move",
    PLANNING + "pool.pool_set": SETTING,
    PLANNING + "rules.rules_set": SETTING,
    PLANNING + "staff.duty_add": PLANNING + "staff.duty_remove",
    PLANNING + "staff.duty_remove": SETTING,
    PLANNING + "rooms.room_create": PLANNING + "rooms.room_delete",
    PLANNING + "rooms.room_place": PLACE,
    PLANNING + "rooms.room_separate": PLACE,
    PLANNING + "rooms.room_delete": PLANNING + "back.room_back",
    PLANNING + "rooms.sitting_add": PLANNING + "rooms.sitting_delete",
    PLANNING + "rooms.sitting_change": SETTING,
    PLANNING + "rooms.sitting_length": PLANNING + "rooms.sitting_length",
    PLANNING + "rooms.sitting_delete": PLANNING + "back.sitting_back",
    PLANNING + "roster.roster_import": LIST,
    PLANNING + "roster.candidate_save": LIST,
    PLANNING + "roster.candidate_delete": LIST,
    PLANNING + "draw.draw_seal": PLANNING + "draw.draw_unseal",
    PLANNING + "draw.draw_make": PLANNING + "exams.exam_move",
    **{PLANNING + f"changes.{act}": PLANNING + "changes.change_undo"
       for act in ("late_candidate", "bench_broken", "bench_opened", "candidate_moved", "seats_swapped", "batch_spoilt")},
    STOCK + "services.tick": STOCK + "services.tick",
    STOCK + "services.shelf_add": STOCK + "services.shelf_remove",
    STOCK + "services.shelf_change": BOTTLE,
    STOCK + "services.shelf_use": BOTTLE,
    STOCK + "services.shelf_remove": STOCK + "gone.bring_back",
    STOCK + "signing.sign_off": PLANNING + "exams.exam_move",
    TRIALS + "trial_see": TRIALS + "trial_see",
    TRIALS + "amend": TRIALS + "amend_undo",
    TRIALS + "set_aside": TRIALS + "use_again",
    TRIALS + "use_again": TRIALS + "set_aside",
    TUBES + "tube_fill": TUBES + "tube_empty",
    TUBES + "tubes_fill_rest": TUBES + "tubes_fill_undo",
    DAY + "note": DAY + "undo",
    DAY + "rest_present": DAY + "rest_present_undo",
}
A_WAY_BACK = "It takes something back, which can be done anew."
STANDS = {
    PLANNING + "exams.exam_delete": "A deleted draft's names and needs are kept nowhere, as the page says before.",
    PLANNING + "draw.draw_unseal": "A seal that was broken is worth nothing: the exam is sealed anew.",
    TRIALS + "trial_open": "It opens a page on which nothing is noted yet; no bottle is used before it is tried.",
    TUBES + "tube_empty": "What was poured out is gone; the tube is filled and noted anew.",
    **dict.fromkeys((SETTING, PLACE, LIST, BOTTLE, PLANNING + "back.room_back", PLANNING + "back.sitting_back",
                     PLANNING + "changes.change_undo", STOCK + "gone.bring_back", TRIALS + "amend_undo",
                     TUBES + "tubes_fill_undo", DAY + "undo", DAY + "rest_present_undo"), A_WAY_BACK),
}


def is_act(node):
    """Whether a function is public and one transaction, or is told who acts; `record` only writes the entry."""
    if not isinstance(node, ast.FunctionDef) or node.name.startswith("_") or node.name == "record":
        return False
    decorators = {ast.unparse(decorator) for decorator in node.decorator_list}
    keywords = {argument.arg for argument in node.args.kwonlyargs}
    return "transaction.atomic" in decorators or "who" in keywords


def acts():
    """Every act of these parts by its dotted name."""
    for module, source in modules():
        if module.startswith(PARTS):
            yield from (f"{module}.{node.name}" for node in ast.parse(source).body if is_act(node))


def found(name):
    module, _dot, function = name.rpartition(".")
    return getattr(importlib.import_module(module), function)


def test_every_act_names_what_takes_it_back_or_why_nothing_does():
    assert set(acts()) == TAKEN_BACK_BY.keys() | STANDS.keys()
    assert not TAKEN_BACK_BY.keys() & STANDS.keys()


@pytest.mark.parametrize("name", sorted({*TAKEN_BACK_BY.values(), *(s for s in STANDS if STANDS[s] == A_WAY_BACK)}))
def test_what_takes_back_asks_for_a_reason_and_for_who(name):
    asked = inspect.signature(found(name)).parameters

    assert {"reason", "why"} & asked.keys() and "who" in asked
    assert "reasoned(" in inspect.getsource(found(name)) or "_change(" in inspect.getsource(found(name))


@pytest.mark.parametrize("name", sorted(TAKEN_BACK_BY.keys() | STANDS.keys()))
def test_every_act_writes_to_the_trail(name):
    module = inspect.getsource(inspect.getmodule(found(name)))
    source = inspect.getsource(found(name))

    writes = ("audit.record(", "_record(", "record(exam=", "_change(", "_seal(", "_keep(", "exam_move(")
    assert "import audit" in module or "list_acts" in module
    assert any(call in source for call in writes)
