"""How many triads fit into one sitting: cups, grams of coffee, caffeine of what is swallowed, and time."""

from dataclasses import dataclass
from math import ceil, floor, inf

from redolent.triangle.binomial import positive, whole

CUPS = 3
CAFFEINE_AT_ONCE = 200.0
CAFFEINE_A_DAY = 400.0
"""Milligrams that raise no safety concern for healthy adults: in one sitting, and over a day from all sources (EFSA
2015, Scientific Opinion on the safety of caffeine, EFSA Journal 13(5):4102)."""
CAFFEINE_A_DAY_PREGNANT = 200.0
"""Milligrams a day from all sources in pregnancy and for those who breast-feed (EFSA 2015, as above)."""
CAFFEINE_PER_GRAM = 12.0
"""Milligrams in a gram of roasted arabica, all of it taken as extracted; robusta holds about 22 (from memory)."""
STRENGTH = 60.0
"""Grams of coffee for a litre of water (common practice, no source)."""
MINUTES_A_TRIAD = 5.0
MINUTES_A_SITTING = 45.0
"""With rinsing and a pause; longer than that a palate tires (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Sittings:
    """A run split over sittings.

    Attributes
    ----------
    triads : tuple of int
        Triads of each sitting.
    most : int
        Triads that fit into one sitting.
    a_day : int
        Triads that fit into one day.
    cups, coffee, water, caffeine, minutes : float
        Of the largest sitting: number, grams, millilitres, milligrams swallowed, minutes.
    limit : str
        What sets `most`: "caffeine" or "time".
    pregnant : bool
        Whether the limits of pregnancy and breast-feeding were taken.
    """

    triads: tuple[int, ...]
    most: int
    a_day: int
    cups: int
    coffee: float
    water: float
    caffeine: float
    minutes: float
    limit: str
    pregnant: bool

    @property
    def finding(self) -> str:
        """The sittings in a sentence."""
        if len(self.triads) == 1:
            parts = "One sitting"
        else:
            sizes = " or ".join(str(size) for size in sorted(set(self.triads), reverse=True))
            parts = f"{len(self.triads)} sittings of {sizes} triads"
        at_most = f", at most {self.a_day} triads a day" if self.a_day < sum(self.triads) else ""
        whom = "in pregnancy and breast-feeding" if self.pregnant else "for healthy adults"
        return (
            f"{parts}{at_most}. A sitting takes up to {self.cups} cups, {self.coffee:.0f} g of coffee in "
            f"{self.water:.0f} ml of water, {self.minutes:.0f} minutes and about {self.caffeine:.0f} mg of swallowed "
            f"caffeine{'; who spits can take more' if self.limit == 'caffeine' else ''}. EFSA (2015) sees "
            f"no concern {whom} up to {CAFFEINE_AT_ONCE:.0f} mg at once and "
            f"{CAFFEINE_A_DAY_PREGNANT if self.pregnant else CAFFEINE_A_DAY:.0f} mg a day from all sources; who is "
            "under age, ill, on medicines or unsure asks a professional first."
        )


def split_sittings(
    triads: int,
    *,
    cup: float = 30.0,
    swallowed: float | None = None,
    strength: float = STRENGTH,
    caffeine: float = CAFFEINE_PER_GRAM,
    other: float = 0.0,
    minutes: float = MINUTES_A_SITTING,
    each: float = MINUTES_A_TRIAD,
    pregnant: bool = False,
) -> Sittings:
    """Split a run over sittings, as evenly as the limits of caffeine and time allow.

    Parameters
    ----------
    triads : int
    cup : float
        Millilitres poured into each cup.
    swallowed : float, optional
        Millilitres swallowed of each cup; all of it where nothing is said, less for those who spit.
    strength : float
        Grams of coffee a litre of water.
    caffeine : float
        Milligrams a gram of coffee.
    other : float
        Milligrams of caffeine from elsewhere on the same day.
    minutes, each : float
        Length of a sitting, and of a triad.
    pregnant : bool
        Take the limits of pregnancy and breast-feeding.

    Raises
    ------
    ValueError
        Where a number makes no sense, or not even one triad fits.
    """
    triads = whole("The number of triads", triads, least=1)
    cup, strength = positive("The volume of a cup", cup), positive("The strength", strength)
    swallowed = cup if swallowed is None else positive("The swallowed volume", swallowed, zero=True)
    caffeine, other = positive("Caffeine a gram", caffeine, zero=True), positive("Other caffeine", other, zero=True)
    minutes, each = positive("The minutes of a sitting", minutes), positive("The minutes of a triad", each)
    if swallowed > cup:
        raise ValueError(f"More is swallowed of a cup ({swallowed:g} ml) than is poured ({cup:g} ml); check both.")
    one = CUPS * swallowed * strength / 1000 * caffeine
    daily = max(0.0, (CAFFEINE_A_DAY_PREGNANT if pregnant else CAFFEINE_A_DAY) - other)
    by_caffeine = min(CAFFEINE_AT_ONCE, daily) / one if one else inf
    by_time = minutes / each
    most = floor(min(by_caffeine, by_time) + 1e-9)
    if most < 1:
        if by_time < 1:
            raise ValueError(f"A triad takes {each:g} minutes and the sitting {minutes:g}; give it more time.")
        left = min(CAFFEINE_AT_ONCE, daily)
        raise ValueError(
            f"One triad would bring {one:.0f} mg of swallowed caffeine, and {left:.0f} mg are left; "
            "swallow less of each cup, or spit."
        )
    sittings = ceil(triads / most)
    parts = tuple(triads // sittings + (number < triads % sittings) for number in range(sittings))
    cups = CUPS * parts[0]
    water = cups * cup
    return Sittings(
        triads=parts,
        most=most,
        a_day=floor(daily / one + 1e-9) if one else triads,
        cups=cups,
        coffee=water * strength / 1000,
        water=water,
        caffeine=parts[0] * one,
        minutes=parts[0] * each,
        limit="caffeine" if by_caffeine < by_time else "time",
        pregnant=pregnant,
    )
