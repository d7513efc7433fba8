"""What the keys of a mark scheme are called on its page; one without a name here is called as in its file."""

from django.utils.translation import gettext_lazy as _

STAGES = {"preliminary": _("Preliminary"), "dry": _("Dry"), "wet": _("Wet"), "anion": _("Anion")}
SECTIONS = {"observation": _("Observation"), "inference": _("Inference"), "result_rules": _("Result")}
PARTS = {
    "event": _("what happened"), "colours": _("its colour"), "gas": _("which gas"), "smell": _("its smell"),
    "also_seen": _("what it did to a paper"), "texture": _("its texture"), "step": _("said at its step"),
}
LEVELS = {
    "colour_missing": _("the colour is left out"), "second_missing": _("the second feature is left out"),
    "gas_untold": _("the gas is not named"), "step_untold": _("the step is not named"),
    "event_untold": _("what happened is not named"),
}
KEYS = {
    ("observation", "method"): _("An observation is judged by"),
    ("observation", "extra_finding"): _("Something said to be seen that is not"),
    ("observation", "alternatives"): _("A list of alternatives"),
    ("observation", "contradiction"): _("A contradiction"),
    ("observation", "also_accepted"): _("Other published outcomes are accepted"),
    ("observation", "nothing_needed"): _("That nothing is seen must be said"),
    ("observation", "general_colour"): _("The general colour where a shade is expected"),
    ("observation", "near_colour"): _("A colour that is only near"),
    ("observation", "optional_steps"): _("Steps that need not be said"),
    ("observation", "nothing_counts_at"): _("Steps at which “no change” must be said"),
    ("observation", "colourless_counts"): _("Parts of a test where “colourless” must be said"),
    ("inference", "follows"): _("An inference is judged by the observation that is"),
    ("inference", "full_when"): _("Full marks for"),
    ("inference", "extra_ion"): _("An ion named that does not follow"),
    ("inference", "carried"): _("Error carried forward"),
    ("inference", "repeated_error"): _("The same error costs"),
    ("inference", "rules_out_when"): _("Where nothing is seen, said to be absent must be"),
    ("inference", "group_counts"): _("“Group absent” stands for all its ions"),
    ("inference", "only_absent"): _("Only absent ions named, rightly"),
    ("inference", "gas_only"): _("Only the gas named"),
    ("inference", "family_only"): _("Only the family named"),
    ("inference", "group_only"): _("Only the group named"),
    ("inference", "too_firm"): _("“Confirmed” though several ions fit"),
    ("inference", "carried_fraction"): _("Follows from a wrong observation"),
    ("result_rules", "extra_ion"): _("A second ion named"),
    ("result_rules", "right_group"): _("An ion of the right group"),
    ("result_rules", "other_charge"): _("The right element with another charge"),
    ("result_rules", "carried_fraction"): _("A wrong ion that the record supports"),
    ("result_rules", "without_record"): _("The right ion without support in the record"),
    ("result_rules", "without_confirmation"): _("The right ion without its confirmatory test"),
    (None, "rounding"): _("A share that is no whole step"),
}
VALUES = {
    "levels": _("what is left out"), "parts": _("its parts, weighed"), "cancels": _("takes the marks"),
    "ignored": _("is passed over"), "halves": _("halves the marks"), "nothing": _("earns nothing"),
    "one of several halves": _("halves the marks if one of several"), "counted": _("is counted as it stands"),
    "own": _("the candidate’s own"), "expected": _("the expected one first"),
    "any of the set": _("any ion of those that fit"), "names the ion": _("the ion itself"),
    "names the whole set": _("all ions that fit"), "always": _("always"), "once": _("once"),
    "none": _("never"), "each time": _("each time"),
    "any": _("any of the ions"), "all": _("all of the ions"),
    "nearest": _("is rounded to the nearest step"), "down": _("is rounded down"),
    True: _("yes"), False: _("no"),
}


def label(section, key):
    """What a key is called."""
    return KEYS.get((section, key)) or str(key).replace("_", " ")


def value_label(value):
    """What a value is called."""
    return VALUES.get(value) or str(value)
