"""One taster's journal, or one tasting, as one file to hand to somebody else. Checksummed, not authenticated."""

from pathlib import Path

from redolent.journal import tables
from redolent.journal.export import read_lines, write_lines
from redolent.journal.journal import Journal
from redolent.journal.tables import Row, Tables

# What is about this machine, and stays on it.
_HOME = ("draft", "collected", "set_aside", "tombstone")

# A label made unlike another one here goes as its owner wrote it.
LABELS = {"taster": "name", "serving": "code"}


def share(
    journal: Journal,
    path: Path,
    *,
    taster_id: str | None = None,
    tasting_id: str | None = None,
    blank: bool = False,
) -> dict[str, int]:
    """Write what is one taster's, or belongs to one tasting, or both, as one file.

    Parameters
    ----------
    journal : Journal
    path : Path
        It must not be there yet.
    taster_id, tasting_id : str, optional
        One of them, or both for what a taster wrote at a tasting.
    blank : bool
        Only the table of the tasting, to be tasted by others: codes, no coffees, nothing that a taster wrote.

    Returns
    -------
    dict of str to int
        The number of rows by table.

    Raises
    ------
    ValueError
        Where neither is named, one is not in the journal, or the place is taken.
    """
    if taster_id is None and tasting_id is None:
        raise ValueError("Say whose journal, or which tasting, is to be shared.")
    with journal._read() as session:
        content = tables.dump(session)
    for name, wanted in (("taster", taster_id), ("tasting", tasting_id)):
        if wanted is not None and all(row["id"] != wanted for row in content[name]):
            raise ValueError(f"The journal has no {name} with the id {wanted!r}.")
    chosen = choose(as_shared(content), taster_id=taster_id, tasting_id=tasting_id, blank=blank)
    write_lines(path, chosen, "share")
    return {name: len(rows) for name, rows in chosen.items() if rows}


def read_share(path: Path) -> Tables:
    """Read what `share` or `export` wrote as one file, checked.

    Raises
    ------
    ValueError
        Where anything in it is not what it must be.
    """
    content = as_shared(read_lines(path, "share", "export"))
    tables.check(content)
    return content


def as_shared(content: Tables) -> Tables:
    """Leave out what is about one machine, and labels as they were made unlike there."""
    return {name: [_unlabelled(name, row) for row in rows] for name, rows in content.items() if name not in _HOME}


def choose(content: Tables, *, taster_id: str | None, tasting_id: str | None, blank: bool = False) -> Tables:
    """Pick the rows that go: what a taster wrote, the whole tables it was written at, and all that these refer to."""
    tasters, tastings = trace(content, "taster"), trace(content, "tasting")
    every = [(table, row[tables.key(tables.by_name()[table])]) for table, rows in content.items() for row in rows]
    picked = {
        place
        for place in every
        if place in tasters
        and not blank
        and taster_id in (None, tasters[place])
        and tasting_id in (None, tastings.get(place))
    }
    if taster_id is not None and not blank:
        picked.add(("taster", taster_id))
    at = {tastings[place] for place in picked if place in tastings} | ({tasting_id} - {None})
    picked |= {place for place in every if place not in tasters and tastings.get(place) in at}
    if blank:
        content = content | {"serving": [row | {"coffee_id": None} for row in content["serving"]]}
    return _with_references(content, picked)


def without(content: Tables, forgotten: set[str]) -> Tables:
    """Leave out tasters who are to stay forgotten, and the tables at which nobody else wrote."""
    tasters, tastings = trace(content, "taster"), trace(content, "tasting")
    if not forgotten & set(tasters.values()):
        return content
    others = {place for place, owner in tasters.items() if owner not in forgotten}
    at = {tastings[place] for place in others if place in tastings}
    mine = {tastings[place] for place in tasters.keys() - others if place in tastings} - at
    common = {place for place, tasting in tastings.items() if place not in tasters and tasting not in mine}
    return _with_references(content, others | common)


def _with_references(content: Tables, picked: set[tuple[str, str]]) -> Tables:
    chosen: Tables = {}
    for table in reversed(tables.ordered()):
        name, key = table.name, tables.key(table)
        chosen[name] = [row for row in content.get(name, []) if (name, row[key]) in picked]
        for column, other in tables.references(table):
            picked |= {(other, row[column]) for row in chosen[name]}
    return chosen


def trace(content: Tables, root: str) -> dict[tuple[str, str], str]:
    """Give the row of the table `root` to which each row belongs, by table and id; rows of nobody are left out."""
    belongs: dict[tuple[str, str], str] = {}
    for table in tables.ordered():
        key = tables.key(table)
        for row in content.get(table.name, []):
            up = [belongs.get((other, row[column])) for column, other in tables.references(table)]
            owner = row[key] if table.name == root else next((one for one in up if one is not None), None)
            if owner is not None:
                belongs[table.name, row[key]] = owner
    return belongs


def _unlabelled(name: str, row: Row) -> Row:
    label = LABELS.get(name)
    return row | {label: tables.own_label(row["id"], row[label])} if label else row
