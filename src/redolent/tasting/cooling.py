"""How a cup cools: Newton's law, fitted to the readings of a thermometer."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, isfinite, log, sqrt

import numpy as np

SAFE_C = 65.0
"""Above it a cup is very hot (IARC Monographs 116, 2018; Loomis et al. 2016, Lancet Oncology 17: 877–878)."""

ROOM_C = 21.0
THERMOMETER_SD = 1.0  # °C, a kitchen thermometer and where its tip is held (common practice, no source)

# Before two readings say better (common practice, no source): the slurry just after the pour, and the rate of a
# cup of 150 to 250 ml, each with a spread that covers thin and thick cups.
_START_C, _START_SD = 88.0, 4.0
_RATE, _RATE_SD = 0.035, 0.012
_Z, _ONE_SIDED, _GUESSED = 1.96, 1.645, 0.842  # normal quantiles of 0.975, 0.95 and 0.8


@dataclass(frozen=True, slots=True)
class Cooling:
    """A cup as it cools: T(t) = room + excess · exp(−rate · t).

    Attributes
    ----------
    room_c : float
    log_excess : float
        Natural logarithm of the °C above the room at the pour.
    rate : float
        Per minute.
    covariance : tuple of three float
        Variance of `log_excess`, covariance, variance of `rate`.
    readings : int
        Of the thermometer.
    """

    room_c: float
    log_excess: float
    rate: float
    covariance: tuple[float, float, float]
    readings: int

    def temperature(self, minutes: float) -> tuple[float, float, float]:
        """Give the expected temperature in °C and the ends of its 95 % interval, at `minutes` after the pour."""
        middle = self.log_excess - self.rate * minutes
        a, ab, b = self.covariance
        spread = _Z * sqrt(max(a - 2 * minutes * ab + minutes**2 * b, 0))
        return tuple(self.room_c + exp(middle + z) for z in (0, -spread, spread))  # type: ignore[return-value]

    def minutes(self, celsius: float) -> tuple[float, float, float] | None:
        """Give the minutes from the pour to a temperature and the ends of their 95 % interval (delta method).

        None where the cup never gets there, the room being as warm.
        """
        if celsius <= self.room_c:
            return None
        expected = (self.log_excess - log(celsius - self.room_c)) / self.rate
        a, ab, b = self.covariance
        variance = (a - 2 * expected * ab + expected**2 * b) / self.rate**2
        spread = _Z * sqrt(max(variance, 0))
        return tuple(max(expected + z, 0.0) for z in (0, -spread, spread))  # type: ignore[return-value]

    def safe_minutes(self) -> float:
        """Give the minutes after the pour from which the cup is below 65 °C with a probability of 0.95.

        While fewer than two readings are in, 0.8 must do: the guess is so wide that nobody would wait for more.
        """
        expected, _, high = self.minutes(SAFE_C)  # type: ignore[misc]  # no room is as warm as 65 °C
        sd = (high - expected) / _Z
        return expected + (_ONE_SIDED if self.readings >= 2 else _GUESSED) * sd

    @property
    def sureness(self) -> str:
        """Say in a sentence how far to trust it."""
        if self.readings < 2:
            return (
                "A guess from common practice until two thermometer readings are in; "
                "cups differ, so go by touch and take your time."
            )
        spans = self.minutes(50.0)
        if spans is None:
            return "The room is so warm that the cup will not cool to 50 °C."
        expected, low, high = spans
        return (
            f"From {self.readings} readings: 50 °C at about {expected:.0f} min after the pour, "
            f"95 % interval {low:.0f} to {high:.0f} min."
        )


def fit_cooling(readings: Sequence[tuple[float, float]] = (), room_c: float = ROOM_C) -> Cooling:
    """Fit Newton's law of cooling to thermometer readings.

    Weighted least squares on ln(T − room) = log_excess − rate · t. A reading's weight is its (T − room)² over
    the thermometer's variance, since d ln(T − room) = dT / (T − room). With fewer than two readings the usual
    start and rate, with their spread, stand in for what is missing. With more than two the spread of the
    readings about the curve counts where it is more than the thermometer's.

    Parameters
    ----------
    readings : sequence of (float, float)
        Minutes after the cup's pour, and °C.
    room_c : float
        °C of the air.

    Raises
    ------
    ValueError
        Where a reading is no warmer than the room or hotter than water can be, the time is negative, two readings
        are of one moment, or the readings do not fall.
    """
    if not (isfinite(room_c) and -10 <= room_c <= 45):
        raise ValueError(f"The room is {room_c:g} °C; give -10 to 45 °C.")
    for minutes, celsius in readings:
        if not (isfinite(celsius) and room_c + 1 <= celsius <= 101):
            raise ValueError(
                f"A reading of {celsius:g} °C cannot be; give one between the room's {room_c:g} and 101 °C."
            )
        if not (isfinite(minutes) and 0 <= minutes <= 600):
            raise ValueError(f"A reading at {minutes:g} minutes cannot be; read the cup after its pour.")
    rows = [((1.0, -t), log(c - room_c), (c - room_c) / THERMOMETER_SD) for t, c in readings]
    known = len(rows)
    if known < 2:
        rows.append(((0.0, 1.0), _RATE, 1 / _RATE_SD))
        if not known:
            rows.append(((1.0, 0.0), log(_START_C - room_c), (_START_C - room_c) / _START_SD))
    elif len({t for t, _ in readings}) < 2:
        raise ValueError("These readings are of one moment; read the cup again a few minutes later.")
    weights = np.array([weight for *_, weight in rows])
    design = np.array([row for row, *_ in rows]) * weights[:, None]
    target = np.array([value for _, value, _ in rows]) * weights
    (log_excess, rate), *_ = np.linalg.lstsq(design, target, rcond=None)
    if rate <= 1e-4:
        raise ValueError("These readings do not fall; check their order and the thermometer.")
    covariance = np.linalg.inv(design.T @ design)
    if known > 2:
        residual = target - design @ np.array([log_excess, rate])
        covariance = covariance * max(1.0, float(residual @ residual) / (known - 2))
    return Cooling(
        room_c,
        float(log_excess),
        float(rate),
        (float(covariance[0, 0]), float(covariance[0, 1]), float(covariance[1, 1])),
        known,
    )
