"""Which column holds what: told by its name, else by what stands in it."""

import re
import unicodedata
from collections.abc import Callable, Sequence

from redolent.journal.importing.dates import find_date
from redolent.journal.rows import STAGES

# What a column may be called, folded. Common practice, no source.
NAMES = {
    "note": "note|notes|text|tasting note|tasting notes|description|impression|impressions|comment|comments|remarks",
    "date": "date|day|when|dated|tasted on|tasting date|timestamp|datetime|date time|written at|datum|fecha",
    "time": "time|hour|clock|uhrzeit|hora|heure",
    "coffee": "coffee|coffees|bean|beans|lot|sample|coffee name|kaffee|cafe|caffe",
    "stage": "stage|phase|step",
    "taster": "taster|person|who|tasted by|taster name|author|writer",
    "origin": "origin|country|region|farm",
    "process": "process|processing|processed",
    "roast_date": "roast date|roasted|roasted on|roast day",
    "tasting": "tasting|session|sitting|event|tasting name",
    "code": "code|cup code|cup number",
}
STAGE_NAMES = {
    "dry": "dry|dry grounds|dry ground|grounds|ground|fragrance",
    "crust": "crust|wet|wet crust|wet grounds|on the crust",
    "break": "break|the break|breaking|at the break|breaking the crust",
    "hot": "hot|while hot|hot cup",
    "warm": "warm|while warm|lukewarm|warm cup",
    "cool": "cool|cold|cooled|cooled down|cool cup|when cool|at room temperature",
}


def _fold(name: str) -> str:
    if len(name) > 40:
        return ""
    bare = unicodedata.normalize("NFKD", name).casefold()
    return " ".join(re.sub(r"[\W_]+", " ", "".join(c for c in bare if not unicodedata.combining(c))).split())


def _index(names: dict[str, str]) -> dict[str, str]:
    return {name: held for held, listed in names.items() for name in listed.split("|")}


_FIELDS = _index(NAMES)
_STAGES = _index(STAGE_NAMES)


def field_of(name: str) -> str | None:
    """Give the field that a column of this name holds; None where the name says nothing."""
    return _FIELDS.get(_fold(name))


def stage_of(text: str) -> str | None:
    """Give the stage that a word or a column's name means; None where it means none."""
    return _STAGES.get(_fold(text))


def is_header(cells: Sequence[str]) -> bool:
    """Say whether a first row names the columns."""
    if any(field_of(cell) or stage_of(cell) for cell in cells):
        return True
    filled = [cell for cell in cells if cell]
    return len(set(filled)) == len(filled) == len(cells) and not any(
        find_date(cell) or cell[:1].isdigit() or len(cell) > 40 for cell in filled
    )


def guess_columns(columns: Sequence[str], rows: Sequence[Sequence[str]]) -> dict[int, str]:
    """Guess what each column holds.

    Parameters
    ----------
    columns : sequence of str
        Names, as far as there are any.
    rows : sequence of sequence of str
        Enough rows to judge by.

    Returns
    -------
    dict of int to str
        By place, a field of `NAMES`, or a stage where a column holds the notes of that stage.
    """
    found: dict[int, str] = {}
    for place, name in enumerate(columns):
        field = field_of(name) or stage_of(name)
        if field and field not in found.values():
            found[place] = field
    width = max(len(columns), *(len(row) for row in rows), 0) if rows else len(columns)
    left = [place for place in range(width) if place not in found]
    if "date" not in found.values():
        dated = [place for place in left if _share(rows, place, lambda cell: find_date(cell) is not None) > 0.8]
        if len(dated) == 1:
            found[dated[0]] = "date"
            left.remove(dated[0])
    if "note" not in found.values() and not set(found.values()) & set(STAGES):
        worded = [place for place in left if _share(rows, place, lambda cell: len(cell.split()) > 1) > 0.5]
        if len(worded) == 1:
            found[worded[0]] = "note"
    return found


def _share(rows: Sequence[Sequence[str]], place: int, test: Callable[[str], bool]) -> float:
    cells = [row[place] for row in rows if place < len(row) and row[place]]
    return sum(map(test, cells)) / len(cells) if cells else 0.0
