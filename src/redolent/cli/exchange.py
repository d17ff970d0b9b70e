"""The commands by which notes come in, go out, and pass between people."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from redolent.cli.journal import Place
from redolent.cli.terminal import explain, refuse, say

if TYPE_CHECKING:
    from redolent.journal import Journal
    from redolent.journal.collect import Merge
    from redolent.journal.importing import Choices, Landing, Plan, Unclear

app = typer.Typer()

_SHOWN = 10  # refused rows, and notes, that are shown


class Format(StrEnum):
    """What `export` writes."""

    csv = "csv"
    parquet = "parquet"
    jsonl = "jsonl"


@app.command("export")
def export_journal(
    place: Annotated[Path, typer.Argument(help="A new folder; for JSON Lines a new file.", metavar="FOLDER|FILE")],
    format: Annotated[
        Format | None, typer.Option("--format", help="What to write.", show_default="jsonl for a .jsonl file, else csv")
    ] = None,
    journal: Place = None,
) -> None:
    """Write the whole journal in an open format; import reads it back exactly."""
    from redolent.journal import Journal
    from redolent.journal.export import export

    chosen = format or (Format.jsonl if place.suffix == ".jsonl" else Format.csv)
    with _refusing(), Journal.open(journal) as opened:
        counts = export(opened, place, chosen.value)
    sealed = counts.pop("sealed")
    typer.echo(f"{place}: {_count(counts)}")
    if sealed:
        typer.echo(
            f"{_plural(sealed, 'key')} sealed still: left out, with what hangs on it. Export again once it is open."
        )


@app.command("share")
def share_journal(
    file: Annotated[Path, typer.Argument(help="A new file.")],
    taster: Annotated[
        str | None, typer.Option(help="Whose journal.", show_default="yours, where it is the only one")
    ] = None,
    tasting: Annotated[
        str | None, typer.Option(help="Which tasting: its name or its date, such as 2026-03-01.")
    ] = None,
    blank: Annotated[
        bool, typer.Option("--blank", help="Of the tasting only its cups and codes, for others to taste.")
    ] = False,
    journal: Place = None,
) -> None:
    """Write one taster's journal, or one tasting, as one file for somebody else to collect."""
    from redolent.journal import Journal
    from redolent.journal.shared import share

    with _refusing(), Journal.open(journal) as opened:
        if blank and tasting is None:
            raise ValueError("Say which tasting is to be shared blank: --tasting.")
        counts = share(
            opened,
            file,
            taster_id=_find_taster(opened, taster) if taster is not None or tasting is None else None,
            tasting_id=_find_tasting(opened, tasting) if tasting is not None else None,
            blank=blank,
        )
    typer.echo(f"{file}: {_count(counts)}")
    typer.echo(
        "It is checksummed, not authenticated: damage on its way shows, who wrote it does not. Anybody can read it."
    )


@app.command("collect")
def collect_files(
    files: Annotated[list[Path], typer.Argument(help="What share wrote.", metavar="FILES...")],
    journal: Place = None,
) -> None:
    """Merge shared files into the journal; no note that is there is touched, and the order does not matter."""
    from redolent.journal import Journal
    from redolent.journal.collect import collect

    refused = 0
    with _refusing(), Journal.open(journal) as opened:
        for file in files:
            try:
                _say_merge(file, collect(opened, file))
            except (OSError, ValueError) as error:
                refused += 1
                say(f"{file}: refused, nothing of it was merged. {explain(error)}", err=True)
    if refused:
        raise typer.Exit(1)


@app.command("import")
def import_notes(
    file: Annotated[
        Path,
        typer.Argument(help="CSV, TSV, XLSX, JSON Lines, Markdown or text with dates; or what export wrote."),
    ],
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Say what would be done, and change nothing.")] = False,
    columns: Annotated[
        list[str] | None,
        typer.Option("--column", help="Which column holds what, such as note=Remarks or date=2. Can be repeated."),
    ] = None,
    taster: Annotated[str | None, typer.Option(help="Whose notes they are, where the file does not say.")] = None,
    stage: Annotated[str | None, typer.Option(help="At which stage they were written, where it does not say.")] = None,
    date: Annotated[str | None, typer.Option(help="Of which day they are, where it does not say.")] = None,
    date_order: Annotated[
        str | None, typer.Option(help='"day first" or "month first", in dates like 3/4/2026.')
    ] = None,
    encoding: Annotated[str | None, typer.Option(help="Of a text file.", show_default="detected")] = None,
    sheet: Annotated[str | None, typer.Option(help="Of a workbook with several.")] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Do it without asking.")] = False,
    journal: Place = None,
) -> None:
    """Bring in notes that are kept elsewhere. Every row lands, or is listed with its reason beside the file."""
    from redolent.journal import Journal
    from redolent.journal.export import is_export
    from redolent.journal.importing import Choices, land, write_refused

    with _refusing(), Journal.open(_as_it_is(journal) if dry_run else journal) as opened:
        if is_export(file):
            _import_export(opened, file, dry_run)
            return
        choices = Choices(
            columns=_parse_columns(columns or []),
            taster=taster,
            stage=stage,
            day=date,
            order=date_order,
            encoding=encoding,
            sheet=sheet,
        )
        with _progress("Reading") as advance:
            plan = _plan(file, choices, advance)
        _say_plan(plan)
        if dry_run:
            _say_landing(land(opened, plan, dry_run=True), "To import")
            typer.echo("Nothing was changed.")
            return
        if _is_terminal() and not yes:
            typer.confirm("Import them?", abort=True)
        # First the list: where it cannot be written, nothing lands.
        listed = write_refused(plan)
        with _progress("Writing") as advance:
            landing = land(opened, plan, advance=advance)
    _say_landing(landing, "Imported")
    if listed:
        typer.echo(f"{_plural(len(plan.refused), 'row')} did not land; each is listed with its reason in {listed}")


def _as_it_is(journal: str | None) -> str | None:
    """Give the journal, or an empty one in memory where there is none: a dry run makes no file."""
    from redolent.journal.place import file_of, locate

    file = file_of(locate(journal))
    return journal if file is None or file.exists() else ":memory:"


def _import_export(journal: "Journal", file: Path, dry_run: bool) -> None:
    from redolent.journal.collect import restore
    from redolent.journal.export import read_export

    if dry_run:
        counts = {name: len(rows) for name, rows in read_export(file).items() if rows}
        typer.echo(f"{file} is an export: {_count(counts)}\nNothing was changed.")
    else:
        _say_merge(file, restore(journal, file))


# ---- asking


def _is_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _plan(file: Path, choices: "Choices", advance: Callable[[int, int], None]) -> "Plan":
    from redolent.journal.importing import Unclear, make_plan

    while True:
        try:
            return make_plan(file, choices, advance=advance)
        except Unclear as unclear:
            if not _is_terminal():
                refuse(f"{unclear.question} Say it with {_option(unclear)}.")
            choices = _choose(choices, unclear.field, _ask(unclear))


def _option(unclear: "Unclear") -> str:
    name, _, held = unclear.field.partition(".")
    options = {"columns": f"--column {held}=NAME", "order": "--date-order", "day": "--date"}
    answers = f" ({', '.join(map(repr, unclear.answers[:20]))})" if unclear.answers else ""
    return options.get(name, f"--{name}") + answers


def _choose(choices: "Choices", field: str, answer: str) -> "Choices":
    name, _, held = field.partition(".")
    said: dict[str, Any] = {"columns": {**choices.columns, held: answer}} if name == "columns" else {name: answer}
    return replace(choices, **said)


def _ask(unclear: "Unclear") -> str:
    say(unclear.question)
    for number, answer in enumerate(unclear.answers, 1):
        say(f"  {number}  {answer}")
    while True:
        given = typer.prompt("Number" if unclear.answers else "Answer").strip()
        if not unclear.answers and given:
            return given
        if given.isascii() and given.isdigit() and 1 <= int(given[:6]) <= len(unclear.answers):
            return unclear.answers[int(given) - 1]


def _parse_columns(texts: list[str]) -> dict[str, str]:
    for text in texts:
        if "=" not in text:
            raise ValueError(f"A column is named like note=Remarks, not {text!r}.")
    return dict(text.split("=", 1) for text in texts)


@contextmanager
def _progress(what: str) -> Iterator[Callable[[int, int], None]]:
    from rich.console import Console
    from rich.progress import Progress

    console = Console(stderr=True)
    with Progress(console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task(what)
        yield lambda done, of: bar.update(task, completed=done, total=of)


# ---- finding


def _find_taster(journal: "Journal", name: str | None) -> str:
    tasters = journal.tasters()
    if name is None:
        if len(tasters) != 1:
            raise ValueError("Say whose journal is to be shared, with --taster, or which tasting, with --tasting.")
        return tasters[0].id
    found = journal.find_taster(name)
    if found is None:
        raise ValueError(f"The journal has no taster {name!r}; it has {', '.join(t.name for t in tasters) or 'none'}.")
    return found.id


def _find_tasting(journal: "Journal", wanted: str) -> str:
    found = [t for t in journal.tastings() if wanted in (t.id, t.name, t.started_at.date().isoformat())]
    if len(found) != 1:
        several = ", ".join(f"{t.name} ({t.started_at:%Y-%m-%d %H:%M}, {t.id})" for t in found[:10])
        raise ValueError(
            f"Several tastings are called {wanted!r}: {several}. Name one by its id."
            if found
            else f"The journal has no tasting {wanted!r}; name it, or give its date such as 2026-03-01."
        )
    return found[0].id


# ---- saying


def _say_plan(plan: "Plan") -> None:
    for sentence in plan.said:
        say(sentence)
    for name, held in plan.used.items():
        say(f"  {name} -> {held}")
    if plan.unused:
        say(f"Columns that are not imported: {', '.join(plan.unused)}")
    for entry in plan.entries[:3]:
        text = entry.text if len(entry.text) <= 60 else f"{entry.text[:57]}..."
        say(f"  row {entry.line}: {entry.day}, {entry.taster}, {entry.coffee or 'no coffee'}, {entry.stage}: {text}")
    typer.echo(f"{_plural(len(plan.entries), 'note')} in the file.")
    for row in plan.refused[:_SHOWN]:
        say(f"  row {row.line} cannot land: {row.reason}")
    if len(plan.refused) > _SHOWN:
        typer.echo(f"  and {len(plan.refused) - _SHOWN} more that cannot land")


def _say_landing(landing: "Landing", verb: str) -> None:
    typer.echo(
        f"{verb}: {_plural(landing.new, 'note')}, with {_plural(landing.tasters, 'new taster')}, "
        f"{_plural(landing.coffees, 'new coffee')} and {_plural(landing.tastings, 'new tasting')}. "
        f"There already: {_plural(landing.known, 'note')}."
    )


def _say_merge(file: Path, merge: "Merge") -> None:
    forgotten = f", {merge.forgotten} of forgotten tasters left out" if merge.forgotten else ""
    say(f"{file}: new: {_count(merge.added)}; {merge.known} were there{forgotten}")
    for sentence in merge.left_out:
        say(f"  {sentence}")


def _count(counts: dict[str, int]) -> str:
    return ", ".join(_plural(count, name.replace("_", " ")) for name, count in counts.items() if count) or "nothing"


def _plural(count: int, noun: str) -> str:
    return f"{count:,} {noun}{'' if count == 1 else 's'}"


@contextmanager
def _refusing() -> Iterator[None]:
    """Turn what can be wrong with files and journals into one sentence."""
    try:
        yield
    except (OSError, ValueError) as error:
        refuse(explain(error))
