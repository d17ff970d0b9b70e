"""Numbers as findings write them."""

from collections.abc import Sequence

LEAST_P = 0.001


def count(number: int, noun: str, plural: str | None = None) -> str:
    """Give a number with its noun: ``1 serving``, ``12 servings``."""
    return f"{number:,} {noun if number == 1 else plural or noun + 's'}"


def percent(share: float) -> str:
    """Give a share as a whole percentage: ``57 %``; never 0 or 100 unless it is exactly that."""
    whole = round(100 * share)
    if whole in (0, 100) and share not in (0, 1):
        return "under 1 %" if whole == 0 else "over 99 %"
    return f"{whole} %"


def signed(number: float, decimals: int = 2) -> str:
    """Give a number with its decimals and its sign: ``+0.12``, ``−0.03``."""
    return f"{number:+.{decimals}f}".replace("-", "−")


def kinds(number: int, level: str, adjective: str = "") -> str:
    """Give a number of places of a level: ``1 descriptor``, ``12 distinct families``."""
    noun = "families" if level == "family" else f"{level}s"
    return count(number, f"{adjective} {level}".strip(), f"{adjective} {noun}".strip())


def listing(names: Sequence[str]) -> str:
    """Join names as a sentence does: ``a``, ``a and b``, ``a, b and c``."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else list(names))


def p(value: float) -> str:
    """Give a p-value: ``p = 0.02``, ``p = 0.004``, ``p < 0.001``."""
    if value < LEAST_P:
        return f"p < {LEAST_P}"
    # 0.046 rounded to 0.05 would hide on which side of 0.05 it lies.
    return f"p = {value:.3f}" if value < 0.1 else f"p = {value:.2f}"


def small(value: float) -> str:
    """Give a small probability: ``0.17``, ``0.0046``, ``2e-09``."""
    return f"{value:.2g}"


def between(interval: Sequence[float]) -> str:
    """Give an interval of shares: ``43–69 %``."""
    low, high = (round(100 * bound) for bound in interval)
    return f"{low}–{high} %"
