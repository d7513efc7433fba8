"""What is given out: one or more salts with masses. A sample, not a salt: mixtures are the same code."""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from math import lcm

from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.formula import split_charge
from examkit.chemistry.knowledge.model import Salt

SINGLE = re.compile(r"[A-Z][a-z]?")
COLD = "cold water"
NOTHING_MMOL = 1e-9  # less is what subtraction leaves of zero
HYDRATE = re.compile(r" (\S*hydrate|\d+-hydrate|anhydrous)$")


@dataclass(frozen=True)
class Part:
    """One salt of a specimen and its mass in g."""

    salt: Salt
    grams: float


@dataclass(frozen=True)
class Specimen:
    """One or more salts, weighed."""

    parts: tuple[Part, ...]

    @property
    def salts(self):
        """The salts, in the order given."""
        return tuple(part.salt for part in self.parts)

    @property
    def cations(self):
        """Formulas of the cations, each once."""
        return _each_once(ion for salt in self.salts for ion in salt.cations)

    @property
    def anions(self):
        """Formulas of the anions, each once."""
        return _each_once(ion for salt in self.salts for ion in salt.anions)

    def millimoles(self, ion):
        """Amount of an ion in mmol."""
        return sum(
            1000 * part.grams / part.salt.molar_mass_g_mol * part.salt.ions.get(ion, 0) for part in self.parts
        )


def settling(kb, specimen):
    """Cations that an anion of another salt keeps from dissolving: {cation: whether all of it}, by amounts.

    Lead nitrate beside zinc sulfate leaves lead sulfate: a salt of the base that nothing dissolves.
    """
    if len(specimen.parts) < 2:
        return {}
    found = {}
    for salt in kb.salts.values():
        if salt.dissolves_in == "nothing" and len(salt.cations) == len(salt.anions) == 1:
            (cation,), (anion,) = salt.cations, salt.anions
            there, against = specimen.millimoles(cation), specimen.millimoles(anion)
            if there and against:
                wholly = against * salt.ions[cation] >= there * salt.ions[anion]
                found[cation] = found.get(cation, False) or wholly
    return found


def falling(kb, specimen):
    """The salts of the base that cold water does not hold and that come down as the salts of a mixture meet.

    What an acid or hot water takes up falls only where both its ions come dissolved in cold water.
    """
    in_water = {ion for salt in specimen.salts if salt.dissolves_in == COLD for ion in salt.ions}
    meeting = {"nothing": {*specimen.cations, *specimen.anions}, COLD: set()}
    return tuple(
        salt for salt in kb.salts.values()
        if salt.ions.keys() <= meeting.get(salt.dissolves_in, in_water)
        and not any(salt.ions.keys() <= one.ions.keys() for one in specimen.salts)
    )


def left_behind(kb, specimen):
    """Cations that are, in whole or in part, in what stays behind when the specimen is dissolved."""
    insoluble = (salt for salt in specimen.salts if salt.dissolves_in == "nothing")
    return _each_once((*(ion for salt in insoluble for ion in salt.cations), *settling(kb, specimen)))


def brought_into_solution(kb, specimen):
    """{ion: mmol} in the original solution: of the salts that dissolve, less what falls as they meet."""
    dissolving = Specimen(tuple(part for part in specimen.parts if part.salt.dissolves_in != "nothing"))
    there = {ion: dissolving.millimoles(ion) for ion in (*dissolving.cations, *dissolving.anions)}
    for salt in kb.salts.values():
        if salt.dissolves_in == "nothing" and there.keys() >= salt.ions.keys():
            units = min(there[ion] / number for ion, number in salt.ions.items())
            there |= {ion: there[ion] - units * number for ion, number in salt.ions.items()}
    return {ion: amount for ion, amount in there.items() if amount > NOTHING_MMOL}


def extracted(specimen):
    """The anions that the sodium carbonate extract holds."""
    return _each_once(ion for salt in specimen.salts if salt.extract != "none" for ion in salt.anions)


def shut(specimen):
    """The anions that sodium carbonate does not bring into solution (silver halides, heavy sulfides)."""
    return tuple(ion for ion in specimen.anions if ion not in extracted(specimen))


def _each_once(items):
    return tuple(dict.fromkeys(items))


def read_specimen(kb, text, grams=0.5):
    """A specimen from formulas or names joined by ` + `, each part of `grams` g.

    Raises UnknownSubject, which proposes near names, or says why these salts are never mixed.
    """
    names = [name.strip() for name in text.split(" + ")]
    specimen = Specimen(tuple(Part(find_salt(kb, name), grams) for name in names))
    _refuse_dangerous(kb, specimen)
    return specimen


def _refuse_dangerous(kb, specimen):
    """Refuse a mixture that must never stand dry or be heated, whoever asks for it."""
    for refusal in kb.refusals:
        pair = refusal.parts(specimen.salts)
        if pair:
            first, second = (salt.formula for salt in pair)
            raise UnknownSubject(
                f"{first} and {second} are never mixed, dry or heated: {refusal.reason}. Choose other salts."
            )


def find_salt(kb, text):
    """The salt of this formula or name."""
    salt = _salt_names(kb).get(_plain(text))
    if salt is None:
        refusal = _refused_names(kb).get(_plain(text))
        why = f" {told(refusal)}" if refusal else _near(text, _salt_names(kb))
        raise UnknownSubject(f"No salt is called '{text}'.{why}")
    return kb.salts[salt]


def told(refusal):
    """Why a pair or a salt is refused, as a sentence."""
    what = (
        f"{refusal.salt} is not given out"
        if refusal.salt
        else f"{refusal.cation} and {refusal.anion} make no salt that keeps"
    )
    return f"{what}: {refusal.reason}."


@cache
def _refused_names(kb):
    """How what is refused may be called: its formula, its name."""
    names = {}
    for refusal in (refusal for refusal in kb.refusals if not refusal.together):
        if refusal.salt:
            called = (refusal.salt, *refusal.names)
        else:
            pair = [kb.ions[ion] for ion in (refusal.cation, refusal.anion)]
            called = (_neutral(*pair), *_paired(*pair), *refusal.names)
        for name in called:
            names.setdefault(_plain(name), refusal)
    return names


def _paired(cation, anion):
    """Every name of a salt of two ions: `aluminium carbonate`, `ferric iodide`."""
    firsts, seconds = ((ion.name, *ion.names) for ion in (cation, anion))
    return (f"{first} {second}" for first in firsts for second in seconds)


def _neutral(cation, anion):
    """The simplest formula of a salt of two ions: `Al2(CO3)3`."""
    shared = lcm(cation.charge, -anion.charge)
    return "".join(_times(ion.formula, shared // abs(ion.charge)) for ion in (cation, anion))


def _times(ion, number):
    body, _charge = split_charge(ion)
    if number == 1:
        return body
    return f"{body}{number}" if SINGLE.fullmatch(body) else f"({body}){number}"


def find_ion(kb, text):
    """The ion of this formula or name."""
    ion = _ion_names(kb).get(_plain(text))
    if ion is None:
        raise UnknownSubject(f"No ion is called '{text}'.{_near(text, _ion_names(kb))}")
    return kb.ions[ion]


def _plain(text):
    """Formulas as typed anywhere: Unicode digits and dots, spaces and case of names do not matter."""
    table = str.maketrans("₀₁₂₃₄₅₆₇₈₉⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻·•−*", "01234567890123456789+-..-.")
    return " ".join(text.translate(table).split()).casefold()


@cache
def _salt_names(kb):
    """Every way to call a salt. A formula is always its own; a name without its water goes to the first."""
    names = {}
    for salt in kb.salts.values():
        for name in (salt.name, *salt.names):
            names.setdefault(_plain(name), salt.formula)
    for salt in kb.salts.values():
        for name in (HYDRATE.sub("", salt.name), salt.formula.split(".")[0]):
            names.setdefault(_plain(name), salt.formula)
    return names | {_plain(formula): formula for formula in kb.salts}


@cache
def _ion_names(kb):
    names = {}
    for ion in kb.ions.values():
        for name in (ion.name, f"{ion.name} ion", *ion.names):
            names.setdefault(_plain(name), ion.formula)
    for ion in kb.ions:
        names.setdefault(_plain(ion.replace("^", "")), ion)
    return names | {_plain(ion): ion for ion in kb.ions}


def _near(text, names):
    near = dict.fromkeys(names[match] for match in get_close_matches(_plain(text), names, n=5, cutoff=0.6))
    if near:
        return f" Did you mean {' or '.join(list(near)[:3])}?"
    return " `python3 manage.py check_knowledge --list` lists them."
