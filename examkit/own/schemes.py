"""Schemes as plain data: from a record, into rows that a form edits, and back. Pure."""

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
        "conditions": {
            "original_g_mL": scheme.original_g_mL, "extract_g_mL": scheme.extract_g_mL,
            "driven_off": list(scheme.driven_off), "tests": _conditions(scheme),
        },
    }


def _stage(stage):
    names = ("test", "group", "takes", "precipitate", "solution", "each")
    kept = {name: getattr(stage, name) for name in names}
    before = {"becomes": dict(stage.becomes), "removes": list(stage.removes), "by": stage.by}
    return kept | {"before": [before] if any(before.values()) else []}


def _conditions(scheme):
    found = {}
    for each in scheme.conditions:
        key = each.test if each.facet == "tube" else f"{each.test}.{each.facet}"
        found.setdefault(key, []).append({
            "step": each.step, "portion_mL": each.portion_mL, "volume_mL": each.volume_mL,
            "adds": [_addition(use) for use in each.adds], "then": [_addition(use) for use in each.then],
            "until": {"reagent": each.until, "pH": each.until_pH} if each.until else None,
            "saturated": dict(each.saturated), "remark": each.remark,
        })
    return found


def _addition(use):
    return {"reagent": use.reagent, "volume_mL": use.volume_mL, "mass_g": use.mass_g}


def ordered(rows):
    """The stages of rows (place, chosen, stage): those that are chosen, by place.

    >>> ordered([(20, True, "flame"), (10, True, "bead"), (15, False, "smell")])
    ['bead', 'flame']
    """
    chosen = [(place, stage) for place, chosen, stage in rows if chosen]
    return [stage for _place, stage in sorted(chosen, key=lambda row: row[0])]


def edited(old, head, rows, groups, conditions):
    """The data of an edited scheme.

    `head` are the single values; `rows` as `ordered` takes them; `groups` are (old name, new name, cations,
    reagent), one without a new name goes; `conditions` as in the file, for the tests that stay.
    """
    names = {was: now for was, now, _cations, _reagent in groups if was}
    stages = [stage | {"group": names.get(stage["group"], stage["group"])} for stage in ordered(rows)]
    syllabus = {"cations": head["cations"], "anions": head["anions"]}
    there = {stage["test"] for stage in stages}
    return old | {
        "title": head["title"], "grams": head["grams"], "sample_g": head["sample_g"], "syllabus": syllabus,
        "stops_at_first_group": head["stops_at_first_group"], "tests": stages,
        "groups": dict(_groups(groups, syllabus["cations"], {stage["group"] for stage in stages})),
        "conditions": old["conditions"] | {
            "original_g_mL": head["original_g_mL"], "extract_g_mL": head["extract_g_mL"],
            "tests": {key: steps for key, steps in conditions.items() if key.partition(".")[0] in there},
        },
    }


def _groups(groups, syllabus, answered):
    """Groups by their new names, with the cations still in the syllabus; an empty, unanswered one goes."""
    for _was, name, cations, reagent in groups:
        kept = [ion for ion in cations if ion in syllabus]
        if name and (kept or name in answered):
            yield name, {"cations": kept, "reagent": reagent}
