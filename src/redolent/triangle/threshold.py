"""A threshold exercise: ascending series of solutions in water, three cups each, one of them not plain water.

Sweet, sour and salty only, of food-grade sugar, citric acid and salt. There is no bitter series: its usual references
are caffeine and quinine, of which an amount that a kitchen scale cannot see can harm. Never weigh their powders.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import exp, inf, log, sqrt
from typing import TYPE_CHECKING

from redolent.triangle.binomial import positive, whole

if TYPE_CHECKING:
    from pandas import DataFrame

LEVELS = 8


@dataclass(frozen=True, slots=True)
class Taste:
    """A basic taste and its solutions.

    Attributes
    ----------
    name, substance : str
    top, factor : float
        Grams a litre of the strongest level, and what each weaker one is multiplied by: the series of ISO 3972:2011
        (from memory, not checked against the standard).
    stock : float
        Grams a litre of the stock solution that the levels are made from.
    caution : str
    """

    name: str
    substance: str
    top: float
    factor: float
    stock: float
    caution: str


TASTES = {
    taste.name: taste
    for taste in (
        Taste("sweet", "white sugar", 12.0, 0.6, 50.0, "Who must mind their sugar leaves this series out."),
        Taste("sour", "food-grade citric acid", 0.6, 0.8, 10.0, "Keep the powder out of the eyes; rinse afterwards."),
        Taste("salty", "table salt", 2.0, 0.7, 20.0, "Who must mind their salt leaves this series out."),
    )
}

NO_BITTER = (
    "There is no bitter series: its usual references, caffeine and quinine, are dangerous on a kitchen scale. "
    "Never weigh out their powders; take sweet, sour or salty."
)


@dataclass(frozen=True, slots=True)
class Step:
    """One level of a series.

    Attributes
    ----------
    number : int
        1 is the weakest.
    concentration : float
        Grams a litre.
    stock, water : float
        Grams to weigh out.
    low, high : float
        Grams a litre that it may be in truth, where every weighing errs by one step of the scale, the worst way.
    """

    number: int
    concentration: float
    stock: float
    water: float
    low: float
    high: float

    @property
    def error(self) -> float:
        """Largest relative error."""
        return max(self.high / self.concentration - 1, 1 - self.low / self.concentration)


@dataclass(frozen=True, slots=True)
class Series:
    """A series of solutions, from the weakest to the strongest.

    Attributes
    ----------
    taste : Taste
    stock_solute, stock_water : float
        Grams for the stock solution.
    steps : tuple of Step
    scale : float
        Step of the scale in grams.
    """

    taste: Taste
    stock_solute: float
    stock_water: float
    steps: tuple[Step, ...]
    scale: float

    @property
    def distinct(self) -> bool:
        """Whether the scale keeps each level apart from the next, at the worst."""
        return all(below.high < above.low for below, above in pairwise(self.steps))

    @property
    def finding(self) -> str:
        """How to make it, how exact it is, and with which care."""
        worst = max(self.steps, key=lambda step: step.error)
        exact = (
            f"On a scale with steps of {self.scale:g} g the levels are right within {100 * worst.error:.2g} % at the "
            f"worst (level {worst.number})"
        )
        apart = "and stay apart." if self.distinct else "and may swap: take a finer scale or more of everything."
        return (
            f"Stock: {self.stock_solute:g} g of {self.taste.substance} in {self.stock_water:g} g of drinking water. "
            f"{exact} {apart} Levels after ISO 3972, from memory. {self.taste.caution}"
        )

    def to_frame(self) -> "DataFrame":
        """Give a row a level: what to weigh, and how exact it becomes."""
        from pandas import DataFrame

        return DataFrame(
            [
                (step.number, step.concentration, step.stock, step.water, step.low, step.high, step.error)
                for step in self.steps
            ],
            columns=["level", "grams_a_litre", "stock_g", "water_g", "low", "high", "error"],
        )


def dilution_series(taste: str, *, levels: int = LEVELS, amount: float = 500.0, scale: float = 0.1) -> Series:
    """Plan a series of solutions by stock and dilution.

    Parameters
    ----------
    taste : str
        "sweet", "sour" or "salty".
    levels : int
    amount : float
        Grams of the stock and of each level; a litre of these thin solutions is taken as a kilogram.
    scale : float
        Step of the kitchen scale in grams.

    Raises
    ------
    ValueError
        Where there is no such series (and why there is none for bitter), or the scale cannot see what is to be weighed.
    """
    if taste not in TASTES:
        raise ValueError(NO_BITTER if taste == "bitter" else f"There is no series for {taste!r}; {', '.join(TASTES)}.")
    chosen = TASTES[taste]
    levels = whole("The number of levels", levels, least=2)
    amount, scale = positive("The amount", amount), positive("The step of the scale", scale)
    solute = _weighed(amount * chosen.stock / 1000, scale)
    stock_water = _weighed(amount - solute, scale)
    steps = []
    for number in range(1, levels + 1):
        concentration = chosen.top * chosen.factor ** (levels - number)
        stock = _weighed(amount * concentration / chosen.stock, scale)
        water = _weighed(amount - stock, scale)
        if min(solute, stock) <= 2 * scale:
            raise ValueError(
                f"Level {number} needs {stock:.2g} g of stock from {solute:g} g of {chosen.substance}, too little for "
                f"a scale with steps of {scale:g} g; take a finer scale, more of everything, or fewer levels."
            )
        # At the worst the water errs the other way, so that the sums stay.
        low, high = (
            1000 * (solute + error) / (solute + stock_water) * (stock + error) / (stock + water)
            for error in (-scale, scale)
        )
        steps.append(Step(number, concentration, stock, water, low, high))
    return Series(chosen, solute, stock_water, tuple(steps), scale)


@dataclass(frozen=True, slots=True)
class Threshold:
    """A best-estimate threshold.

    Attributes
    ----------
    value : float
        In the unit of the concentrations.
    low, high : float
        The two neighbouring concentrations of which it is the geometric mean; 0 or infinite beyond the series' ends.
    """

    value: float
    low: float
    high: float

    @property
    def finding(self) -> str:
        """The threshold in a sentence."""
        if self.low == 0:
            return f"Every level was found: the threshold lies below {self.high:.3g}, taken as {self.value:.3g}."
        if self.high == inf:
            return (
                f"The strongest level was missed: the threshold lies above {self.low:.3g}, taken as {self.value:.3g}."
            )
        return (
            f"Best-estimate threshold {self.value:.3g}, between {self.low:.3g} (missed) and {self.high:.3g} (found, "
            "and all stronger ones too); one ascent is a rough estimate, as each level is found by luck in 1 of 3."
        )


def estimate_threshold(found: Sequence[bool], concentrations: Sequence[float]) -> Threshold:
    """Estimate one taster's threshold from one ascending 3-AFC series.

    The geometric mean of the strongest concentration that was missed and the next one, from which on all were found.
    Where none or the strongest was missed, the series is thought one step longer at that end.

    Parameters
    ----------
    found : sequence of bool
        Whether the odd cup was found, level by level.
    concentrations : sequence of float
        Ascending.

    Raises
    ------
    ValueError
        Where the two differ in length, there are fewer than two levels, or the concentrations do not ascend.

    References
    ----------
    ASTM E679, Standard Practice for Determination of Odor and Taste Thresholds by a Forced-Choice Ascending
    Concentration Series Method of Limits.
    """
    if len(found) != len(concentrations) or len(found) < 2:
        raise ValueError("Give an answer for each concentration, at two levels or more.")
    if any(answer not in (0, 1) for answer in found):
        raise ValueError("Each answer is right or wrong: give True or False for each.")
    levels = [positive("A concentration", level) for level in concentrations]
    if any(below >= above for below, above in pairwise(levels)):
        raise ValueError("The concentrations must ascend, from the weakest to the strongest.")
    missed = max((place for place, answer in enumerate(found) if not answer), default=-1)
    if missed < 0:
        return Threshold(levels[0] / sqrt(levels[1] / levels[0]), 0.0, levels[0])
    if missed == len(levels) - 1:
        return Threshold(levels[-1] * sqrt(levels[-1] / levels[-2]), levels[-1], inf)
    return Threshold(sqrt(levels[missed] * levels[missed + 1]), levels[missed], levels[missed + 1])


def group_threshold(thresholds: Sequence[Threshold]) -> float:
    """Give the threshold of a group: the geometric mean of its tasters' (ASTM E679).

    Raises
    ------
    ValueError
        Where there is no threshold.
    """
    if not thresholds:
        raise ValueError("A group's threshold needs the threshold of a taster or more.")
    return exp(sum(log(threshold.value) for threshold in thresholds) / len(thresholds))


def _weighed(grams: float, scale: float) -> float:
    """Round to what the scale shows."""
    return round(round(grams / scale) * scale, 6)
