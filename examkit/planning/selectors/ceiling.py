"""The hazard ceiling of an exam's pool: the worst hazard code that a salt of it may have, by class."""

from examkit.knowledge import knowledge
from examkit.planning.selectors.draw import rules_of
from examkit.planning.suggest import over_ceiling


def ceiling_of(exam):
    """The worst hazard code that the exam's pool may have, by class; as for school age unless it is set."""
    usual = {key: row["school"] or "" for key, row in knowledge(exam.centre).hazard_classes.items()}
    return usual | (rules_of(exam).ceiling or {})


def above_ceiling(exam, formulas):
    """The salts of these that lie above the ceiling of the exam, each with (name of the class, code)."""
    kb, ceiling = knowledge(exam.centre), ceiling_of(exam)
    classes = {key: row["codes"] for key, row in kb.hazard_classes.items()}
    found = {one: over_ceiling(kb.salts[one].hazards.statements, classes, ceiling)
             for one in formulas if one in kb.salts}
    return {one: tuple((kb.hazard_classes[key]["name"], code) for key, code in over)
            for one, over in found.items() if over}
