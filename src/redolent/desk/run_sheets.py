"""The sheets of a triangle run: files that the kernel writes and no widget carries."""

from pathlib import Path

from redolent.blind import Seal
from redolent.journal import Journal, Run
from redolent.tasting import day_name
from redolent.triangle import pourer_sheet, table_sheet

_STEMS = {"table": "table sheet", "key": "pourer's key"}


def name_sheet(kind: str, run: Run) -> str:
    """Name a sheet after the run's time: nothing that people typed goes into a file name."""
    return f"{_STEMS[kind]} {run.started_at:%Y-%m-%d %H%M%S}.html"


def write_sheets(journal: Journal, run: Run, folder: Path) -> None:
    """Write what is missing of the table sheet and, where somebody pours, of the pourer's key."""
    kinds = ["table"] if run.blinding == "self-reported" else ["table", "key"]
    if all((folder / name_sheet(kind, run)).exists() for kind in kinds):
        return
    key = journal.pourer_key(run.id)
    names = {coffee.id: coffee.name for coffee in journal.coffees()}
    taster = next(taster.name for taster in journal.tasters() if taster.id == run.taster_id)
    about = {"taster": taster, "day": day_name(run.started_at)}
    sheet = table_sheet(key.codes, run.commitment, **about)
    (folder / name_sheet("table", run)).write_text(sheet, encoding="utf-8")
    if "key" in kinds:
        secret = pourer_sheet(
            key.codes,
            [order for order in key.orders if order is not None],
            Seal(run.commitment, key.nonce),
            coffee_a=names[run.coffee_a_id],
            coffee_b=names[run.coffee_b_id],
            **about,
        )
        (folder / name_sheet("key", run)).write_text(secret, encoding="utf-8")
