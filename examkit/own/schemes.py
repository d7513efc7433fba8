"""Schemes as plain data: from a record, into rows that a form edits, and back. Pure."""

from examkit.chemistry.knowledge.operations import plain, told

STRENGTHS = ("original_g_mL", "extract_g_mL", "tube_mL")
STEP = 10  # places are numbered 10, 20, 30, so that a test can be put between two others


def scheme_data(scheme):
    """A scheme's record as the data of its file, without its sources."""
    return {
        "scheme": scheme.key, "title": scheme.title, "specimen": scheme.specimen,
        "grams": scheme.grams, "sample_g": scheme.sample_g,
        "syllabus": {"cations": list(scheme.cations), "anions": list(scheme.anions)},
        "tests": [_stage(stage) for stage in scheme.stages],
        "groups": {name: dict(group) for name, group in scheme.groups.items()},
        "stops_at_first_group": scheme.stops_at_first_group,
        "solutions": {
            "original_g_mL": scheme.original_g_mL, "extract_g_mL": scheme.extract_g_mL,
            "tube_mL": scheme.tube_mL, "driven_off": list(scheme.driven_off),
            "extract_loses": list(scheme.extract_loses),
        },
    }


def _stage(stage):
    names = ("test", "group", "takes", "precipitate", "solution", "each", "always")
    kept = {name: getattr(stage, name) for name in names}
    before = {"becomes": dict(stage.becomes), "removes": list(stage.removes), "by": stage.by,
              "operations": [told(operation) for operation in stage.first]}
    own = {"operations": plain(stage.operations)} if stage.operations else {}
    return kept | {"before": [before] if any(before.values()) else []} | own


def sequences(stage, test):
    """{way or "": [operation as data]} of a stage as data: its own, or those of its test."""
    own = stage.get("operations") or plain(test.operations)
    return own if isinstance(own, dict) else {"": own}


def with_sequences(stage, edited, test):
    """The stage with edited operations; without any where they are those of its test."""
    kept = {name: value for name, value in stage.items() if name != "operations"}
    same = edited == sequences({}, test)
    return kept if same else kept | {"operations": edited[""] if set(edited) == {""} else edited}


def ordered(rows):
    """The stages of rows (place, chosen, stage): those that are chosen, by place.

    >>> ordered([(20, True, "flame"), (10, True, "bead"), (15, False, "smell")])
    ['bead', 'flame']
    """
    chosen = [(place, stage) for place, chosen, stage in rows if chosen]
    return [stage for _place, stage in sorted(chosen, key=lambda row: row[0])]


def edited(old, head, rows, groups):
    """The data of an edited scheme.

    `head` are the single values; `rows` as `ordered` takes them; `groups` are (old name, new name, cations,
    reagent), one without a new name goes.
    """
    names = {was: now for was, now, _cations, _reagent in groups if was}
    stages = [stage | {"group": names.get(stage["group"], stage["group"])} for stage in ordered(rows)]
    syllabus = {"cations": head["cations"], "anions": head["anions"]}
    return old | {
        "title": head["title"], "grams": head["grams"], "sample_g": head["sample_g"], "syllabus": syllabus,
        "stops_at_first_group": head["stops_at_first_group"], "tests": stages,
        "groups": dict(_groups(groups, syllabus["cations"], {stage["group"] for stage in stages})),
        "solutions": old["solutions"] | {name: head[name] for name in STRENGTHS},
    }


def _groups(groups, syllabus, answered):
    """Groups by their new names, with the cations still in the syllabus; an empty, unanswered one goes."""
    for _was, name, cations, reagent in groups:
        kept = [ion for ion in cations if ion in syllabus]
        if name and (kept or name in answered):
            yield name, {"cations": kept, "reagent": reagent}
