"""The six orders in which a triad can be served."""

import numpy as np

from redolent.triangle.binomial import whole

ORDERS = ("AAB", "ABA", "BAA", "ABB", "BAB", "BBA")


def draw_orders(n: int, rng: np.random.Generator | int | None) -> list[str]:
    """Draw an order for each of `n` triads of one taster, independently and uniformly.

    Parameters
    ----------
    n : int
        Number of triads, 1 or more.
    rng : numpy.random.Generator or seed

    Notes
    -----
    The orders of one taster are never balanced in blocks. The exact binomial test needs triads in which the
    odd cup stands in each place with probability 1/3, whatever went before. In balanced blocks it does not:
    for a taster who spreads the answers evenly over the three places, as many do, one lucky guess makes the
    next one likelier to be right. The mean stays, the spread grows, and the test says "difference" too often:
    with three blocks of six and a minimum of 10 correct, in 6.0 % of runs of pure guessing instead of 4.3 %.
    Balance belongs across tasters, where ISO 4120 asks for it.
    """
    n = whole("The number of triads", n, least=1)
    return np.random.default_rng(rng).choice(ORDERS, size=n).tolist()


def draw_panel_orders(tasters: int, n: int, rng: np.random.Generator | int | None) -> list[list[str]]:
    """Draw an order for each of `n` triads of each taster of a panel, balanced across the tasters.

    Of every six tasters each has another of the six orders at the same triad; of the rest no two share one. Each
    taster's own orders stay independent and uniform.

    Parameters
    ----------
    tasters, n : int
        Numbers of tasters and of triads for each, 1 or more.
    rng : numpy.random.Generator or seed

    Returns
    -------
    list of list of str
        The `n` orders of each taster.

    Notes
    -----
    ISO 4120 asks that the six orders come equally often. Shuffled anew for each triad, they tell a taster nothing from
    one triad to the next. Counts of several tasters at the same triad are no longer quite independent: tasters with the
    same leaning to one place are right a little more evenly than the binomial has it, which makes its test cautious.
    """
    tasters, n = whole("The number of tasters", tasters, least=1), whole("The number of triads", n, least=1)
    rng = np.random.default_rng(rng)
    blocks = -(-tasters // len(ORDERS))
    each = [np.concatenate([rng.permutation(ORDERS) for _ in range(blocks)])[:tasters] for _ in range(n)]
    return np.array(each).T.tolist()


def odd_position(order: str) -> int:
    """Give the place of the odd cup, 1 to 3 from left to right."""
    if order not in ORDERS:
        raise ValueError(f"{order!r} is not an order of a triad; the six are {', '.join(ORDERS)}.")
    return order.index(min(order, key=order.count)) + 1
