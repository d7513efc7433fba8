"""The draw: sealed first, made second, undone only with a reason (`exam_move` back to draft)."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.knowledge import knowledge
from examkit.models import ExpectedRecord, Sample, State
from examkit.planning.allocation import RULES, VERSION, draw, try_out
from examkit.planning.codes import sample_codes
from examkit.planning.commitment import commit, digests, new_secret, seed_for
from examkit.planning.plan import Plan
from examkit.planning.selectors.draw import plan_of
from examkit.planning.selectors.expected import expected_json
from examkit.planning.selectors.pool import uncovered
from examkit.planning.services.guard import locked, open_draft, reasoned, touch
from examkit.planning.solver import solver_version


def draw_seal(*, exam, who):
    """Freeze roster, rooms, pool and rules, and fix a seed that nobody has seen; the commitment may be
    printed."""
    exam.refresh_from_db()
    strange = uncovered(exam)
    if strange:
        raise Refused(_("The scheme does not cover these salts of the pool: %(salts)s. Choose others.") % {
            "salts": ", ".join(strange)})
    plan = plan_of(exam)
    try_out(plan)  # refused here, with the way out, if no draw is possible
    return _seal(exam=exam, who=who, parts=digests(plan))


@transaction.atomic
def _seal(*, exam, who, parts):
    exam = open_draft(exam)
    plan = plan_of(exam)
    if digests(plan) != parts:
        raise Refused(_("Somebody changed the exam while it was being sealed. Look at it and seal again."))
    seed, nonce = new_secret(), new_secret()
    kept = {"version": VERSION, "rules": list(RULES), "digests": parts, "plan": plan.as_json()}
    touch(exam, seed=seed, nonce=nonce, commitment=commit(parts, seed, nonce), draw=kept)
    audit.record(centre=exam.centre, who=who, what="draw sealed", about=exam.name,
                 detail={"commitment": exam.commitment, **parts})
    return exam


@transaction.atomic
def draw_unseal(*, exam, who, reason):
    """Break the seal of a draw that has not been made: roster and pool can be changed again."""
    exam, reason = locked(exam), reasoned(reason)
    if exam.state != State.DRAFT or not exam.commitment:
        raise Refused(_("There is no seal to break: the draw is not sealed, or it is made already."))
    broken = exam.commitment
    touch(exam, seed="", nonce="", commitment="", draw={})
    audit.record(centre=exam.centre, who=who, what="seal broken", about=exam.name,
                 detail={"commitment": broken, "reason": reason})
    return exam


def draw_make(*, exam, who, public=""):
    """Make the draw that was sealed; `public` is what was thrown or said before witnesses, if anything.

    It is computed before the transaction, which only stores it: a large exam takes seconds.
    """
    exam.refresh_from_db()
    plan = _sealed_plan(exam)
    drawn = draw(plan, seed_for(exam.seed, public))
    return _keep(exam=exam, who=who, public=public.strip(), plan=plan, drawn=drawn)


@transaction.atomic
def _keep(*, exam, who, public, plan, drawn):
    sealed, exam = exam.commitment, locked(exam)
    _sealed_plan(exam)
    if exam.commitment != sealed:
        raise Refused(_("Somebody sealed the draw anew meanwhile. Look at it and draw again."))
    codes = sample_codes([seat.number for seat in drawn.seats], seed_for(exam.seed, public))
    _store_samples(exam, drawn, codes)
    edition = _freeze_expected(exam, plan)
    kept = exam.draw | _told(drawn) | {"public": public, "solver": solver_version()}
    touch(exam, state=State.DRAWN, draw=kept, edition=edition)
    audit.record(centre=exam.centre, who=who, what="draw made", about=exam.name, detail={
        "commitment": exam.commitment, "public": public, "edition": edition, "samples": len(drawn.seats)})
    return exam


def _sealed_plan(exam):
    """The plan that was sealed, if roster, rooms and pool are still the same."""
    if exam.state != State.DRAFT:
        raise Refused(_("The draw is made already. Undo it first, with a reason."))
    if not exam.commitment:
        raise Refused(_("Seal the draw first: the commitment must exist before anybody can know the draw."))
    plan = Plan.from_json(exam.draw["plan"])
    now = digests(plan_of(exam))
    changed = [part for part, digest in exam.draw["digests"].items() if now[part] != digest]
    if changed:
        raise Refused(_("Changed since the seal: %(parts)s. Break the seal with a reason and seal again.") % {
            "parts": ", ".join(changed)})
    return plan


def _store_samples(exam, drawn, codes):
    candidates = {candidate.number: candidate for candidate in exam.candidates.all()}
    sittings = {sitting.name: sitting for sitting in exam.sittings.select_related("room")}
    benches = {
        (name, bench.label): bench
        for name, sitting in sittings.items()
        for bench in sitting.room.benches.all()
    }
    Sample.objects.bulk_create(
        Sample(exam=exam, candidate=candidates[seat.number], sitting=sittings[seat.sitting],
               bench=benches[seat.sitting, seat.bench], salt=seat.salt, code=codes[seat.number])
        # by code, so that not even the order of rows follows candidates or benches
        for seat in sorted(drawn.seats, key=lambda seat: codes[seat.number])
    )


def _freeze_expected(exam, plan):
    kb = knowledge(exam.centre)
    ExpectedRecord.objects.bulk_create(
        ExpectedRecord(
            exam=exam, salt=choice.salt, edition=kb.edition, record=expected_json(exam, choice.salt, kb))
        for choice in plan.sorted().pool
    )
    return kb.edition


def _told(drawn):
    """What is kept of a draw besides its samples."""
    return {
        "method": drawn.method, "proven": drawn.proven, "counts": drawn.counts, "uneven": drawn.uneven,
        "uneven_in_sitting": drawn.uneven_in_sitting, "balance": drawn.balance,
        "gap": [list(one) for one in drawn.gap],
        "shared_cations": [list(pair) for pair in drawn.shared_cations],
        "not_avoided": [list(pair) for pair in drawn.not_avoided],
    }
