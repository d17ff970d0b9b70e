"""Dates as people write them. Which of two numbers is the day is decided over a whole column."""

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta, timezone
from functools import lru_cache

from redolent.journal.text import shorten

ORDERS = ("day first", "month first")

# English, German, French, Spanish, Italian and Portuguese, by their first letters; from memory.
_MONTHS = (
    """
jan janv ene gen|feb fév fev févr|mar mär mars|apr avr abr|may mai mag maggio|jun juin giu jún|jul juil lug
aug août ago aoû|sep sept set|oct okt ott out|nov|dec dez déc dic
""".replace("\n", "|")
    .strip("|")
    .split("|")
)
_MONTH = {name: number for number, names in enumerate(_MONTHS, 1) for name in names.split()}

_ISO = re.compile(r"(?P<y>\d{4})[-/.](?P<m>\d{1,2})[-/.](?P<d>\d{1,2})(?!\d)", re.ASCII)
_NUMBERS = re.compile(r"(?P<a>\d{1,2})(?P<by>[-/.])\s?(?P<b>\d{1,2})(?P=by)\s?(?P<y>\d{4}|\d{2})(?!\d)", re.ASCII)
_DAY_NAME = re.compile(
    r"(?P<d>\d{1,2})(?:st|nd|rd|th|\.|º)?[ -](?:de |of )?(?P<m>[^\W\d_]{3,10})\.?,?[ -](?:de )?(?P<y>\d{4})(?!\d)"
)
_NAME_DAY = re.compile(r"(?P<m>[^\W\d_]{3,10})\.? (?P<d>\d{1,2})(?:st|nd|rd|th)?,? (?P<y>\d{4})(?!\d)")
_SHAPES = (_ISO, _NUMBERS, _DAY_NAME, _NAME_DAY)
_TIME = re.compile(
    r"(?P<h>\d{1,2})[:.h](?P<m>\d{2})(?:[:.](?P<s>\d{2})(?:[.,]\d{1,9})?)?\s?(?P<half>[ap]\.?m\.?)?"
    r"\s?(?P<zone>Z|[+-]\d{2}:?\d{2})?",
    re.ASCII | re.IGNORECASE,
)
_WEEKDAY = re.compile(r"[^\W\d_]{2,10}\.?,? (?=\d|[^\W\d_])")


def find_date(text: str) -> tuple[str, str] | None:
    """Cut a text after the date that it begins with; None where it begins with none."""
    start = _WEEKDAY.match(text)
    for offset in {0, start.end() if start else 0}:
        for shape in _SHAPES:
            found = shape.match(text, offset)
            if found and ("m" not in found.groupdict() or found["m"].isdigit() or _month(found["m"])):
                return text[offset : found.end()], text[found.end() :]
    return None


def guess_order(texts: Iterable[str]) -> str | None:
    """Tell whether a column writes the day or the month first.

    Parameters
    ----------
    texts : iterable of str

    Returns
    -------
    {"day first", "month first", "either", None}
        "either" where no date depends on it; None where it cannot be told.
    """
    votes: set[str] = set()
    open_question = False
    for text in texts:
        cut = find_date(text.strip())
        found = _NUMBERS.fullmatch(cut[0]) if cut else None
        if found is None or _ISO.fullmatch(found[0]):
            continue
        first, second = int(found["a"]), int(found["b"])
        if first > 12 >= second:
            votes.add("day first")
        elif second > 12 >= first:
            votes.add("month first")
        elif found["by"] == ".":
            # Common practice, no source: dots stand where the day comes first.
            votes.add("day first")
        elif first != second:
            open_question = True
    if len(votes) == 1:
        return votes.pop()
    return None if votes or open_question else "either"


@lru_cache(maxsize=100_000)
def read_moment(text: str, clock: str = "", order: str = "day first") -> datetime:
    """Read a date, with its time of day where there is one; noon where there is none.

    Parameters
    ----------
    text, clock : str
        The date (a time may follow it), and the time where that stands elsewhere.
    order : {"day first", "month first"}

    Returns
    -------
    datetime
        Aware where the text names an offset, else without a zone: local time.

    Raises
    ------
    ValueError
        Where it is no date or no time.
    """
    cut = find_date(text.strip())
    if cut is None:
        raise ValueError(f"{shorten(text)} is no date")
    day = _read_day(cut[0], order)
    rest = cut[1].strip(" ,T\t") or clock.strip()
    if not rest:
        return datetime.combine(day, time(12))
    found = _TIME.fullmatch(rest)
    if found is None:
        raise ValueError(f"{shorten(rest)} is no time of day")
    hour = int(found["h"])
    if found["half"]:
        if not 1 <= hour <= 12:
            raise ValueError(f"{shorten(rest)} is no time of day")
        hour = hour % 12 + (12 if found["half"][0] in "pP" else 0)
    try:
        return datetime.combine(day, time(hour, int(found["m"]), int(found["s"] or 0)), _zone(found["zone"]))
    except ValueError:
        raise ValueError(f"{shorten(rest)} is no time of day") from None


def read_day(text: str, order: str = "day first") -> date:
    """Read a date alone.

    Raises
    ------
    ValueError
        Where it is none.
    """
    return read_moment(text, "", order).date()


def _read_day(text: str, order: str) -> date:
    for shape in _SHAPES:
        if found := shape.fullmatch(text):
            break
    else:
        raise ValueError(f"{shorten(text)} is no date")
    if shape is _NUMBERS:
        day, month = (found["a"], found["b"]) if order == "day first" else (found["b"], found["a"])
    else:
        day, month = found["d"], found["m"]
    year = int(found["y"]) + (2000 if len(found["y"]) == 2 else 0)
    try:
        return date(year, int(month) if month.isdigit() else _month(month) or 0, int(day))
    except ValueError:
        raise ValueError(f"there is no day {shorten(text)}, with the {order}") from None


def _month(name: str) -> int | None:
    name = name.casefold()
    return next((_MONTH[name[:length]] for length in (4, 3) if name[:length] in _MONTH), None)


def _zone(text: str | None) -> timezone | None:
    if not text:
        return None
    if text in "Zz":
        return UTC
    digits = text[1:].replace(":", "")
    offset = timedelta(hours=int(digits[:2]), minutes=int(digits[2:]))
    return timezone(-offset if text[0] == "-" else offset)
