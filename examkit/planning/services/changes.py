"""Changes after the draw: each is drawn alone, with a reason, and can be taken back in turn."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.models import Candidate, Sample, State, Tube
from examkit.planning import changes
from examkit.planning.commitment import change_seed, seed_for
from examkit.planning.grid import sharing_sinks
from examkit.planning.plan import Seat
from examkit.planning.selectors.draw import drawn_now, entrant_of, rules_of
from examkit.planning.services.guard import locked, reasoned, touch

OPEN_IN = (State.DRAWN, State.PREPARED)


@transaction.atomic
def late_candidate(*, exam, who, reason, **fields):
    """Add a candidate to a drawn exam and draw a bench and a salt for them alone."""
    exam = _open(exam)
    if exam.candidates.filter(number=fields["number"]).exists():
        raise Refused(_("Candidate number %(number)s is taken already.") % {"number": fields["number"]})
    candidate = Candidate.objects.create(exam=exam, **fields)
    one = entrant_of(candidate)
    row = [one.number, one.sitting, one.bench, list(one.avoid), list(one.never), one.group, one.separate,
           one.left]
    about = {"kind": changes.LATE, "entrant": row}
    return _change(exam, who, reason, about, f"{exam}: {candidate.number}")


@transaction.atomic
def bench_broken(*, exam, who, reason, sitting, bench):
    """Take a bench out of a sitting of a drawn exam; its candidate alone moves."""
    about = {"kind": changes.BENCH, "sitting": sitting.name, "bench": bench.label}
    return _change(_open(exam), who, reason, about, f"{exam}: {sitting.name} {bench.label}")


@transaction.atomic
def candidate_moved(*, exam, who, reason, candidate, sitting=None):
    """Move one candidate to a free bench of another sitting: the one given, or the emptiest that suits."""
    about = {"kind": changes.MOVE, "number": candidate.number, "sitting": sitting.name if sitting else ""}
    return _change(_open(exam), who, reason, about, f"{exam}: {candidate.number}")


@transaction.atomic
def bench_opened(*, exam, who, reason, sitting, bench):
    """Bring a bench of the room that the plan does not have into use in one sitting; nobody moves."""
    exam = _open(exam)
    hall = next(one for one in drawn_now(exam).plan.halls if one.name == sitting.name)
    labels = {one.label for one in hall.benches}
    if bench.label in labels:
        raise Refused(_("Bench %(bench)s is in use in this sitting already.") % {"bench": bench.label})
    benches = [one for one in sitting.room.benches.all() if one.label in {*labels, bench.label}]
    links = sharing_sinks(benches, sitting.room.fixtures) if rules_of(exam).sinks else ()
    about = {"kind": changes.OPENED, "sitting": sitting.name, "bench": bench.label,
             "at": [bench.row, bench.column], "left": bench.left_handed,
             "links": [list(one) for one in links]}
    return _change(exam, who, reason, about, f"{exam}: {sitting.name} {bench.label}")


@transaction.atomic
def seats_swapped(*, exam, who, reason, one, other):
    """Two candidates sat at each other's bench: each has the sample that stood there."""
    if one == other:
        raise Refused(_("Choose two candidates."))
    about = {"kind": changes.SWAP, "numbers": [one.number, other.number]}
    return _change(_open(exam), who, reason, about, f"{exam}: {one.number}, {other.number}")


@transaction.atomic
def batch_spoilt(*, exam, who, reason, salt, sitting=None):
    """A batch of a salt is spoilt: whoever has it (in one sitting, or in all) gets another salt and code."""
    about = {"kind": changes.SPOILT, "salt": salt, "sitting": sitting.name if sitting else ""}
    return _change(_open(exam), who, reason, about, str(exam))


@transaction.atomic
def change_undo(*, exam, who, reason):
    """Take the last change back: the samples that it touched are as before."""
    exam, reason = _open(exam), reasoned(reason)
    kept = list(exam.draw.get("changes", ()))
    if not kept:
        raise Refused(_("There is no change after the draw to take back."))
    last = kept.pop()
    _refuse_entered(exam, [number for number, *_rest in (*last["before"], *last["after"])])
    before = {number: (Seat(number, *seat), code) for number, *seat, code in last["before"]}
    gone = [number for number, *_rest in last["after"] if number not in before]
    exam.candidates.filter(number__in=gone).delete()
    _store(exam, {number: seat for number, (seat, _code) in before.items()},
           {number: code for number, (_seat, code) in before.items()})
    touch(exam, draw=exam.draw | {"changes": kept})
    audit.record(centre=exam.centre, who=who, what=f"{last['about']['kind']} taken back", about=exam.name,
                 detail={"reason": reason})
    return exam


def _open(exam):
    exam = locked(exam)
    if exam.state not in OPEN_IN:
        raise Refused(_("Single seats are drawn anew between the draw and the exam; '%(exam)s' is "
                        "%(state)s.") % {"exam": exam, "state": exam.get_state_display()})
    return exam


def _change(exam, who, reason, about, name):
    reason, before = reasoned(reason), drawn_now(exam)
    kept = list(exam.draw.get("changes", ()))
    seed = change_seed(seed_for(exam.seed, exam.draw["public"]), len(kept), about)
    after = changes.changed(before, about, seed)
    numbers = [number for number, seat in after.seats.items() if seat != before.seats.get(number)]
    _refuse_entered(exam, numbers)
    if about["kind"] != changes.SWAP:
        _refuse_closed(exam, [after.seats[n] for n in numbers if _place(after, n) != _place(before, n)])
    _store(exam, {n: after.seats[n] for n in numbers}, {n: after.codes[n] for n in numbers})
    kept.append({"about": about, "reason": reason, "who": str(who), "before": _rows(before, numbers),
                 "after": _rows(after, numbers)})
    touch(exam, draw=exam.draw | {"changes": kept})
    audit.record(centre=exam.centre, who=who, what=about["kind"], about=name, detail={
        "reason": reason, "candidates": numbers, "seats": [[n, after.seats[n].sitting, after.seats[n].bench]
                                                          for n in numbers]})
    return numbers


def _place(drawn, number):
    seat = drawn.seats.get(number)
    return seat and (seat.sitting, seat.bench)


def _refuse_closed(exam, seats):
    """A plan keeps its benches whatever becomes of the room: one that was closed there is not given to
    anybody."""
    rooms = {one.name: one.room for one in exam.sittings.select_related("room")}
    for seat in seats:
        if not rooms[seat.sitting].benches.filter(label=seat.bench, open=True).exists():
            raise Refused(_("Bench %(bench)s is free in the plan of sitting '%(sitting)s', but in the room "
                            "it is closed or gone. Report it first ('A broken bench'), or put it back in "
                            "the room.") % {"bench": seat.bench, "sitting": seat.sitting})


def _rows(drawn, numbers):
    return [[n, drawn.seats[n].sitting, drawn.seats[n].bench, drawn.seats[n].salt, drawn.codes[n]]
            for n in numbers if n in drawn.seats]


def _refuse_entered(exam, numbers):
    """Records hang on samples by their reverse name, so that planning need not know the marker."""
    entered = exam.samples.filter(candidate__number__in=numbers, record__isnull=False)
    if entered.exists():
        raise Refused(_("A record has been entered for candidate %(numbers)s already.") % {
            "numbers": ", ".join(entered.values_list("candidate__number", flat=True))})


def _store(exam, seats, codes):
    """The samples of these candidates as given; those that change places give them up first."""
    people = {one.number: one for one in exam.candidates.filter(number__in=seats).select_related("sample")}
    sittings = {one.name: one for one in exam.sittings.select_related("room")}
    old = {number: one.sample for number, one in people.items() if hasattr(one, "sample")}
    if _exchanged(seats, old):
        return _exchange(exam, *old.values())
    for number, seat in seats.items():
        sample = old.get(number) or Sample(exam=exam, candidate=people[number])
        if sample.pk and sample.salt != seat.salt:
            Tube.objects.filter(sample=sample).delete()  # filled with the salt that it no longer is
        sample.sitting = sittings[seat.sitting]
        sample.bench = _bench(sample.sitting.room, seat.bench)
        sample.salt, sample.code = seat.salt, codes[number]
        sample.save()
    return None


def _bench(room, label):
    bench = room.benches.filter(label=label).first()
    if bench is None:
        raise Refused(_("Bench %(bench)s is no longer in the room '%(room)s'. Put it back there first.") % {
            "bench": label, "room": room})
    return bench


def _exchanged(seats, old):
    """Whether two candidates take each other's place."""
    now = {(seat.sitting, seat.bench) for seat in seats.values()}
    before = {(sample.sitting.name, sample.bench.label) for sample in old.values()}
    return len(seats) == len(old) == 2 and now == before and any(
        (seats[n].sitting, seats[n].bench) != (old[n].sitting.name, old[n].bench.label) for n in seats)


def _exchange(exam, one, other):
    """The samples stay on their benches; their candidates change, by way of a stand-in."""
    stand_in = Candidate.objects.create(exam=exam, number="\u2014", name="\u2014")
    first, second = one.candidate_id, other.candidate_id
    Sample.objects.filter(pk=one.pk).update(candidate=stand_in)
    Sample.objects.filter(pk=other.pk).update(candidate=first)
    Sample.objects.filter(pk=one.pk).update(candidate=second)
    stand_in.delete()
