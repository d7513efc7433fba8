"""The salts of the shelf against a register of CAS numbers and a handbook's table of solubilities."""

from pathlib import Path

import pytest
import yaml

from examkit.chemistry import formula
from examkit.chemistry.knowledge.load import SHARED, load

HERE = Path(__file__).parent
REGISTER = yaml.safe_load((HERE / "registry.yaml").read_text())
SOLUBILITY = yaml.safe_load((HERE / "solubility.yaml").read_text())
MELTING = yaml.safe_load((HERE / "melting.yaml").read_text())
SALTS = load(SHARED).salts
NUMBERED = {s.formula: REGISTER["numbers"][s.cas] for s in SALTS.values() if s.cas in REGISTER["numbers"]}
WEIGHED = [(key, entry) for key, entry in NUMBERED.items() if "mass" in entry]
PLAINLY_SOLUBLE_G, PLAINLY_INSOLUBLE_G = 3.0, 0.1
MELTS = ("dry-heating", "melts")
BURNER_C = 750


def check_digit(cas):
    digits = cas.replace("-", "")[:-1]
    return str(sum(int(d) * place for place, d in enumerate(reversed(digits), 1)) % 10)


@pytest.mark.parametrize("salt", SALTS.values(), ids=lambda s: s.formula)
def test_the_check_digit_of_every_cas_number_is_right(salt):
    assert salt.cas[-1] == check_digit(salt.cas)


def test_no_two_salts_share_a_cas_number():
    assert len({s.cas for s in SALTS.values()}) == len(SALTS)


def test_nearly_every_cas_number_stands_in_the_register():
    assert len(NUMBERED) >= 0.95 * len(SALTS)


@pytest.mark.parametrize(("key", "entry"), WEIGHED, ids=lambda x: x if isinstance(x, str) else "")
def test_the_register_gives_the_molar_mass_of_the_formula_under_that_number(key, entry):
    # PyPI package chemicals 1.5.2, see registry.yaml
    assert formula.molar_mass_g_mol(key) == pytest.approx(entry["mass"], rel=0.002), entry["name"]


@pytest.mark.parametrize(("key", "grams"), SOLUBILITY["grams"].items())
def test_cold_water_takes_up_what_the_handbook_calls_soluble_and_nothing_else(key, grams):
    # CRC Handbook, see solubility.yaml
    dissolved_in = SALTS[key].dissolves_in
    if grams >= PLAINLY_SOLUBLE_G:
        assert dissolved_in == "cold water"
    elif grams <= PLAINLY_INSOLUBLE_G:
        assert dissolved_in != "cold water"


@pytest.mark.parametrize("key", SOLUBILITY["products"])
def test_cold_water_leaves_what_the_handbook_gives_a_solubility_product_for(key):
    assert SALTS[key].dissolves_in != "cold water"


@pytest.mark.parametrize("cas", MELTING)
def test_a_salt_that_melts_below_the_heat_of_a_burner_is_said_to_melt(cas):
    # PyPI package chemicals 1.5.2, see melting.yaml
    salt = next(s for s in SALTS.values() if s.cas == cas)
    assert MELTING[cas] < BURNER_C
    assert any(o.event == "melts" for o in salt.facts[MELTS].seen)


@pytest.mark.parametrize("cas", MELTING)
def test_the_melting_point_that_is_cited_is_the_one_in_the_table(cas):
    salt = next(s for s in SALTS.values() if s.cas == cas)
    cited = [c.at for c in salt.facts[MELTS].sources if c.key == "chemicals-physical-constants"]
    assert any(at.endswith(f"melting point {MELTING[cas]:g} °C") for at in cited)
