"""Pages for the printer: one HTML document that needs no other file, and whose text is all escaped."""

import re
from collections.abc import Sequence
from html import escape

_STYLE = """
body { color: #1b1f24; background: #fff; font: 15px/1.4 system-ui, sans-serif; max-width: 46rem;
       margin: 1.5rem auto; padding: 0 1rem }
h1 { font-size: 1.5rem; margin: 0 0 .5rem }
ul, ol { padding-left: 1.2rem }
table { border-collapse: collapse; width: 100%; margin: .75rem 0 }
th, td { border: 1px solid #6b7280; padding: .25rem .5rem; text-align: left }
td { font-variant-numeric: tabular-nums; white-space: nowrap }
.seal { font-family: ui-monospace, monospace; overflow-wrap: anywhere }
.secret { border: 2px solid #1b1f24; padding: .5rem; font-weight: 600 }
.small { font-size: .85rem }
@page { margin: 12mm }
@media print {
  body { font-size: 9.5pt; line-height: 1.25; margin: 0; padding: 0; max-width: none }
  p, ul, table { margin: .35rem 0 }
  th, td { padding: .1rem .5rem }
  tr { break-inside: avoid }
}
"""
_UNSHOWABLE = re.compile(r"[\x00-\x1f\x7f-\x9f\ud800-\udfff]")


def document(title: str, *parts: str, style: str = "") -> str:
    """Put parts that are HTML already under a title; neither scripts nor anything from elsewhere may load."""
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta http-equiv="Content-Security-Policy" '
        "content=\"default-src 'none'; style-src 'unsafe-inline'\">"
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{title}</title><style>{_STYLE}{style}</style></head>\n"
        f"<body><h1>{title}</h1>\n" + "\n".join(parts) + "\n</body></html>\n"
    )


def plain(text: str) -> str:
    """Escape text from people. A direction mark in it stays inside its <bdi>; a control character is no text."""
    shown = _UNSHOWABLE.sub("\ufffd", " ".join(text.split()))
    return f"<bdi>{escape(shown)}</bdi>"


def bullets(*sentences: str) -> str:
    """Write a list; its items are HTML already."""
    return "<ul>" + "".join(f"<li>{sentence}</li>" for sentence in sentences) + "</ul>"


def table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Write a table whose rows are numbered under the first head; its cells are HTML already."""
    head = "".join(f'<th scope="col">{name}</th>' for name in heads)
    body = "".join(
        f'<tr><th scope="row">{number}</th>' + "".join(f"<td>{cell}</td>" for cell in row) + "</tr>"
        for number, row in enumerate(rows, 1)
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
