"""Three-digit codes for cups: random, and none that says anything."""

from collections.abc import Iterable

import numpy as np

# Numbers that people give a meaning to. The list is not complete; a code left out of the draw costs nothing.
MEANINGFUL = frozenset(
    str(number)
    for number in (
        *(101, 201, 202, 303, 404, 502, 505, 707, 747, 808, 909),  # lessons, errors, aircraft, machines
        *(110, 112, 113, 115, 117, 118, 119, 143, 187, 211, 311, 411, 511, 611),  # calls and signs
        *(711, 811, 911, 988, 991, 995, 997, 998),  # more of them
        *(108, 131, 156, 250, 313, 316, 420, 520, 521, 613, 616, 690, 786, 969),  # luck, faith, insult, habit
        *(180, 270, 314, 360, 365, 366),  # turns, pi, days of a year
        *(125, 150, 350, 750),  # portions and parts
        *(205, 212, 247, 451, 795),  # water in °F, round the clock, a book, a coffee variety
    )
)


def says_something(code: str) -> bool:
    """Tell whether a three-digit code could sway a taster.

    It could where

    - all digits are the same (111, 777),
    - the digits run up or down in steps of one (123, 987),
    - it is a round hundred (100, 500), or
    - people give it a meaning of its own (`MEANINGFUL`: 101, 112, 404, 420, 911; 666 and 999 fall under the
      first rule).
    """
    first, second, third = map(int, code)
    steps = (second - first, third - second)
    return steps in {(0, 0), (1, 1), (-1, -1)} or code.endswith("00") or code in MEANINGFUL


CODES = tuple(code for code in map(str, range(100, 1000)) if not says_something(code))


def draw_codes(n: int, rng: np.random.Generator | int | None, taken: Iterable[str] = ()) -> list[str]:
    """Draw codes at random, each one once, from 100 to 999 without those that say something.

    Parameters
    ----------
    n : int
        How many.
    rng : numpy.random.Generator or seed
    taken : iterable of str
        Codes that are on the table already.

    Raises
    ------
    ValueError
        Where `n` is negative or fewer than `n` codes are left.

    Notes
    -----
    ISO 4120 asks for three-digit codes, drawn at random for each test, each used once for a taster in a
    sitting.
    """
    if n < 0:
        raise ValueError(f"The number of codes is {n}; it must be 0 or more.")
    taken = set(taken)
    free = [code for code in CODES if code not in taken]
    if n > len(free):
        raise ValueError(f"{n} codes are wanted and {len(free)} are left; split the cups over two sittings.")
    return np.random.default_rng(rng).choice(free, size=n, replace=False).tolist()
