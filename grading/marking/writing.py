"""How words go into a record, whichever way they come: over the version that was seen, and into the trail."""

from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import ChangedMeanwhile
from grading.marking.suggest import suggest

NUL_SHOWN = "\N{SYMBOL FOR NULL}"


def kept(text):
    """The words as typed, with one kind of line end; a NUL, which no database keeps, is made visible."""
    return text.replace("\r\n", "\n").replace("\r", "\n").replace("\0", NUL_SHOWN)


def line_words(line, observation, inference, chosen=None):
    """The fields of a line; choices from lists hold as long as the observation that they made stands."""
    said = kept(observation)
    if chosen is None:
        chosen = line.chosen if said == line.observation else []
    return {"observation": said, "inference": kept(inference), "chosen": list(chosen)}


def result_words(cation, anion):
    """The fields of a result."""
    return {"cation": kept(cation).strip(), "anion": kept(anion).strip()}


def replaced(row, new, *, version, who, where, exam):
    """Write `new` over a row that is still at `version`; True where that changed anything."""
    old = {name: getattr(row, name) for name in new}
    if old == new:
        return not row.version
    changed = type(row).objects.filter(pk=row.pk, version=version).update(**new, version=version + 1)
    if not changed:
        raise ChangedMeanwhile(
            _("Somebody saved this in the meantime. Both versions are shown; nothing is lost."), theirs=row
        )
    row.refresh_from_db()
    audit.record(centre=exam.centre, who=who, what="record entered", about=f"{where} · {exam.name}",
                 detail=changes(old, new))
    return True


def changes(old, new):
    """What a save changes, for the trail: {field: [before, after]}; so every earlier version is kept."""
    return {name: [old[name], new[name]] for name in new if old[name] != new[name]}


def suggested(record, who):
    """After a change of a record: who entered it, and what the program suggests now."""
    record.entered_by = who
    record.paper = suggest(record).as_json()
    record.save(update_fields=["entered_by", "entered_at", "paper"])
