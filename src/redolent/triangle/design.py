"""The design of one taster's run of triads."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from redolent.blind import draw_codes
from redolent.triangle.binomial import whole
from redolent.triangle.orders import draw_orders

Codes = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class RunDesign:
    """What stands where.

    Attributes
    ----------
    orders : tuple of str
        One of `ORDERS` a triad; secret until the last answer is locked.
    codes : tuple of tuple of str
        The three codes of each triad, from left to right; no code comes twice in a run.
    """

    orders: tuple[str, ...]
    codes: tuple[Codes, ...]

    @property
    def key(self) -> dict[str, list[str] | list[list[str]]]:
        """What is sealed."""
        return run_key(self.orders, self.codes)


def design_run(triads: int, rng: np.random.Generator | int | None, taken: Iterable[str] = ()) -> RunDesign:
    """Draw the orders and codes of a run.

    Parameters
    ----------
    triads : int
        Their number, fixed beforehand.
    rng : numpy.random.Generator or seed
        A seed that the taster knows makes the run not blind.
    taken : iterable of str
        Codes used already in this sitting.

    Raises
    ------
    ValueError
        Where `triads` is no whole number of 1 or more, or needs more codes than there are.
    """
    triads = whole("The number of triads", triads, least=1)
    rng = np.random.default_rng(rng)
    codes = draw_codes(3 * triads, rng, taken)
    return RunDesign(tuple(draw_orders(triads, rng)), tuple(zip(*[iter(codes)] * 3, strict=True)))


def run_key(orders: Sequence[str], codes: Sequence[Sequence[str]]) -> dict[str, list[str] | list[list[str]]]:
    """Give the key of a run in the form that is sealed, whether it was just drawn or read from a journal."""
    return {"orders": list(orders), "codes": [list(triad) for triad in codes]}
