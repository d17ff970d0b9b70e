"""How a pair was prepared, asked before the run and kept with it."""

from dataclasses import asdict, dataclass
from typing import Any, Literal, get_args

from redolent.triangle.binomial import positive

Hidden = Literal["opaque cups", "dim light", "colours are alike", "not hidden"]

WARMEST = 65.0
"""Degrees Celsius above which very hot drinks are probably carcinogenic and scald (IARC 2016, Monographs 116)."""
CLOSE = 2.0
"""Degrees that two samples may lie apart (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Preparation:
    """What was asked before the first cup.

    Attributes
    ----------
    brewed : float
        Millilitres of each coffee that were brewed.
    pooled : bool
        Whether all brews of a coffee were poured together before they were shared out.
    volume : float
        Millilitres in each cup.
    temperatures : tuple of float
        Degrees Celsius of the two coffees when served.
    same_cups : bool
        Whether all cups look alike.
    hidden : str
        How a difference of colour was hidden: "opaque cups", "dim light", "colours are alike" or "not hidden".
    rinsed : bool
        Whether water for rinsing stood ready.
    """

    brewed: float
    pooled: bool
    volume: float
    temperatures: tuple[float, float]
    same_cups: bool
    hidden: Hidden
    rinsed: bool = True

    def __post_init__(self) -> None:
        positive("The brewed volume", self.brewed)
        positive("The volume of a cup", self.volume)
        if self.hidden not in get_args(Hidden):
            raise ValueError(f"A colour is hidden by one of {', '.join(get_args(Hidden))}, not by {self.hidden!r}.")
        if len(self.temperatures) != 2 or not all(0 < degrees < 100 for degrees in self.temperatures):
            raise ValueError("Give the temperature of either coffee in degrees Celsius, between 0 and 100.")

    @property
    def flaws(self) -> tuple[str, ...]:
        """What else than the coffee may be tasted, a sentence each; empty where all is in order."""
        cold, hot = sorted(self.temperatures)
        found = {
            "Brews were not pooled: cups brewed apart differ by themselves, so batches are tested, not coffees.": (
                not self.pooled
            ),
            f"The two were served {hot - cold:.0f} °C apart: temperature can give them away.": hot - cold > CLOSE,
            f"Served at {hot:.0f} °C: wait until it is below {WARMEST:.0f} °C, it scalds and hides differences.": (
                hot > WARMEST
            ),
            "The cups did not look alike: the eye can find the odd one.": not self.same_cups,
            "A difference of colour was not hidden: the eye can find the odd one.": self.hidden == "not hidden",
            "Nothing to rinse with: what was tasted before stays in the mouth.": not self.rinsed,
        }
        return tuple(sentence for sentence, is_so in found.items() if is_so)

    @property
    def finding(self) -> str:
        """Whether the pair was prepared as it should be."""
        return " ".join(self.flaws) or "Prepared as it should be: only the coffees differ."

    def enough(self, triads: int) -> bool:
        """Say whether so much brew serves `triads`: of either coffee up to two cups a triad."""
        return self.brewed >= 2 * triads * self.volume

    def to_dict(self) -> dict[str, Any]:
        """Give the answers as plain values, to be kept with the run."""
        return asdict(self) | {"temperatures": list(self.temperatures)}
