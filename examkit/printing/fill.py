"""From the database to documents: what each printed sheet holds, and above all what it must not."""

from collections import defaultdict
from itertools import groupby

from django.utils import formats, timezone
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from examkit.chemistry import formula
from examkit.chemistry.bench import titled
from examkit.chemistry.specimen import read_specimen
from examkit.errors import Refused
from examkit.knowledge import knowledge
from examkit.printing.documents import (
    AssistantList,
    BenchPlan,
    Heading,
    KeyBottle,
    KeyLine,
    KeySalt,
    MakeLine,
    MarkingKey,
    Place,
    PlanBench,
    PlanSitting,
    RecordSheets,
    SheetLine,
    SheetStage,
    WasteLine,
    WeighLine,
)
from examkit.stockroom.selectors import stock_list
from examkit.stockroom.sums import records
from examkit.stockroom.trials.services import told
from examkit.stockroom.tubes.tolerance import tolerance


def heading(exam):
    """The head of every sheet."""
    return Heading(exam.centre.name, exam.name, exam.held_on)


def record_sheets(exam):
    """The candidates' record sheets; the salt is not even read."""
    kb = knowledge(exam.centre)
    scheme = kb.schemes[exam.scheme]
    return RecordSheets(heading(exam), scheme.title, tuple(_stages(kb, scheme)), _places(exam))


def _places(exam):
    rows = drawn(exam).select_related("candidate", "sitting", "bench").order_by(
        "sitting__starts_at", "sitting", "bench__row", "bench__column").defer("salt")
    return tuple(
        Place(row.code, row.candidate.number, row.candidate.name, row.bench.label, row.sitting.name,
              _time(row.sitting))
        for row in rows
    )


def drawn(exam):
    """The samples, or a refusal that says what is missing."""
    if not exam.samples.exists():
        raise Refused(_("This exam is not drawn yet, so there is nothing to print. A teacher draws it."))
    return exam.samples


def _time(sitting):
    if not sitting.starts_at:
        return ""
    return formats.date_format(timezone.localtime(sitting.starts_at), "j F Y, H:i")


def _stages(kb, scheme):
    """The scheme's tests in its order, under the heads of their stages, the same for every candidate."""
    tests = [(entry, kb.tests[entry.test]) for entry in scheme.stages]
    titles = {"preliminary": pgettext("tests", "Preliminary"), "dry": pgettext("tests", "Dry"),
              "wet": pgettext("tests", "Wet"), "anion": pgettext("tests", "Anion")}
    return [
        SheetStage(titles.get(stage, stage), tuple(SheetLine(titled(e, t), t.cautions) for e, t in lines))
        for stage, lines in groupby(tests, key=lambda each: each[1].stage)
    ]


def prepared(exam):
    """The stock room's list of a drawn exam."""
    drawn(exam)
    return stock_list(exam)


def assistant_list(exam):
    """The lab assistant's list: codes and salts, no candidates."""
    stock = prepared(exam)
    return AssistantList(
        heading=heading(exam), candidates=stock.seating.candidates, benches=stock.seating.places,
        tube_g=str(stock.salts[0].need.tube_g),
        salts=tuple(_weigh_line(row) for row in stock.salts),
        reagents=tuple(_make_line(row) for row in stock.reagents),
        orders=tuple(f"{order.name} {order.amount}" for order in stock.orders),
        waste=tuple(_waste_line(container) for container, _tick in stock.waste),
    )


def _waste_line(container):
    volume = str(container.volume) if container.volume else ""
    return WasteLine(container.title, container.how, container.never, volume, container.vessel)


def _weigh_line(row):
    need, allowed = row.need, tolerance(row.need.tube_g)
    return WeighLine(
        row.name, row.formula, need.tubes, need.spare_tubes, str(need.total_g), need.codes, row.hazards,
        str(allowed.low_g), str(allowed.high_g))


def _make_line(row):
    return MakeLine(
        name=row.name, total=str(row.line.need), bottle=str(row.need.bottle) if row.need else "",
        place=row.need.place if row.need else "", source=row.source,
        steps=tuple(step for _recipe, steps in row.recipes for step in steps),
        cautions=row.cautions, shelf_life=row.shelf_life, tryout=_tried_with(row.tryout),
    )


def _tried_with(tryout):
    """How a bottle is tried, in a sentence."""
    if tryout is None:
        return ""
    if tryout.check:
        return _("No salt at hand tells this one apart: check it by eye. %(check)s") % {"check": tryout.check}
    words = {"test": tryout.title, "salt": tryout.with_salt, "shows": tryout.shows, "other": tryout.without}
    if tryout.without:
        return _("Try it: %(test)s, with %(salt)s: %(shows)s; with %(other)s: nothing.") % words
    return _("Try it: %(test)s, with %(salt)s: %(shows)s.") % words


def marking_key(exam):
    """The expected record of each drawn salt, frozen at the draw, with its codes."""
    kb, codes = knowledge(exam.centre), defaultdict(list)
    for salt, code in drawn(exam).order_by("code").values_list("salt", "code"):
        codes[salt].append(code)
    pairs = zip(sorted(codes), records(exam), strict=True)
    bottles = _amended_bottles(exam, kb)
    salts = tuple(_key_salt(kb, salt, record, codes[salt], bottles[salt]) for salt, record in pairs)
    return MarkingKey(heading(exam), kb.schemes[exam.scheme].title, exam.edition or kb.edition, salts)


def _amended_bottles(exam, kb):
    """By salt, the bottles for which something else is accepted, with the codes filled from them."""
    found = defaultdict(list)
    for trial in exam.trials.exclude(record=None).prefetch_related("amendments", "tubes__sample"):
        codes = tuple(sorted(tube.label for tube in trial.tubes.all() if tube.sample_id))
        accepted = tuple((kb.tests[each.test].title, told(kb, each.test, each.facet, each.seen), each.why)
                         for each in trial.amendments.all() if not each.undone_why)
        found[trial.salt].append(KeyBottle(trial.named, codes, accepted))
    return found


def _key_salt(kb, salt, record, codes, bottles):
    parts = [part.salt for part in read_specimen(kb, salt).parts]
    return KeySalt(
        name=" + ".join(s.name for s in parts), formula=" + ".join(formula.pretty(s.formula) for s in parts),
        cations=_ions(record["cations"]), anions=_ions(record["anions"]), codes=tuple(codes),
        lines=tuple(_key_line(kb, line) for line in record["lines"]), bottles=tuple(bottles),
    )


def _ions(formulas):
    return ", ".join(formula.pretty(text) for text in formulas)


def _key_line(kb, line):
    accepted = tuple(dict.fromkeys(other["text"] for other in line["also_accepted"] if other["text"]))
    return KeyLine(
        title=line.get("title") or kb.tests[line["test"]].title, done=line["done"], text=line["text"],
        accepted=accepted, inference=_inference(line), equations=tuple(line["equations"]),
        marginal=line["margin"] == "marginal",
    )


def _inference(line):
    """What the line points to and what it rules out."""
    parts = [_("%(ions)s may be present") % {"ions": _ions(line["points_to"])}] if line["points_to"] else []
    if line["rules_out"]:
        parts.append(_("%(ions)s absent") % {"ions": _ions(line["rules_out"])})
    return "; ".join(parts)


def bench_plan_for_invigilator(exam):
    """Codes and candidates at their benches; no salts."""
    return BenchPlan(
        heading(exam), _("for the invigilator"),
        _("Check each candidate's number against the list before the start. This plan has no salts."),
        _sittings(exam, lambda s: (s.code, f"{s.candidate.number} {s.candidate.name}", *_help(s.candidate))))


def _help(candidate):
    """What the invigilator must know of a candidate."""
    if candidate.extra_time_percent:
        yield _("%(percent)s %% extra time") % {"percent": candidate.extra_time_percent}
    if candidate.rest_breaks:
        yield _("rest breaks")
    if candidate.needs_colour_help:
        yield _("colours may be named; note each")
    if candidate.left_handed:
        yield _("left-handed")


def bench_plan_for_assistant(exam):
    """Codes and salts at their benches; no candidates."""
    return BenchPlan(
        heading(exam), _("for the lab assistant"),
        _("Keep it locked away: it says which code holds which salt. It has no candidates."),
        _sittings(exam, lambda s: (s.code, _set_formula(s.salt))))


def _set_formula(salt):
    return " + ".join(formula.pretty(part) for part in salt.split(" + "))


def _sittings(exam, lines):
    samples = defaultdict(dict)
    for sample in drawn(exam).select_related("candidate", "sitting__room", "bench"):
        samples[sample.sitting][sample.bench_id] = sample
    return tuple(_plan(sitting, samples[sitting], lines) for sitting in sorted(samples, key=_in_time))


def _in_time(sitting):
    return (sitting.starts_at is None, sitting.starts_at or 0, sitting.pk)


def _plan(sitting, samples, lines):
    places = {(row, column): PlanBench("", what=what) for row, column, what in sitting.room.fixtures}
    places |= {(b.row, b.column): _plan_bench(b, samples, lines) for b in sitting.room.benches.all()}
    columns = range(min(c for _r, c in places), max(c for _r, c in places) + 1)
    rows = tuple(
        tuple(places.get((row, column)) for column in columns) for row in sorted({r for r, _c in places}))
    return PlanSitting(sitting.name, sitting.room.name, _time(sitting), rows)


def _plan_bench(bench, samples, lines):
    sample = samples.get(bench.pk)
    words = tuple(lines(sample)) if sample else () if not bench.open else ("–",)
    return PlanBench(bench.label, words, not bench.open, bench.left_handed)
