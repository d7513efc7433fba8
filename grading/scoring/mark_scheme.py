"""A mark scheme as a record, and everything that is wrong with one, told at once."""

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from functools import cache

from examkit.chemistry.knowledge.work import STAGES
from grading.errors import GradingError

PARTS = ("event", "colours", "gas", "smell", "also_seen", "texture", "step")
WHERE = "See the head of shared/marking/common.yaml for the keys."
EXTRA_ION = ("cancels", "halves", "one of several halves", "ignored")
CHOICES = {
    ("observation", "method"): ("levels", "parts"),
    ("observation", "extra_finding"): ("cancels", "ignored"),
    ("observation", "alternatives"): ("nothing", "counted"),
    ("observation", "contradiction"): ("nothing", "counted"),
    ("observation", "also_accepted"): (True, False),
    ("observation", "nothing_needed"): (True, False),
    ("inference", "follows"): ("own", "expected"),
    ("inference", "full_when"): ("any of the set", "names the ion", "names the whole set"),
    ("inference", "extra_ion"): EXTRA_ION,
    ("inference", "carried"): ("always", "once", "none"),
    ("inference", "repeated_error"): ("each time", "once"),
    ("inference", "rules_out_when"): ("any", "all"),
    ("inference", "group_counts"): (True, False),
    ("result_rules", "extra_ion"): EXTRA_ION,
    (None, "rounding"): ("nearest", "down"),
}
SHARES = (
    ("observation", "general_colour"),
    ("observation", "near_colour"),
    ("inference", "only_absent"),
    ("inference", "gas_only"),
    ("inference", "family_only"),
    ("inference", "group_only"),
    ("inference", "too_firm"),
    ("inference", "carried_fraction"),
    ("result_rules", "other_charge"),
    ("result_rules", "carried_fraction"),
    ("result_rules", "right_group"),
    ("result_rules", "without_record"),
    ("result_rules", "without_confirmation"),
)
LEVELS = ("colour_missing", "second_missing", "gas_untold", "step_untold", "event_untold")
DEFAULTS = {  # keys that a mark scheme may leave out, and what that means
    "observation": {
        "method": "parts",
        "levels": dict.fromkeys(LEVELS, "0.5"),
        "near_colour": "0",
        "colourless_counts": [],
        "alternatives": "counted",
        "contradiction": "counted",
        "also_accepted": True,
        "nothing_needed": True,
    },
    "inference": {
        "follows": "expected",
        "carried": "always",
        "repeated_error": "each time",
        "gas_only": "0",
        "family_only": "1",
        "group_only": "1",
    },
    "result_rules": {"right_group": "0", "without_confirmation": "1"},
}
OPTIONAL = {"caps": {}, "safety": 0}
LISTS = (
    ("observation", "any_facet"),
    ("observation", "optional_steps"),
    ("observation", "nothing_counts_at"),
    ("observation", "colourless_counts"),
)
MAPPINGS = (("observation", "enough"), ("observation", "optional_facets"))
SECTIONS = ("lines", "result", "partial", "observation", "inference", "result_rules")


@cache
def _exact(text):
    """A share as it stands in a file, exactly."""
    return Fraction(text)


class MarkSchemeError(GradingError):
    """A mark scheme that cannot be used; all its faults are listed."""

    def __init__(self, key, problems):
        self.problems = tuple(problems)
        super().__init__(f"mark scheme '{key}': " + " ".join(self.problems))


@dataclass(frozen=True)
class MarkScheme:
    """Marks, weights and shares; `steps` counts smallest steps of `step_marks` marks each."""

    key: str
    title: str
    step_marks: Decimal
    lines: dict = field(hash=False)
    result: dict = field(hash=False)
    partial: dict = field(hash=False)
    observation: dict = field(hash=False)
    inference: dict = field(hash=False)
    result_rules: dict = field(hash=False)
    rounding: str = "nearest"
    caps: dict = field(default_factory=dict, hash=False)  # stage -> most steps
    safety: int = 0  # steps for safe working, which only a person can give

    def steps_of(self, test, stage):
        """(steps for the observation, steps for the inference) of a line."""
        line = self.lines["tests"].get(test) or self.lines["stages"][stage]
        return line["observation"], line["inference"]

    def share(self, section, key):
        """A share of the scheme as an exact fraction."""
        return _exact(str(getattr(self, section)[key]))

    def level(self, fault):
        """The share that is left of an observation with this fault."""
        return _exact(str(self.observation["levels"][fault]))

    def steps(self, share, out_of):
        """Whole steps for a share of `out_of` steps, rounded as the scheme says."""
        exact = Fraction(share) * out_of
        return int(exact + Fraction(1, 2)) if self.rounding == "nearest" else int(exact)

    def marks(self, steps):
        """Steps as marks."""
        return self.step_marks * steps


def mark_scheme(kb, key):
    """The mark scheme of this name.

    Raises GradingError where there is none, MarkSchemeError with all faults where it cannot be used.
    """
    if key not in kb.mark_schemes:
        raise GradingError(f"No mark scheme is called '{key}'. There are: {', '.join(kb.mark_schemes)}.")
    return from_data(kb.mark_schemes[key], kb)


def from_data(data, kb=None):
    """A mark scheme from the content of its file."""
    data = completed(data)
    found = list(problems(data, kb))
    key = data.get("mark_scheme", "?") if isinstance(data, dict) else "?"
    if found:
        raise MarkSchemeError(key, found)
    return MarkScheme(
        key=key,
        title=data["title"],
        step_marks=Decimal(data["step_marks"]),
        lines={"stages": data["lines"]["stages"], "tests": data["lines"].get("tests") or {}},
        **{name: data[name] for name in SECTIONS if name != "lines"},
        rounding=data["rounding"],
        caps=data["caps"],
        safety=data["safety"],
    )


def completed(data):
    """The content of a file with the keys that it leaves out; anything but a mapping as it is."""
    if not isinstance(data, dict):
        return data
    filled = OPTIONAL | data
    for section, defaults in DEFAULTS.items():
        if isinstance(data.get(section), dict) and data[section]:
            filled[section] = defaults | data[section]
    return filled


def problems(data, kb=None):
    """Everything that is wrong with the content of a mark scheme's file, each a sentence."""
    data = completed(data)
    if not isinstance(data, dict):
        yield f"it must be a mapping of keys. {WHERE}"
        return
    missing = [name for name in ("mark_scheme", "title", "step_marks", *SECTIONS) if not data.get(name)]
    yield from (f"'{name}' is missing or empty. {WHERE}" for name in missing)
    if not _number(data.get("step_marks"), most=None):
        yield f"'step_marks' must be a number of marks as text, like \"0.5\", not {data.get('step_marks')!r}."
    unshaped = [name for name in SECTIONS if name in data and not isinstance(data[name], dict)]
    yield from (f"'{name}' must be a mapping of keys. {WHERE}" for name in unshaped)
    if missing or unshaped:
        return
    for check in (_lines, _result, _partial, _choices, _shares, _levels, _collections, _whole_record):
        yield from check(data)
    if kb is not None:
        yield from _names(data, kb)


def _lines(data):
    stages = data["lines"].get("stages") or {}
    yield from (f"lines.stages lacks '{stage}'." for stage in STAGES if stage not in stages)
    for place in ("stages", "tests"):
        for name, steps in (data["lines"].get(place) or {}).items():
            if not isinstance(steps, dict) or set(steps) != {"observation", "inference"}:
                yield f"lines.{place}.{name} must have 'observation' and 'inference'."
            elif not all(_whole(count) for count in steps.values()):
                yield f"lines.{place}.{name}: steps are whole numbers, 0 or more."


def _result(data):
    for part in ("cation", "anion"):
        if not _whole(data["result"].get(part)):
            yield f"result.{part} must be a whole number of steps, 0 or more."


def _partial(data):
    weights = data["partial"]
    yield from (
        f"partial.{name} is not a part of an observation: {', '.join(PARTS)}."
        for name in weights
        if name not in PARTS
    )
    yield from (
        f"partial.{name} must be a whole weight, 0 or more."
        for name in PARTS
        if not _whole(weights.get(name))
    )
    if not weights.get("event"):
        yield "partial.event must be more than 0: an observation is first of all what happened."


def _choices(data):
    for (section, key), allowed in CHOICES.items():
        value = (data[section] if section else data).get(key)
        if value not in allowed or isinstance(value, int) != isinstance(allowed[0], int):
            place = f"{section}.{key}" if section else key
            yield f"{place} must be one of {', '.join(map(str, allowed))}, not {value!r}."


def _shares(data):
    for section, key in SHARES:
        if not _number(data[section].get(key), most=1):
            yield f'{section}.{key} must be a share from "0" to "1" as text, not {data[section].get(key)!r}.'


def _levels(data):
    levels = data["observation"].get("levels")
    if not isinstance(levels, dict):
        yield "observation.levels must be a mapping from fault to share."
        return
    yield from (
        f"observation.levels.{name} is not known: {', '.join(LEVELS)}."
        for name in levels
        if name not in LEVELS
    )
    yield from (
        f'observation.levels.{name} must be a share from "0" to "1" as text, not {levels.get(name)!r}.'
        for name in LEVELS
        if not _number(levels.get(name), most=1)
    )


def _whole_record(data):
    """Caps and marks for safe working."""
    if not _whole(data["safety"]):
        yield "safety must be a whole number of steps, 0 or more."
    if not isinstance(data["caps"], dict):
        yield "caps must be a mapping from stage to steps."
        return
    for stage, steps in data["caps"].items():
        if stage not in STAGES or not _whole(steps):
            yield f"caps.{stage}: a stage ({', '.join(STAGES)}) and whole steps, 0 or more."


def _collections(data):
    for section, key in LISTS:
        if not isinstance(data[section].get(key), list):
            yield f"{section}.{key} must be a list."
    for section, key in MAPPINGS:
        if not isinstance(data[section].get(key), dict):
            yield f"{section}.{key} must be a mapping from test to value."


def _names(data, kb):
    """Tests and facets that the knowledge base does not have."""
    optional = data["observation"].get("optional_facets") or {}
    named = [
        *(data["lines"].get("tests") or {}),
        *(data["observation"].get("any_facet") or ()),
        *(data["observation"].get("enough") or {}),
        *optional,
    ]
    yield from (f"no test is called '{name}'." for name in dict.fromkeys(named) if name not in kb.tests)
    for test, facets in optional.items():
        known = kb.tests[test].facets if test in kb.tests else facets
        yield from (f"the test '{test}' has no facet '{facet}'." for facet in facets if facet not in known)


def _whole(value):
    return isinstance(value, int) and not isinstance(value, bool) and value >= 0


def _number(value, most):
    try:
        number = Fraction(value) if isinstance(value, str) else None
    except (ValueError, ZeroDivisionError):
        return False
    return number is not None and (0 <= number <= most if most is not None else number > 0)
