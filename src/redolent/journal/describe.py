"""The document of the exported tables, made from the schema: ``python -m redolent.journal.describe``."""

import inspect

from sqlalchemy import Table

from redolent.journal import schema, tables

_INTRODUCTION = """\
# The tables of a journal

Made from the schema by `python -m redolent.journal.describe`; a test keeps it true.

`redolent export` writes them as a folder of CSV or Parquet files, a file a table, with a `datapackage.json` (Data
Package and Table Schema, specs.frictionlessdata.io), or as one JSON Lines file: a line that says what it is, how many
rows follow and their SHA-256, then `{"table": …, "row": {…}}` a line. `redolent import` reads each back, exactly.

- **text** is as it was typed, except that U+0000, lone surrogates and U+241B are written as U+241B and four
  hexadecimal digits (`␛0000`).
- **moment** is UTC in ISO 8601, to the microsecond; `utc_offset` beside it is the minutes that local time was ahead.
- CSV is UTF-8 with a byte order mark, commas, CR LF, every text in quotes. A text that a spreadsheet would run (it
  begins with `=`, `+`, `-`, `@`, their full-width twins, tab, CR or LF) or that begins with an apostrophe has an
  apostrophe put before it; take one away to get the text. An empty cell is a missing value; where a value may be
  missing, the empty text is a lone apostrophe.
- A triangle run whose key is sealed still, and a tasting's key before its reveal, are not exported, with whatever
  refers to them.
"""


def document() -> str:
    """Write the document, in Markdown."""
    return "\n".join([_INTRODUCTION, *map(_describe, tables.ordered())])


def _describe(table: Table) -> str:
    mapper = next(m for m in schema.Base.registry.mappers if m.local_table is table)
    refers = dict(tables.references(table))
    lines = [
        f"## {table.name}",
        "",
        inspect.getdoc(mapper.class_) or "",
        "",
        "| column | type | may be missing | |",
        "|---|---|---|---|",
    ]
    for column in table.columns:
        about = ["key"] if column.primary_key else []
        about += [f"refers to `{refers[column.name]}`"] if column.name in refers else []
        about += ["sealed until the reveal"] if column.name in tables.sealed(table) else []
        missing = "yes" if column.nullable else "no"
        lines.append(f"| `{column.name}` | {tables.kind(column)} | {missing} | {', '.join(about)} |")
    alone = [" and ".join(f"`{name}`" for name in columns) for columns in tables.unique(table)]
    return "\n".join([*lines, "", *(f"No two rows share {one}.\n" for one in alone)])


if __name__ == "__main__":
    import sys

    sys.stdout.buffer.write(document().encode("utf-8"))
