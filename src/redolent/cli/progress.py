"""``redolent progress``: the findings in the terminal, as JSON, or as one page with its figures."""

import html
import json
import sys
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from redolent.cli.reading import plain

if TYPE_CHECKING:
    from redolent.charts import Exhibit, Step
    from redolent.journal import Journal
    from redolent.progress import Review

WIDTH = 88
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


def register(app: typer.Typer) -> None:
    """Add the command to the app."""
    app.command("progress")(show_progress)


def show_progress(
    taster: Annotated[
        str | None, typer.Option(help="Whose progress.", metavar="NAME", show_default="who wrote the newest note")
    ] = None,
    page: Annotated[
        Path | None, typer.Option("--html", help="Write one page with the figures.", metavar="FILE")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Everything as one JSON object.")] = False,
    demo: Annotated[bool, typer.Option("--demo", help="Look at an invented journal instead of your own.")] = False,
    journal: Annotated[
        str | None,
        typer.Option(
            "--journal", help="The journal's file or database URL; beats REDOLENT_JOURNAL.", metavar="PATH_OR_URL"
        ),
    ] = None,
) -> None:
    """Say how a taster's words, precision, consistency and discrimination stand."""
    from redolent.journal import Journal

    with ExitStack() as stack:
        try:
            if demo:
                from redolent.demo import simulate

                opened = stack.enter_context(Journal.open(":memory:"))
                simulate(opened)
            else:
                opened = stack.enter_context(Journal.open(journal))
            review = review_named(opened, taster)
            if page is not None:
                page.write_text(write_page(review), encoding="utf-8")
        except ValueError as error:
            _fail(str(error))
        except OSError as error:
            _fail(f"{page} cannot be written ({error.strerror or error}); name another file.")
    if as_json:
        typer.echo(json.dumps(to_dict(review), allow_nan=False))
    elif page is not None:
        typer.echo(f"Written: {plain(str(page))}")
    else:
        typer.echo("\n".join(write_text(review)))


def review_named(journal: "Journal", name: str | None) -> "Review":
    """Review the taster of that name, or who wrote the newest note.

    Raises
    ------
    ValueError
        Where nobody of that name is in the journal, or nobody wrote a note.
    """
    from redolent.progress import review_journal

    tasters = journal.tasters()
    if name is not None:
        found = journal.find_taster(name)
        if found is None:
            known = ", ".join(taster.name for taster in tasters[:8]) or "nobody yet"
            raise ValueError(f"Nobody in this journal is called {name!r}; it knows {known}.")
        taster_id = found.id
    else:
        newest = journal.notes(limit=1)
        if not newest:
            raise ValueError("There are no notes in this journal yet; write the first, or add --demo to look around.")
        taster_id = newest[0].taster_id
    return review_journal(journal, taster_id, on_step=_progress_bar())


def write_text(review: "Review") -> Iterator[str]:
    """Give the lines of the report for a terminal."""
    import textwrap

    from redolent.charts import lay_out

    yield f"Progress of {plain(review.taster)}"
    yield from textwrap.wrap(review.basis, WIDTH)
    yield from write_lines(lay_out(review))


def write_lines(steps: "Sequence[Step]") -> Iterator[str]:
    """Give the lines of steps for a terminal."""
    import textwrap

    for step in steps:
        yield from ("", step.name)
        for exhibit in step.exhibits:
            yield from textwrap.wrap(plain(exhibit.finding), WIDTH, initial_indent="  ", subsequent_indent="  ")
            yield from textwrap.wrap(plain(exhibit.numbers), WIDTH, initial_indent="    ", subsequent_indent="    ")


def write_page(review: "Review", beside: "Sequence[Step]" = ()) -> str:
    """Give the report as one page of HTML that needs no network; `beside` are steps that go before the others."""
    from redolent.charts import lay_out

    return write_steps(f"Progress of {review.taster}", review.basis, (*beside, *lay_out(review)))


def write_steps(title: str, basis: str, steps: "Sequence[Step]") -> str:
    """Give steps as one page of HTML that needs no network; what draws figures is there where there are any."""
    from plotly.offline import get_plotlyjs

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


def _evidence(exhibit: "Exhibit") -> str:
    from redolent.charts import CONFIG

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


def to_dict(review: "Review") -> dict:
    """Give the report as plain dicts and lists: each result with its finding, its numbers and its table."""
    results = {
        name: {
            "finding": result.finding,
            "numbers": getattr(result, "numbers", ""),
            "table": json.loads(result.to_frame().to_json(orient="records", date_format="iso")),
        }
        for name, result in review.results.items()
    }
    return {"taster": review.taster, "basis": review.basis, "notes": review.notes, "results": results}


def _progress_bar():
    """Give a line that says what is being counted, where somebody watches."""
    if not sys.stderr.isatty():
        return None

    def on_step(number: int, of: int, what: str) -> None:
        bar = "#" * (20 * (number + 1) // of)
        end = "\r" + " " * 72 + "\r" if number == of - 1 else ""
        sys.stderr.write(f"\r[{bar:<20}] {what:<40}{end}")
        sys.stderr.flush()

    return on_step


def _fail(sentence: str) -> None:
    typer.echo(plain(sentence), err=True)
    raise typer.Exit(1)
