"""The sheets of a tasting: files that the kernel writes and no widget carries."""

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from redolent.blind import Seal
from redolent.journal import Journal, Plan, Taster
from redolent.tasting import day_name, pourer_sheet, table_sheet
from redolent.tasting.units import write_mass, write_volume

_STEMS = {"table": "tasting table", "key": "tasting pourer's key"}


def name_table_sheet(kind: str, started: datetime) -> str:
    """Name a sheet after the tasting's time: nothing that people typed goes into a file name."""
    return f"{_STEMS[kind]} {started:%Y-%m-%d %H%M%S}.html"


def write_table_sheets(
    journal: Journal, plan: Plan, folder: Path, *, taster: Taster, started: datetime, names: Mapping[str, str]
) -> None:
    """Write what is missing of the table sheet and, where somebody pours, of the pourer's key.

    Parameters
    ----------
    journal : Journal
    plan : Plan
    folder : Path
    taster : Taster
    started : datetime
        When the tasting began.
    names : mapping of str to str
        The coffee of each letter of the key.
    """
    kinds = ["table"] if plan.setup.get("way") == "self-reported" else ["table", "key"]
    paths = {kind: folder / name_table_sheet(kind, started) for kind in kinds}
    if all(path.exists() for path in paths.values()):
        return
    sealed = journal.pourer_plan(plan.tasting_id)
    codes, unit = sealed.key["codes"], plan.setup.get("temperature", "°C")
    about = {"taster": taster.name, "day": day_name(started), "temperature": unit}
    paths["table"].write_text(table_sheet(codes, plan.commitment, **about), encoding="utf-8")
    if "key" in kinds:
        secret = pourer_sheet(
            codes,
            sealed.key["order"],
            Seal(plan.commitment, sealed.nonce),
            names,
            dose=tell_dose(plan.setup),
            **about,
        )
        paths["key"].write_text(secret, encoding="utf-8")


def tell_dose(setup: Mapping[str, Any]) -> str:
    """Say what goes into a cup, in the units that were chosen."""
    grams, unit = setup["dose_g"], setup.get("mass", "g")
    mass = f"{grams:g} g" if unit == "g" else write_mass(grams, unit)
    return f"{mass} of coffee and {write_volume(setup['cup_ml'], setup.get('volume', 'ml'))} of water"
