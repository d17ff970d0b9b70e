"""How much coffee goes into a cup, what a coarse scale makes of it, and how much a whole table needs."""

from dataclasses import dataclass
from math import floor, isfinite

from redolent.tasting.units import ML_PER_US_FL_OZ

STRENGTH = 55.0
"""Grams of coffee a litre of water (common practice, no source)."""

SCALES = (0.1, 0.5, 1.0)
WORST_ERROR = 3.0
"""Per cent of the dose above which rounding is warned of."""

WASTE = 0.10
"""Share of the coffee that purging the grinder and spilling cost; share of the water that warms cups and rinses."""


@dataclass(frozen=True, slots=True)
class Dose:
    """What one cup takes.

    Attributes
    ----------
    cup_ml : float
    strength : float
        g/l.
    scale_g : float
        What the scale resolves, in g.
    exact_g, rounded_g : float
        As computed, and as the scale can show it.
    """

    cup_ml: float
    strength: float
    scale_g: float
    exact_g: float
    rounded_g: float

    @property
    def error_percent(self) -> float:
        """Error that the rounding makes, in per cent of the exact dose; above 0 where the cup gets too much."""
        return 100 * (self.rounded_g / self.exact_g - 1)

    @property
    def per_us_fl_oz(self) -> float:
        """The strength in g a US fluid ounce."""
        return self.strength * ML_PER_US_FL_OZ / 1000

    @property
    def warning(self) -> str:
        """One sentence where the scale is too coarse for the cup; else empty."""
        if abs(self.error_percent) <= WORST_ERROR:
            return ""
        return (
            f"A scale of {self.scale_g:g} g on so small a cup errs by {abs(self.error_percent):.1f} %, more than "
            f"{WORST_ERROR:g} %: take a finer scale or a larger cup, or weigh several doses and share them out."
        )


def dose_cup(cup_ml: float, strength: float = STRENGTH, scale_g: float = 0.1) -> Dose:
    """Compute the dose of a cup: volume times strength, rounded to the scale.

    Parameters
    ----------
    cup_ml : float
        Water in the cup, 30 to 1000 ml.
    strength : float
        20 to 120 g/l.
    scale_g : float
        0.01 to 5 g.

    Raises
    ------
    ValueError
        Where one of them lies outside, or the scale is so coarse that it would show nothing.
    """
    _within("A cup", cup_ml, 30, 1000, "ml")
    _within("The strength", strength, 20, 120, "g/l")
    _within("The scale's resolution", scale_g, 0.01, 5, "g")
    exact = cup_ml * strength / 1000
    # A hair is added so that a half, which binary cannot hold exactly, is rounded up as on paper.
    rounded = round(floor(exact / scale_g + 0.5 + 1e-9) * scale_g, 4)
    if not rounded:
        raise ValueError(f"A scale of {scale_g:g} g cannot weigh {exact:.1f} g; take a finer one.")
    return Dose(cup_ml, strength, scale_g, exact, rounded)


def table_total(dose: Dose, cups: int, waste: float = WASTE) -> tuple[float, float]:
    """Give the coffee in g and the water in ml that `cups` cups take, with waste.

    Raises
    ------
    ValueError
        Where there is no cup or the waste is no share from 0 to 1.
    """
    if cups < 1:
        raise ValueError(f"The number of cups is {cups}; it must be 1 or more.")
    _within("The share of waste", waste, 0, 1, "")
    return dose.rounded_g * cups * (1 + waste), dose.cup_ml * cups * (1 + waste)


def _within(what: str, value: float, low: float, high: float, unit: str) -> None:
    if not (isfinite(value) and low <= value <= high):
        raise ValueError(f"{what} is {value:g} {unit}".rstrip() + f"; give {low:g} to {high:g} {unit}".rstrip() + ".")
