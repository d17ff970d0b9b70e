"""The design of one tasting: how many cups, what is in each, in which order, under which codes."""

from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Any

import numpy as np

from redolent.blind import draw_codes
from redolent.tasting.orders import MOST_REPEATS, draw_order, next_row

WHY_REPEATS = (
    "Now and then a coffee stands on the table twice, or three times, and nobody at the table knows which or whether. "
    "Words that come back to a cup that you did not know you had met before are the best sign that they are in the "
    "cup. How many repeats there are, 0 to 2, is drawn and sealed, not chosen: who knew it would look for them."
)


@dataclass(frozen=True, slots=True)
class TableDesign:
    """What stands where.

    Attributes
    ----------
    order : str
        A letter a cup, A for the first coffee; secret until the reveal.
    codes : tuple of str
        The three-digit code of each cup, in the same order.
    row : int
        Of the Williams square; secret, too.
    """

    order: str
    codes: tuple[str, ...]
    row: int

    @property
    def key(self) -> dict[str, Any]:
        """What is sealed."""
        return {"codes": list(self.codes), "order": self.order, "row": self.row}

    @property
    def repeated(self) -> str:
        """The letters of the cups beyond the first of each coffee, in alphabetical order."""
        return "".join(letter * (self.order.count(letter) - 1) for letter in sorted(set(self.order)))


def design_tasting(
    coffees: int,
    rng: np.random.Generator | int | None,
    *,
    cups: int = 1,
    repeats: int | None = None,
    served: Sequence[int] = (),
) -> TableDesign:
    """Draw the repeats, the order and the codes of a tasting.

    Parameters
    ----------
    coffees : int
        2 to 8.
    rng : numpy.random.Generator or seed
        A seed that the taster knows makes the tasting not blind.
    cups : int
        Of each coffee.
    repeats : int, optional
        Hidden repeats; drawn from 0, 1 and 2 with equal chance where it is None.
    served : sequence of int
        The rows of the Williams square that earlier tastings of as many coffees had.

    Raises
    ------
    ValueError
        Where the numbers make no table.
    """
    rng = np.random.default_rng(rng)
    drawn = int(rng.integers(MOST_REPEATS + 1)) if repeats is None else repeats
    row = next_row(coffees, served, rng)
    order = draw_order(coffees, drawn, rng, cups=cups, row=row)
    return TableDesign("".join(ascii_uppercase[cup] for cup in order), tuple(draw_codes(len(order), rng)), row)
