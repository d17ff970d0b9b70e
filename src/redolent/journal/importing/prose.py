"""Notes in Markdown or plain text, where a line with a date begins a day.

A heading that is no date names the coffee. ``Taster: …`` and the like hold from there on; ``hot: …`` is a note of that
stage. ``Name: …`` with a short name is a note on that coffee. A list item is a note; so is a paragraph. A table is read
row by row.
"""

import io
import re

from redolent.journal.importing.columns import field_of, stage_of
from redolent.journal.importing.dates import find_date

Record = dict[str, str]

_HEADING = re.compile(r"#{1,6}\s(.*)")
_ITEM = re.compile(r"(?:[-*+•]|\d{1,3}[.)])\s+(.*)")
_KEY = re.compile(r"\**([^:|*]{1,40}?)\**\s?:\**\s+(.+)")
_RULE = re.compile(r"\|?\s*:?-{3,}:?\s*(?:\|\s*:?-{3,}:?\s*)*\|?")
_UNDERLINE = re.compile(r"[-=_*]{3,}")


def read_prose(text: str) -> list[tuple[int, Record]]:
    """Give a record a note, with the number of its line."""
    reader = _Reader()
    previous = None
    number = 0
    for number, line in enumerate(io.StringIO(text, newline=None), 1):
        if previous is not None:
            reader.read(number - 1, previous, line.strip())
        previous = line.strip()
    if previous is not None:
        reader.read(number, previous, "")
    return [(number, {name: "\n".join(lines) for name, lines in record.items()}) for number, record in reader.records]


class _Reader:
    def __init__(self) -> None:
        self.records: list[tuple[int, dict[str, list[str]]]] = []
        self.context: Record = {}
        self.table: list[str] | None = None
        self.paragraph = False

    def read(self, number: int, line: str, following: str) -> None:
        if self.table is not None and "|" in line:
            if not _RULE.fullmatch(line):
                self._add(number, dict(zip(self.table, _cells(line), strict=False)))
            return
        self.table = None
        if "|" in line and _RULE.fullmatch(following) and "|" in following:
            self.table = [field_of(name) or stage_of(name) or name for name in _cells(line)]
        elif not line or _UNDERLINE.fullmatch(line):
            self.paragraph = False
        elif heading := _HEADING.fullmatch(line):
            self._head(heading[1].strip(" #"))
        elif item := _ITEM.fullmatch(line):
            self.paragraph = False
            self._note(number, item[1])
        else:
            self._note(number, line)

    def _head(self, line: str) -> None:
        self.paragraph = False
        if cut := find_date(line):
            rest = cut[1].strip(" ,:–—-")
            self.context = {k: v for k, v in self.context.items() if k == "taster"} | {"date": cut[0]}
            self.context |= {"tasting": rest} if rest else {}
        elif stage := stage_of(line):
            self.context["stage"] = stage
        elif key := _KEY.fullmatch(line):
            self.context[field_of(key[1]) or "coffee"] = key[2] if field_of(key[1]) else line
        else:
            self.context["coffee"] = line
            self.context.pop("stage", None)

    def _note(self, number: int, line: str) -> None:
        if cut := find_date(line):
            rest = cut[1].strip(" ,:–—-")
            self.context = {k: v for k, v in self.context.items() if k == "taster"} | {"date": cut[0]}
            self.paragraph = False
            if rest:
                self._note(number, rest)
            return
        key = _KEY.fullmatch(line)
        if key and (stage := stage_of(key[1])):
            self._add(number, {"stage": stage, "note": key[2]})
        elif key and (field := field_of(key[1])):
            if field == "note":
                self._add(number, {"note": key[2]})
            else:
                self.context[field] = key[2]
                self.paragraph = False
        elif key and key[1][:1].isupper() and "," not in key[1] and len(key[1].split()) <= 5:
            self._add(number, {"coffee": key[1].strip(), "note": key[2]})
        elif self.paragraph and self.records:
            self.records[-1][1]["note"].append(line)
        else:
            self._add(number, {"note": line})
            self.paragraph = True

    def _add(self, number: int, record: Record) -> None:
        self.records.append((number, {name: [text] for name, text in (self.context | record).items()}))
        self.paragraph = "note" in record


def _cells(line: str) -> list[str]:
    return [cell.strip().replace("\\|", "|") for cell in re.split(r"(?<!\\)\|", line.strip("|"))]
