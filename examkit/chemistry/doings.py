"""An operation in words, as a line of a numbered list: "add 3 drops of hydrochloric acid, dilute"."""

from examkit.chemistry.tube import START

PLAIN = {
    "shake": "shake",
    "rub": "rub the inside of the tube with a glass rod",
    "warm": "warm",
    "boil": "boil",
    "cool": "let cool",
    "stand": "let stand",
    "heat": "heat",
    "evaporate": "evaporate",
}


def in_words(kb, test, operation, facet="", tube="what the step before has left"):
    """One operation as a phrase, its note in brackets; `tube` says what the stage takes."""
    if (operation.do, operation.what) == ("take", "tube"):
        phrase = f"take {tube}"
    else:
        phrase = SAYS.get(operation.do, _plain)(kb, test, operation, facet)
    return f"{phrase} ({operation.note})" if operation.note else phrase


def tube_in_words(kb, scheme, stage):
    """What a stage takes, in words: a part of the original solution, what went on, or a fraction by name."""
    if stage.takes != START:
        return f"the {stage.takes}"
    groups = [each for each in scheme.stages if kb.tests[each.test].portion == "tube"]
    if stage is groups[0]:
        return f"{scheme.tube_mL:g} mL of the original solution"
    return "what the step before has left"


def amount(operation):
    """How much, in words: "3 drops", "0.5 mL", "0.1 g", "1 strip"; empty where nothing is measured."""
    if operation.drops:
        return f"{operation.drops} drop{'s' if operation.drops > 1 else ''}"
    if operation.strips:
        return f"{operation.strips} strip{'s' if operation.strips > 1 else ''}"
    return f"{operation.mL:g} mL" if operation.mL else f"{operation.g:g} g" if operation.g else ""


def _of(kb, operation):
    name = kb.reagents[operation.what].name
    name = name[0].lower() + name[1:] if name[1:2].islower() else name
    return f"{amount(operation)} of {name}" if amount(operation) else name


def _take(_kb, _test, operation, _facet):
    if operation.what == "residue":
        return "take the washed residue"
    what = {"solid": "the solid", "part": "the liquid"}.get(operation.what, f"the {operation.what}")
    return f"take {amount(operation)} of {what}" if amount(operation) else f"take {what}"


def _add(kb, _test, operation, _facet):
    if operation.until_pH is not None:
        return f"add about {_of(kb, operation)}, drop by drop until pH {operation.until_pH:g}"
    instead = f", instead of {kb.reagents[operation.instead_of].name}" if operation.instead_of else ""
    return f"add {_of(kb, operation)}{instead}"


def _test(kb, _test, operation, _facet):
    return f"test with {_of(kb, operation)}"


def _pass(kb, _test, operation, _facet):
    time = f" for {operation.minutes:g} min" if operation.minutes else ""
    return f"pass {kb.reagents[operation.what].name.lower()}{time}"


def _dilute(_kb, _test, operation, _facet):
    if operation.volume_mL:
        return f"add {amount(operation)} of water"
    return f"dilute to {operation.to_mL:g} mL"


def _centrifuge(_kb, _test, operation, _facet):
    return "centrifuge and keep the solid" if operation.what == "solid" else "centrifuge"


def _wash(kb, _test, operation, _facet):
    with_ = f" with water and {_of(kb, operation)}" if operation.what else ""
    return f"wash{with_}" + (f", {operation.times} times" if operation.times > 1 else "")


def _look(_kb, test, operation, facet):
    place = test.facets[operation.facet or facet or "tube"].title
    return f"look: {place}" + (f", {operation.step}" if operation.step not in ("", "reagent") else "")


def _plain(kb, _test, operation, _facet):
    told = PLAIN[operation.do]
    gone = [_substance(kb, each) for each in operation.drives_off]
    told += f" until {' and '.join(gone)} is driven off" if operation.do == "boil" and gone else ""
    told += f" to {operation.to_mL:g} mL" if operation.do == "evaporate" and operation.to_mL else ""
    told += f" at about {operation.celsius:g} °C" if operation.celsius else ""
    return told + (f" for {operation.minutes:g} min" if operation.minutes else "")


def _substance(kb, formula):
    """The name of what is driven off: a reagent of the shelf, or an ion."""
    names = (reagent.name for reagent in kb.reagents.values() if reagent.formula == formula)
    return kb.ions[formula].name if formula in kb.ions else next(names, formula)


SAYS = {
    "take": _take,
    "add": _add,
    "test": _test,
    "pass": _pass,
    "dilute": _dilute,
    "centrifuge": _centrifuge,
    "wash": _wash,
    "look": _look,
}
