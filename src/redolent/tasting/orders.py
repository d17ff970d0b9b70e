"""In which order the cups of a tasting stand: balanced over tastings, repeats apart."""

from collections.abc import Sequence

import numpy as np

FEWEST, MOST = 2, 8
"""Coffees on one table."""

MOST_REPEATS = 2
MOST_CUPS = 12

Order = tuple[int, ...]


def williams(n: int) -> tuple[Order, ...]:
    """Give the Williams square of `n` coffees: each in each place, and each right after each other, equally often.

    Parameters
    ----------
    n : int
        2 or more.

    Returns
    -------
    tuple of tuple of int
        `n` rows of 0 to n − 1; 2 n rows where `n` is odd, since no single square does it then.

    Raises
    ------
    ValueError
        Where `n` is less than 2.

    References
    ----------
    Williams (1949), Experimental designs balanced for the estimation of residual effects of treatments,
    Australian Journal of Scientific Research A 2: 149–168.
    """
    if n < 2:
        raise ValueError(f"An order needs 2 coffees or more, not {n}.")
    # 0, 1, n − 1, 2, n − 2, …: the steps between neighbours are all different.
    first = [0, *((k + 1) // 2 if k % 2 else n - k // 2 for k in range(1, n))]
    rows = [tuple((place + shift) % n for place in first) for shift in range(n)]
    return tuple(rows + [row[::-1] for row in rows] if n % 2 else rows)


def draw_order(
    coffees: int,
    repeats: int,
    rng: np.random.Generator | int | None,
    *,
    cups: int = 1,
    row: int | None = None,
) -> Order:
    """Draw the order in which the cups of one tasting stand.

    Parameters
    ----------
    coffees : int
        2 to 8.
    repeats : int
        Further cups, 0 to 2. Which coffee each is of is drawn here, too.
    rng : numpy.random.Generator or seed
    cups : int
        Of each coffee, 1 to 4, before the repeats; 12 cups in all at most.
    row : int, optional
        Of `williams`; drawn where it is None.

    Returns
    -------
    tuple of int
        The coffee, 0 to coffees − 1, of each cup from first to last.

    Raises
    ------
    ValueError
        Where `coffees` or `repeats` is out of range.

    Notes
    -----
    The coffees stand as a row of the Williams square says. Further cups of each are then put in, in random order,
    each at a place drawn from those that keep it from its like; then the repeats, each at a place and of a coffee
    drawn from all pairs of the two that do. With two coffees nothing is kept
    apart: of three cups, only the first and the last could be alike, and the taster would know.
    """
    _check(coffees, repeats, cups)
    rng = np.random.default_rng(rng)
    rows = williams(coffees)
    order = list(rows[int(rng.integers(len(rows))) if row is None else row])
    further = [int(coffee) for _ in range(cups - 1) for coffee in rng.permutation(coffees)]
    for among in [*((coffee,) for coffee in further), *(tuple(range(coffees)) for _ in range(repeats))]:
        choices = [
            (place, coffee)
            for place in range(len(order) + 1)
            for coffee in among
            if coffees == 2 or coffee not in order[max(place - 1, 0) : place + 1]
        ]
        place, coffee = choices[int(rng.integers(len(choices)))]
        order.insert(place, coffee)
    return tuple(order)


def next_row(coffees: int, served: Sequence[int], rng: np.random.Generator | int | None) -> int:
    """Draw a row of the Williams square among those that were served least often.

    So the orders are balanced after every full round of rows, and none can be told in advance.

    Parameters
    ----------
    coffees : int
    served : sequence of int
        The rows of earlier tastings of as many coffees.
    rng : numpy.random.Generator or seed
    """
    counts = [list(served).count(row) for row in range(len(williams(coffees)))]
    least = [row for row, count in enumerate(counts) if count == min(counts)]
    return least[int(np.random.default_rng(rng).integers(len(least)))]


def _check(coffees: int, repeats: int, cups: int) -> None:
    if not FEWEST <= coffees <= MOST:
        raise ValueError(f"A table takes {FEWEST} to {MOST} coffees, not {coffees}.")
    if not 0 <= repeats <= MOST_REPEATS:
        raise ValueError(f"The number of hidden repeats is {repeats}; it must be 0 to {MOST_REPEATS}.")
    if not 1 <= cups <= 4 or coffees * cups + repeats > MOST_CUPS:
        raise ValueError(
            f"{coffees} coffees with {cups} cups each are {coffees * cups} cups and up to {MOST_REPEATS} repeats; "
            f"more than {MOST_CUPS} cups tire the palate, so take fewer."
        )
