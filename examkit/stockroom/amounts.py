"""Amounts as a balance, a cylinder and a flask show them; all exact decimals, the unit in every name.

The rules of rounding:
* a salt for the tubes is rounded up to the next 0.01 g, what a school's balance shows;
* a solid for a solution is weighed to 0.01 g from 1 g on and to 0.001 g below;
* a volume is rounded up to whole mL below 10 mL, to 5 mL below 100 mL, to 10 mL from there on;
* a solution is made up in the next larger flask: 25, 50, 100, 250, 500, 1000 mL, then whole litres.
"""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from math import ceil

from examkit.chemistry import formula
from examkit.stockroom.errors import StockError, StockTooWeak

NO_BREAK = "\N{NO-BREAK SPACE}"
BALANCE_g = Decimal("0.01")
FINE_BALANCE_g = Decimal("0.001")
FLASKS_mL = (25, 50, 100, 250, 500, 1000)
LITRE_mL = 1000
CYLINDERS_mL = ((10, 1), (100, 5), (None, 10))  # below so many mL: steps of so many mL


@dataclass(frozen=True)
class Amount:
    """So much of something; `unit` is mL, g or strips, and units never mix."""

    value: Decimal
    unit: str

    def __add__(self, other):
        if other.unit != self.unit:
            raise StockError(f"{self} and {other} cannot be added. Give both in one unit.")
        return Amount(self.value + other.value, self.unit)

    def __sub__(self, other):
        return self + Amount(-other.value, other.unit)

    def __bool__(self):
        return self.value > 0

    def __str__(self):
        unit = "strip" if (self.value, self.unit) == (1, "strips") else self.unit
        return f"{plain(self.value)}{NO_BREAK}{unit}"

    @property
    def ready(self):
        """The amount as it is put ready: rounded up to what balance or cylinder show; whole strips."""
        step = {"g": lambda: up_to(self.value, BALANCE_g), "mL": lambda: measured_mL(self.value)}
        return Amount(step.get(self.unit, lambda: up_to(self.value, 1))(), self.unit)


def plain(value):
    """A decimal as it is read: no exponent, no needless zeros.

    >>> plain(Decimal("2.50")), plain(Decimal("1E+2"))
    ('2.5', '100')
    """
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def exact(number):
    """A number of the knowledge base as the decimal that was written there: 0.3 is 0.3, not 0.29999.

    >>> exact(0.1) * 3
    Decimal('0.3')
    """
    return number if isinstance(number, Decimal) else Decimal(str(number))


def up_to(amount, step):
    """`amount`, rounded up to the next whole multiple of `step`.

    >>> up_to(Decimal("7.201"), BALANCE_g)
    Decimal('7.21')
    """
    return int((exact(amount) / exact(step)).to_integral_value(ROUND_CEILING)) * exact(step)


def with_spare(amount, spare_percent):
    """`amount` and so many per cent on top."""
    if spare_percent < 0:
        raise StockError(f"The spare is {spare_percent} %. Give 0 or more.")
    return exact(amount) * (100 + spare_percent) / 100


def spare_pieces(pieces, spare_percent):
    """Whole pieces with the spare: 4 tubes with 20 % are 5, since a fifth of a tube is no tube.

    >>> spare_pieces(4, 20), spare_pieces(10, 20), spare_pieces(0, 20)
    (5, 12, 0)
    """
    return ceil(with_spare(pieces, spare_percent))


def measured_mL(volume_mL):
    """The volume (mL), rounded up to a mark of the measuring cylinder.

    >>> measured_mL(Decimal("3.2")), measured_mL(61), measured_mL(101)
    (Decimal('4'), Decimal('65'), Decimal('110'))
    """
    step = next(step for below, step in CYLINDERS_mL if below is None or volume_mL < below)
    return up_to(volume_mL, step)


def flask_mL(volume_mL):
    """The flask (mL) in which at least `volume_mL` can be made up.

    >>> flask_mL(12), flask_mL(250), flask_mL(1001)
    (Decimal('25'), Decimal('250'), Decimal('2000'))
    """
    return next((Decimal(flask) for flask in FLASKS_mL if volume_mL <= flask), up_to(volume_mL, LITRE_mL))


def weighed_g(mass_g):
    """The mass (g) as it is weighed out for a solution: to 0.01 g from 1 g on, to 0.001 g below.

    >>> weighed_g(Decimal("84.7149")), weighed_g(Decimal("0.0204"))
    (Decimal('84.71'), Decimal('0.020'))
    """
    step = BALANCE_g if mass_g >= 1 else FINE_BALANCE_g
    return max(exact(mass_g).quantize(step, ROUND_HALF_UP), step) if mass_g else Decimal(0)


def drawn_mL(volume_mL):
    """The volume (mL) as it is measured for a solution: to 1 mL from 10 mL on, to 0.1 mL below.

    >>> drawn_mL(Decimal("172.41")), drawn_mL(Decimal("2.77"))
    (Decimal('172'), Decimal('2.8'))
    """
    step = Decimal(1) if volume_mL >= 10 else Decimal("0.1")
    return max(exact(volume_mL).quantize(step, ROUND_HALF_UP), step) if volume_mL else Decimal(0)


def molar_mass_g_mol(text):
    """Molar mass (g/mol) as a decimal; crystal water counts."""
    return Decimal(str(round(formula.molar_mass_g_mol(text), 4)))


def solid_g(text, *, volume_mL, strength_mol_L):
    """Mass (g) of the solid `text` for a solution of that volume and strength.

    >>> round(solid_g("CuSO4.5H2O", volume_mL=250, strength_mol_L=Decimal("0.1")), 2)
    Decimal('6.24')
    """
    return exact(strength_mol_L) * molar_mass_g_mol(text) * exact(volume_mL) / LITRE_mL


def stock_mL(*, volume_mL, strength_mol_L, stock_mol_L):
    """Volume (mL) of a stock for a weaker solution: V1 = c2 V2 / c1.

    >>> round(stock_mL(volume_mL=5000, strength_mol_L=Decimal("0.100"), stock_mol_L=Decimal("1.59")))
    314
    """
    if exact(stock_mol_L) < exact(strength_mol_L):
        raise StockTooWeak(
            f"A stock of {stock_mol_L} mol/L cannot be diluted to {strength_mol_L} mol/L: it is weaker. "
            "Take a stronger stock, or make the solution from the solid."
        )
    return exact(strength_mol_L) * exact(volume_mL) / exact(stock_mol_L)


def strength_mol_L(text, *, density_g_mL, percent_w_w):
    """Strength (mol/L) of a bought solution of `text`, from its density and mass per cent.

    >>> round(strength_mol_L("HCl", density_g_mL=Decimal("1.18"), percent_w_w=36), 1)
    Decimal('11.7')
    """
    return LITRE_mL * exact(density_g_mL) * exact(percent_w_w) / 100 / molar_mass_g_mol(text)
