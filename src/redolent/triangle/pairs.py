"""Reference pairs: two cups that a kitchen can make again, so that months can be compared.

Coffees differ from pair to pair and a bag ages, so results over other pairs mix the taster's growth with theirs. One
brew against the same brew with a measured change is the same task every time.
"""

from dataclasses import dataclass

from redolent.triangle.binomial import positive, share

BREW = 300.0
"""Grams of each of the two samples: six half cups with something to spare."""


@dataclass(frozen=True, slots=True)
class ReferencePair:
    """A recipe for a pair that can be made again.

    Attributes
    ----------
    name : str
        Under which its runs are kept together.
    brew, water, sugar : float
        Grams of brew, added water and added sugar in the changed sample; the other is `BREW` grams of the same brew.
    caution : str
    """

    name: str
    brew: float
    water: float = 0.0
    sugar: float = 0.0
    caution: str = ""

    @property
    def recipe(self) -> str:
        """How to make both samples."""
        if self.water:
            change = f"{self.brew:g} g of it and {self.water:g} g of water of the same temperature"
        else:
            change = f"{self.brew:g} g of it and {self.sugar:g} g of white sugar"
        return (
            f"Brew {2 * BREW + 100:g} g or more in one batch, with the recipe that you keep for this pair. "
            f"A: {BREW:g} g of it. B: {change}. Stir both alike until nothing is left to dissolve, let them cool to "
            "the same temperature, and share out. Hot brew burns: pour slowly."
        ) + (f" {self.caution}" if self.caution else "")

    def error(self, scale: float = 0.1) -> float:
        """Give the largest relative error of the added amount on a scale that shows steps of `scale` grams."""
        return positive("The step of the scale", scale) / (self.water or self.sugar)


def dilution_pair(part: float) -> ReferencePair:
    """Give the pair of a brew and the same brew with the share `part` of water in it.

    Raises
    ------
    ValueError
        Where `part` does not lie between 0 and 1.
    """
    water = round(BREW * share("The share of water", part, such=0.1), 1)
    return ReferencePair(f"water {100 * part:g} %", brew=BREW - water, water=water)


def sugar_pair(grams: float) -> ReferencePair:
    """Give the pair of a brew and the same brew with `grams` of sugar a kilogram.

    Raises
    ------
    ValueError
        Where `grams` is no number above 0.
    """
    sugar = round(BREW * positive("The sugar", grams) / 1000, 1)
    return ReferencePair(
        f"sugar {grams:g} g/kg",
        brew=BREW,
        sugar=sugar,
        caution="Who must mind their sugar takes a pair with water.",
    )


REFERENCE_PAIRS = {
    pair.name: pair
    for pair in (*(dilution_pair(part) for part in (0.2, 0.1, 0.05)), *(sugar_pair(grams) for grams in (10, 5, 3)))
}
"""From easy to hard (common practice, no source): start where about two of three are right."""
