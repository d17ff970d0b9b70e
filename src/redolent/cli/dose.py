"""Dose and water on a terminal."""

import json
from typing import Annotated

import typer

from redolent.cli.terminal import refuse
from redolent.tasting.dose import STRENGTH, Dose, dose_cup
from redolent.tasting.units import parse_altitude, parse_volume, to_fahrenheit
from redolent.tasting.water import Water, plan_water


def dose(
    cup: Annotated[str, typer.Argument(help="The cup: 200ml, '7.5 fl oz' (US), '7 imperial fl oz'.")],
    altitude: Annotated[str, typer.Option(help="Where you are: 1600 (metres) or '5200 ft'.", metavar="ALTITUDE")] = "0",
    scale: Annotated[float, typer.Option(help="What your scale resolves, in g.")] = 0.1,
    strength: Annotated[float, typer.Option(help="Coffee for a litre of water, in g.")] = STRENGTH,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object.")] = False,
) -> None:
    """Say how much coffee a cup takes and how hot the water gets."""
    try:
        taken = dose_cup(parse_volume(cup), strength, scale)
        water = plan_water(parse_altitude(altitude))
    except ValueError as error:
        refuse(str(error))
    typer.echo(json.dumps(summarize(taken, water)) if as_json else write(taken, water))


def summarize(dose: Dose, water: Water) -> dict[str, float | str]:
    """Give dose and water as ``redolent dose --json`` prints them."""
    return {
        "cup_ml": round(dose.cup_ml, 2),
        "dose_g": round(dose.exact_g, 3),
        "dose_rounded_g": dose.rounded_g,
        "rounding_error_percent": round(dose.error_percent, 2),
        "boiling_c": round(water.boiling_c, 2),
        "target_low_c": water.low_c,
        "target_high_c": water.high_c,
        "advice": " ".join(part for part in (dose.warning, water.advice) if part),
    }


def write(dose: Dose, water: Water) -> str:
    """Write dose and water as text."""
    error = dose.error_percent
    rounding = f" (the scale rounds {dose.exact_g:.2f} g, {error:+.1f} %)" if round(error, 1) else ""
    lines = [
        f"Coffee  {dose.rounded_g:g} g for {dose.cup_ml:.0f} ml{rounding}",
        f"        {dose.strength:g} g/l, {dose.per_us_fl_oz:.2f} g a US fl oz",
        *([f"        {dose.warning}"] if dose.warning else []),
        f"Water   {water.low_c:.0f} to {water.high_c:.0f} °C "
        f"({to_fahrenheit(water.low_c):.0f} to {to_fahrenheit(water.high_c):.0f} °F)",
        f"        {water.advice}",
        "        Boiling water and steam burn; taste below 65 °C.",
    ]
    return "\n".join(lines)
