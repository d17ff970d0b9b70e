"""Pages of HTML that need no network: one taster's progress, a class without names."""

import html
from collections.abc import Sequence

from plotly.offline import get_plotlyjs

from redolent.charts.classroom import lay_out_class
from redolent.charts.page import Exhibit, Step, lay_out
from redolent.charts.style import CONFIG
from redolent.classroom import ClassReview
from redolent.progress import Review

_STYLE = """
body { background: #fcf9f3; color: #2b2520;
  font: 17px/1.5 Georgia, "Iowan Old Style", "Noto Serif", "DejaVu Serif", serif;
  margin: 0 auto; max-width: 860px; padding: 24px; }
h1 { font-size: 1.6em; } h2 { font-size: 1.3em; margin-top: 2em; border-top: 1px solid #e7dfd3; padding-top: 1em; }
.finding { font-size: 1.1em; border-left: 4px solid #2b2520; padding-left: 12px; }
.numbers { color: #6b6158; font-size: 0.9em; }
.exhibit { margin-bottom: 1.5em; }
table { border-collapse: collapse; font-size: 0.95em; width: 100%; }
th, td { border-bottom: 1px solid #e7dfd3; padding: 4px 10px 4px 0; text-align: left; vertical-align: top; }
.words { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
@page { size: A4; margin: 14mm; }
@media print {
  body { max-width: none; padding: 0; font-size: 11pt; background: #fff; }
  .figure { break-inside: avoid; }
  h2, .finding { break-after: avoid; }
}
"""


def write_page(review: Review, beside: Sequence[Step] = ()) -> str:
    """Give the report as one page of HTML that needs no network; `beside` are steps that go before the others."""
    return write_steps(f"Progress of {review.taster}", review.basis, (*beside, *lay_out(review)))


def write_steps(title: str, basis: str, steps: Sequence[Step]) -> str:
    """Give steps as one page of HTML that needs no network; what draws figures is there where there are any."""
    drawn = any(exhibit.figure is not None for step in steps for exhibit in step.exhibits)
    script = f"<script>{get_plotlyjs()}</script>" if drawn else ""
    title = html.escape(title)
    parts = [
        '<!doctype html><html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{title}</title><style>{_STYLE}</style>{script}</head><body>",
        f"<h1>{title}</h1><p>{html.escape(basis)}</p>",
    ]
    for step in steps:
        parts.append(f"<section><h2>{html.escape(step.name)}</h2>")
        for place, exhibit in enumerate(step.exhibits):
            kind = ' class="finding"' if place == 0 else ""
            parts.append(f'<div class="exhibit"><p{kind}>{html.escape(exhibit.finding)}</p>{_evidence(exhibit)}</div>')
        parts.append("</section>")
    return "".join([*parts, "</body></html>\n"])


def _evidence(exhibit: Exhibit) -> str:
    parts = []
    if exhibit.figure is not None:
        drawn = exhibit.figure.to_html(full_html=False, include_plotlyjs=False, config=dict(CONFIG))
        alt = html.escape(str(exhibit.figure.layout.meta["alt"]))
        parts.append(f'<div class="figure">{drawn}<p class="words">{alt}</p></div>')
    if exhibit.table is not None:
        parts.append(exhibit.table.to_html(index=False, border=0, escape=True, justify="left"))
    if exhibit.numbers:
        parts.append(f'<p class="numbers">{html.escape(exhibit.numbers)}</p>')
    return "".join(parts)


def write_class(review: ClassReview) -> str:
    """Give the page for the class, without names, as HTML that needs no network."""
    basis = (
        "What the class did, said and learned. Nobody is named or ranked: everybody stands against their own past "
        "and the spread of the class."
    )
    return write_steps("The class", basis, lay_out_class(review))
