"""Readings and lexicon entries on a terminal."""

import json
import sys
from typing import TextIO

from redolent.cli.terminal import plain
from redolent.lexicon import NO_REFERENCE, Lexicon, Node
from redolent.notes import Reading, read


def split_notes(raw: bytes) -> list[str]:
    r"""Split UTF-8 input into notes, on ``\n`` only; a line end at the very end begins no further note."""
    text = raw.decode("utf-8")
    lines = text.split("\n")
    return lines[:-1] if lines[-1] == "" else lines


def print_json(notes: list[str], out: TextIO | None = None) -> None:
    """Print one JSON object a note."""
    out = out or sys.stdout
    for note in notes:
        # ASCII, so that no terminal's encoding stands between the text and its offsets.
        out.write(json.dumps(read(note).to_dict()) + "\n")


def print_table(notes: list[str], out: TextIO | None = None) -> None:
    """Print each note with its mentions in a table that a person can read."""
    out = out or sys.stdout
    lexicon = Lexicon.load()
    for number, note in enumerate(notes, 1):
        out.write(("" if number == 1 else "\n") + write_reading(read(note), lexicon) + "\n")


def write_reading(reading: Reading, lexicon: Lexicon) -> str:
    """Write one reading as text."""
    rows = [
        (
            plain(m.text),
            lexicon.place(m.node),
            "; ".join([*m.qualities, *([m.how] if m.how in ("spelling", "inferred") else [])]),
        )
        for m in reading.mentions
    ]
    rows += [(plain(word.text), "no place in the lexicon", "") for word in reading.unplaced]
    lines = [plain(reading.text)]
    if not rows:
        return "\n".join([*lines, "  nothing that the lexicon knows"])
    widths = [max(len(row[k]) for row in rows) for k in (0, 1)]
    lines += [f"  {row[0]:<{widths[0]}}  {row[1]:<{widths[1]}}  {row[2]}".rstrip() for row in rows]
    return "\n".join(lines)


def describe(node: Node, lexicon: Lexicon) -> str:
    """Describe a node: its place, definition, other names, and reference."""
    lines = [lexicon.place(node.id), f"  {node.definition}"]
    if node.alt_labels:
        lines.append(f"  also: {', '.join(node.alt_labels)}")
    if node.level == "descriptor":
        lines.append(f"  {node.reference or NO_REFERENCE.capitalize() + '.'}")
    if node.allergens:
        lines.append(f"  allergens: {', '.join(node.allergens)}")
    if node.scope_note:
        lines.append(f"  {node.scope_note}")
    return "\n".join(lines)
