"""Units of the kitchen: what is typed becomes millilitres, grams, metres and °C, and goes back as chosen.

Factors: NIST Special Publication 811 (2008), Appendix B.8, from the exact definitions behind them (the
international pound of 0.45359237 kg, the US gallon of 231 cubic inches, the imperial gallon of 4.54609 l).
"""

import re
from collections.abc import Mapping
from types import MappingProxyType

ML_PER_US_FL_OZ = 29.5735295625
ML_PER_IMPERIAL_FL_OZ = 28.4130625
G_PER_OZ = 28.349523125
M_PER_FT = 0.3048

VOLUMES: Mapping[str, float] = MappingProxyType(
    {"ml": 1.0, "US fl oz": ML_PER_US_FL_OZ, "imperial fl oz": ML_PER_IMPERIAL_FL_OZ}
)
MASSES: Mapping[str, float] = MappingProxyType({"g": 1.0, "oz": G_PER_OZ})

_QUANTITY = re.compile(r"\s*(\d+(?:[.,]\d+)?|[.,]\d+)\s*(.*?)\s*")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_CELSIUS = re.compile(rf"(?:{_NUMBER.pattern} (?:to|and) )?{_NUMBER.pattern} °C")
_VOLUMES = {
    **dict.fromkeys(("", "ml", "millilitre", "millilitres", "milliliter", "milliliters", "cc"), 1.0),
    **dict.fromkeys(("cl", "centilitre", "centilitres"), 10.0),
    **dict.fromkeys(("l", "litre", "litres", "liter", "liters"), 1000.0),
    **dict.fromkeys(("fl oz", "us fl oz", "floz", "fluid ounce", "fluid ounces"), ML_PER_US_FL_OZ),
    **dict.fromkeys(("imp fl oz", "imperial fl oz", "uk fl oz"), ML_PER_IMPERIAL_FL_OZ),
}
_MASSES = {
    **dict.fromkeys(("", "g", "gram", "grams", "gramme", "grammes"), 1.0),
    **dict.fromkeys(("oz", "ounce", "ounces"), G_PER_OZ),
    **dict.fromkeys(("kg",), 1000.0),
}
_LENGTHS = {
    **dict.fromkeys(("", "m", "metre", "metres", "meter", "meters"), 1.0),
    **dict.fromkeys(("ft", "foot", "feet", "'"), M_PER_FT),
}


def parse_volume(text: str) -> float:
    """Read a volume such as ``200ml``, ``7.5 fl oz`` or ``7 imperial fl oz``, in ml.

    A fluid ounce is the US one where nothing else is said; a bare number is millilitres.

    Raises
    ------
    ValueError
        Where it is no volume above 0. Bare ounces are refused: they weigh, and taking 200 ml of water for
        so many ounces of it errs by 4 %.
    """
    number, unit = _split(text, "volume", "200ml or 7.5 fl oz")
    if unit in _MASSES and unit not in _VOLUMES:
        raise ValueError(f"{text.strip()!r} is a weight; give a volume such as 200ml, or 7.5 fl oz for fluid ounces.")
    return _scaled(text, number, unit, _VOLUMES, "volume", "200ml or 7.5 fl oz")


def parse_mass(text: str) -> float:
    """Read a mass such as ``11 g`` or ``0.4 oz`` (avoirdupois), in g; a bare number is grams.

    Raises
    ------
    ValueError
        Where it is no mass above 0.
    """
    number, unit = _split(text, "mass", "11 g or 0.4 oz")
    return _scaled(text, number, unit, _MASSES, "mass", "11 g or 0.4 oz")


def parse_altitude(text: str) -> float:
    """Read an altitude such as ``1600``, ``1600 m`` or ``5200 ft``, in m; it may lie below the sea.

    Raises
    ------
    ValueError
        Where it is no altitude.
    """
    body = text.strip().replace("\N{MINUS SIGN}", "-")
    sign = -1.0 if body.startswith("-") else 1.0
    number, unit = _split(body.lstrip("-"), "altitude", "1600 or 5200 ft")
    if unit not in _LENGTHS:
        raise ValueError(f"{text.strip()!r} is no altitude; give one such as 1600 or 5200 ft.")
    return sign * number * _LENGTHS[unit]


def write_volume(ml: float, unit: str = "ml") -> str:
    """Write a volume in one of `VOLUMES`."""
    return f"{ml:.0f} ml" if unit == "ml" else f"{ml / VOLUMES[unit]:.1f} {unit}"


def write_mass(g: float, unit: str = "g", digits: int = 1) -> str:
    """Write a mass in one of `MASSES`; ounces get two digits more, since one is 28 g."""
    return f"{g:.{digits}f} g" if unit == "g" else f"{g / MASSES[unit]:.{digits + 2}f} oz"


def write_temperature(celsius: float, unit: str = "°C", digits: int = 0) -> str:
    """Write a temperature in °C or °F."""
    return f"{celsius if unit == '°C' else to_fahrenheit(celsius):.{digits}f} {unit}"


def write_celsius(sentence: str, unit: str) -> str:
    """Write the °C of a sentence of ours in the unit that somebody chose, with as many digits."""
    if unit == "°C":
        return sentence

    def write(found: re.Match[str]) -> str:
        return _NUMBER.sub(
            lambda one: f"{to_fahrenheit(float(one[0])):.{len(one[0].partition('.')[2])}f}", found[0]
        ).replace("°C", "°F")

    return _CELSIUS.sub(write, sentence)


def to_fahrenheit(celsius: float) -> float:
    """Convert °C to °F."""
    return celsius * 1.8 + 32


def to_celsius(fahrenheit: float) -> float:
    """Convert °F to °C."""
    return (fahrenheit - 32) / 1.8


def _split(text: str, what: str, example: str) -> tuple[float, str]:
    found = _QUANTITY.fullmatch(text)
    if found is None:
        raise ValueError(f"{text.strip()!r} is no {what}; give one such as {example}.")
    unit = " ".join(found[2].lower().replace(".", " ").replace("-", " ").split())
    return float(found[1].replace(",", ".")), unit.replace("u s ", "us ")


def _scaled(text: str, number: float, unit: str, factors: Mapping[str, float], what: str, example: str) -> float:
    if unit not in factors or not 0 < number < 1e6:
        raise ValueError(f"{text.strip()!r} is no {what}; give one above 0 such as {example}.")
    return number * factors[unit]
