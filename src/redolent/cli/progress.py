"""``redolent progress``: the findings in the terminal, as JSON, or as one page with its figures."""

import json
import sys
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from redolent.cli.terminal import plain, refuse

if TYPE_CHECKING:
    from redolent.charts import Step
    from redolent.journal import Journal
    from redolent.progress import Review
    from redolent.progress.review import OnStep

WIDTH = 88


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
                from redolent.charts.html import write_page

                page.write_text(write_page(review), encoding="utf-8")
        except ValueError as error:
            refuse(str(error))
        except OSError as error:
            refuse(f"{page} cannot be written ({error.strerror or error}); name another file.")
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


def to_dict(review: "Review") -> dict[str, Any]:
    """Give the report as plain dicts and lists: each result with its finding, its numbers and its table."""
    results = {
        name: {
            "finding": result.finding,
            "numbers": result.numbers,
            "table": json.loads(result.to_frame().to_json(orient="records", date_format="iso")),
        }
        for name, result in review.results.items()
    }
    return {"taster": review.taster, "basis": review.basis, "notes": review.notes, "results": results}


def _progress_bar() -> "OnStep | None":
    """Give a line that says what is being counted, where somebody watches."""
    if not sys.stderr.isatty():
        return None

    def on_step(number: int, of: int, what: str) -> None:
        bar = "#" * (20 * (number + 1) // of)
        end = "\r" + " " * 72 + "\r" if number == of - 1 else ""
        sys.stderr.write(f"\r[{bar:<20}] {what:<40}{end}")
        sys.stderr.flush()

    return on_step
