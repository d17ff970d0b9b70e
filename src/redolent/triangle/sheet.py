"""Sheets for a run of triads: one for the table, one for whoever pours, and how to go about it alone."""

import re
from collections.abc import Sequence
from html import escape

from redolent.blind import Seal
from redolent.triangle.binomial import whole
from redolent.triangle.orders import odd_position

CAUTIONS = (
    "Boiling water, steam and hot cups burn: pour slowly and taste below 65 °C.",
    "Caffeine adds up over many cups: spit, or plan fewer; if you are pregnant, breast-feeding, under age or "
    "unsure, ask a professional first.",
)

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
td:last-child { width: 35% }
@page { margin: 12mm }
@media print {
  body { font-size: 9.5pt; line-height: 1.25; margin: 0; padding: 0; max-width: none }
  p, ul, table { margin: .35rem 0 }
  th, td { padding: .1rem .5rem }
  tr { break-inside: avoid }
}
"""
_UNSHOWABLE = re.compile(r"[\x00-\x1f\x7f-\x9f\ud800-\udfff]")


def table_sheet(codes: Sequence[Sequence[str]], commitment: str, *, taster: str = "", day: str = "") -> str:
    """Write the sheet that lies on the table: codes only.

    Parameters
    ----------
    codes : sequence of three codes a triad
        In the order of tasting, left to right.
    commitment : str
        Of the sealed key; proves afterwards that the key was not changed.
    taster, day : str, optional
        Printed as they are.

    Returns
    -------
    str
        One HTML document that needs no other file; all text is escaped.
    """
    rows = [[*(f"☐ {_text(code)}" for code in triad), "☐", ""] for triad in codes]
    return _document(
        "Odd cup out: table sheet",
        _about(taster, day, codes),
        "<p>Two cups of each triad hold the same coffee and one holds another. Which is the odd one?</p>",
        _list(
            "Taste each triad from left to right; after that, go back within the triad as you like.",
            "Rinse your mouth with water before each triad, and between cups if it helps.",
            "Choose one even if you guess, and tick “guessed” if you did.",
            "Go in order, and do not return to a triad that is answered.",
        ),
        _table(("Triad", "Left", "Middle", "Right", "Guessed", "Remarks"), rows),
        _cautions(),
        f'<p class="small">The key was sealed beforehand. Its commitment (SHA-256):<br>'
        f'<span class="seal">{_text(commitment)}</span></p>',
    )


def pourer_sheet(
    codes: Sequence[Sequence[str]],
    orders: Sequence[str],
    seal: Seal,
    *,
    coffee_a: str,
    coffee_b: str,
    taster: str = "",
    day: str = "",
) -> str:
    """Write the sheet for whoever pours: which coffee goes into which cup, and the nonce that opens the seal.

    Parameters
    ----------
    codes : sequence of three codes a triad
    orders : sequence of str
        An order of `ORDERS` for each triad.
    seal : Seal
        Of the run's key.
    coffee_a, coffee_b, taster, day : str
        Printed as they are.

    Returns
    -------
    str
        One HTML document that needs no other file; all text is escaped.

    Raises
    ------
    ValueError
        Where codes and orders differ in number, or an order is none of the six.
    """
    if len(codes) != len(orders):
        raise ValueError(f"There are {len(codes)} triads and {len(orders)} orders; give one order a triad.")
    rows = [
        [
            *(f"{_text(code)}: {coffee}" for code, coffee in zip(triad, order, strict=True)),
            _text(triad[odd_position(order) - 1]),
        ]
        for triad, order in zip(codes, orders, strict=True)
    ]
    return _document(
        "Odd cup out: pourer's key",
        '<p class="secret">Keep it from the taster until the last answer is locked.</p>',
        _about(taster, day, codes),
        f"<p><strong>A</strong> is {_text(coffee_a)}<br><strong>B</strong> is {_text(coffee_b)}</p>",
        _list(
            "Brew each coffee in one batch and share it out; cups brewed apart differ by themselves.",
            "Same cups, volume and temperature; dim the light or take opaque cups if the colours differ.",
            "Write the codes on the cups, pour out of sight, and set each triad out from left to right.",
            "Stay out of the taster's sight, and say nothing while the taster tastes.",
        ),
        _table(("Triad", "Left", "Middle", "Right", "Odd cup"), rows),
        _cautions(),
        '<p class="small">Commitment (SHA-256), as on the table sheet:<br>'
        f'<span class="seal">{_text(seal.commitment)}</span></p>'
        '<p class="small">Nonce, which opens it; tell it after the last answer:<br>'
        f'<span class="seal">{_text(seal.nonce)}</span></p>',
    )


def solo_instructions(triads: int) -> str:
    """Say in plain text how one person alone can taste `triads` triads blind."""
    triads = whole("The number of triads", triads, least=1)
    steps = (
        "Brew each coffee in one batch and let it cool until it is warm; hot cups are not for shuffling.",
        "Toss a coin for the coffee that gets two of three cups that look alike, and label them underneath.",
        "Fill each cup to half, the same volume in each.",
        "Look away and slide the cups about until you have lost track of them; then line them up.",
        "Put the triad's three codes in front of them, from left to right.",
        "Taste from left to right and rinse with water. Choose the odd cup, even if you guess.",
        "Lock the answer. Only then look under the cups, and enter what stood where.",
    )
    again = f"Do this {triads} times, one triad after the other." if triads > 1 else "Do this once."
    return "\n".join(
        (
            "Alone at the table",
            *(f"{number}. {step}" for number, step in enumerate(steps, 1)),
            f"{again} The number is fixed now; a run that stops before it is told apart and judged by a stricter test.",
            "The result is stored as self-reported. If you looked or recognized a cup by sight, say so.",
            *CAUTIONS,
        )
    )


def _text(text: str) -> str:
    # A direction mark in a name stays inside its <bdi>; a control character or lone surrogate is no text.
    shown = _UNSHOWABLE.sub("\ufffd", " ".join(text.split()))
    return f"<bdi>{escape(shown)}</bdi>"


def _about(taster: str, day: str, codes: Sequence[Sequence[str]]) -> str:
    told = [f"Taster: {_text(taster) if taster else '____________________'}"]
    told += [f"Day: {_text(day) if day else '______________'}", f"Triads: {len(codes)}"]
    return f"<p>{' &nbsp; '.join(told)}</p>"


def _list(*sentences: str) -> str:
    return "<ul>" + "".join(f"<li>{sentence}</li>" for sentence in sentences) + "</ul>"


def _cautions() -> str:
    return f'<div class="small">{_list(*CAUTIONS)}</div>'


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    head = "".join(f'<th scope="col">{name}</th>' for name in heads)
    body = "".join(
        f'<tr><th scope="row">{number}</th>' + "".join(f"<td>{cell}</td>" for cell in row) + "</tr>"
        for number, row in enumerate(rows, 1)
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _document(title: str, *parts: str) -> str:
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta http-equiv="Content-Security-Policy" '
        "content=\"default-src 'none'; style-src 'unsafe-inline'\">"
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{title}</title><style>{_STYLE}</style></head>\n"
        f"<body><h1>{title}</h1>\n" + "\n".join(parts) + "\n</body></html>\n"
    )
