"""How hot water gets at an altitude, and how long it stands before it is poured."""

from dataclasses import dataclass
from math import exp, log

TARGET = (92.0, 96.0)
"""°C of the water as it is poured (198 to 205 °F; common practice, no source)."""

LOWEST, HIGHEST = -500.0, 6000.0

# ISO 2533:1975, the troposphere.
_SEA_LEVEL_PA, _SEA_LEVEL_K, _LAPSE_K_PER_M = 101_325.0, 288.15, 0.0065
_GRAVITY, _GAS, _EARTH_M = 9.80665, 287.05287, 6_356_766.0

# Wagner & Pruss (1993), Eq. 1; IAPWS SR1-86(1992).
_CRITICAL_K, _CRITICAL_PA = 647.096, 22.064e6
_TERMS = (
    (-7.85951783, 1.0),
    (1.84408259, 1.5),
    (-11.7866497, 3.0),
    (22.6807411, 3.5),
    (-15.9618719, 4.0),
    (1.80122502, 7.5),
)

_ROOM_C = 21.0
_KETTLE_PER_MIN = 0.035  # a litre in a kettle with its lid open; common practice, no source: kettles differ twofold
_STRAIGHT = 0.5  # minutes: less than this is no wait


def air_pressure(altitude_m: float) -> float:
    """Give the air pressure in Pa of the standard atmosphere.

    p = p0 (1 − 0.0065 H / T0) ^ (g / (0.0065 R)), with the geopotential altitude H = r h / (r + h).

    Parameters
    ----------
    altitude_m : float
        Geometric altitude h, −500 to 6,000 m.

    Raises
    ------
    ValueError
        Where it lies outside.

    References
    ----------
    ISO 2533:1975, Standard Atmosphere.
    """
    if not LOWEST <= altitude_m <= HIGHEST:
        raise ValueError(f"The altitude is {altitude_m:g} m; give {LOWEST:g} to {HIGHEST:g} m.")
    height = _EARTH_M * altitude_m / (_EARTH_M + altitude_m)
    return _SEA_LEVEL_PA * (1 - _LAPSE_K_PER_M * height / _SEA_LEVEL_K) ** (_GRAVITY / (_LAPSE_K_PER_M * _GAS))


def vapour_pressure(celsius: float) -> float:
    """Give the pressure in Pa of water vapour over water, 0.01 to 373 °C.

    ln(p / pc) = (Tc / T) (a1 τ + a2 τ^1.5 + a3 τ^3 + a4 τ^3.5 + a5 τ^4 + a6 τ^7.5), with τ = 1 − T / Tc.

    References
    ----------
    Wagner & Pruss (1993), International equations for the saturation properties of ordinary water substance,
    J. Phys. Chem. Ref. Data 22: 783–787, Eq. 1.
    """
    kelvin = celsius + 273.15
    tau = 1 - kelvin / _CRITICAL_K
    return _CRITICAL_PA * exp(_CRITICAL_K / kelvin * sum(a * tau**power for a, power in _TERMS))


def boiling_point(altitude_m: float) -> float:
    """Give the temperature in °C at which water boils at an altitude: where its vapour holds up the air.

    The weather moves it by some 0.5 °C either way. `air_pressure` says what is refused.
    """
    pressure = air_pressure(altitude_m)
    low, high = 60.0, 120.0
    while high - low > 1e-6:
        middle = (low + high) / 2
        low, high = (middle, high) if vapour_pressure(middle) < pressure else (low, middle)
    return (low + high) / 2


def minutes_off_boil(boiling_c: float, target_c: float, room_c: float = _ROOM_C) -> float:
    """Estimate how long water stands off the boil, lid open, until it has cooled to a target; 0 where it is below.

    Newton's law with a rate that is common practice for a litre in a kettle, no source; a thermometer knows better.
    """
    if target_c >= boiling_c:
        return 0.0
    return log((boiling_c - room_c) / (target_c - room_c)) / _KETTLE_PER_MIN


@dataclass(frozen=True, slots=True)
class Water:
    """What the altitude allows.

    Attributes
    ----------
    altitude_m, boiling_c : float
    low_c, high_c : float
        The target.
    wait : tuple of float
        Minutes off the boil, shortest and longest, estimated; (0, 0) where the water is poured at once.
    """

    altitude_m: float
    boiling_c: float
    low_c: float
    high_c: float
    wait: tuple[float, float]

    @property
    def straight(self) -> bool:
        """Whether the water is poured straight off the boil."""
        return self.wait == (0.0, 0.0)

    @property
    def advice(self) -> str:
        """What to do, in a sentence or two."""
        boils = f"Water boils at {self.boiling_c:.1f} °C here"
        if self.boiling_c < self.low_c:
            return (
                f"{boils}, below the target of {self.low_c:.0f} to {self.high_c:.0f} °C: pour straight off the boil, "
                "and warm the cups first."
            )
        if self.straight:
            return f"{boils}, within the target: pour straight off the boil."
        shortest, longest = self.wait
        return (
            f"{boils}: let it stand off the boil, lid open, until a thermometer shows {self.low_c:.0f} to "
            f"{self.high_c:.0f} °C. Without a thermometer wait {_minutes(shortest)} to {_minutes(longest)} minutes "
            "(an estimate for a litre; less water cools faster)."
        )


def plan_water(altitude_m: float = 0.0, target: tuple[float, float] = TARGET) -> Water:
    """Say how hot the water gets and how long it stands.

    Where water boils below the top of the target it is poured straight off the boil.

    Raises
    ------
    ValueError
        Where the altitude lies outside −500 to 6,000 m.
    """
    low, high = target
    boiling = boiling_point(altitude_m)
    wait = minutes_off_boil(boiling, high), minutes_off_boil(boiling, low)
    return Water(altitude_m, boiling, low, high, wait if wait[0] >= _STRAIGHT else (0.0, 0.0))


def _minutes(minutes: float) -> str:
    halves = round(2 * minutes)
    return f"{halves // 2 or ''}{'½' if halves % 2 else ''}" or "0"
