"""The commands: each is a few lines that call what the layers below can do."""

import sys
from pathlib import Path
from typing import Annotated

import typer

import redolent
from redolent.cli import classroom, exchange, journal, progress
from redolent.cli.dose import dose
from redolent.cli.terminal import refuse
from redolent.cli.triangle import triangle_app

app = typer.Typer(
    name="redolent",
    help="Put words to what you smell and taste in coffee, and see whether they come back.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
lexicon_app = typer.Typer(help="Look into the lexicon, and check it.", no_args_is_help=True)
app.add_typer(lexicon_app, name="lexicon")
app.add_typer(triangle_app, name="triangle")
app.add_typer(journal.app, name="journal")
app.add_typer(exchange.app)
progress.register(app)
classroom.register(app)
app.command()(dose)

Journal = Annotated[
    str | None,
    typer.Option(
        "--journal", help="The journal's file or database URL; beats REDOLENT_JOURNAL.", metavar="PATH_OR_URL"
    ),
]


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"redolent {redolent.__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Say the version.")
    ] = False,
) -> None:
    pass


@app.command("open")
def open_notebooks(
    folder: Annotated[
        Path | None,
        typer.Option(help="The folder for your notebooks.", show_default="Redolent in your documents"),
    ] = None,
    port: Annotated[
        int | None, typer.Option(min=1, max=65535, help="The port to listen at.", show_default="a free one")
    ] = None,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the browser, or only print the address.")
    ] = True,
    demo: Annotated[
        bool, typer.Option("--demo", help="Look around in an invented journal; your own stays untouched.")
    ] = False,
    journal: Journal = None,
    pages: Annotated[bool, typer.Option("--pages", help="Pages without code instead of notebooks.")] = False,
) -> None:
    """Open the notebooks in the browser."""
    from redolent.cli.lab import default_folder, default_home, open_lab

    env = {}
    if demo:
        from redolent.demo import open_demo

        path = default_home().parent / "demo.db"
        with open_demo(path):
            env["REDOLENT_JOURNAL"] = str(path)
        folder = folder or default_folder().with_name("Redolent demo")
    elif journal:
        env["REDOLENT_JOURNAL"] = journal
    raise typer.Exit(open_lab(folder, port, browser, env, pages=pages))


@app.command()
def read(
    file: Annotated[str, typer.Argument(help="A file with one note a line, or - for standard input.")] = "-",
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object a line.")] = False,
) -> None:
    """Read notes, one a line, and say which places of the lexicon they name."""
    from redolent.cli.reading import print_json, print_table, split_notes

    try:
        raw = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
        notes = split_notes(raw)
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        refuse(f"{file} cannot be read ({reason}); give a text file in UTF-8, or - for standard input.")
    (print_json if as_json else print_table)(notes)


@lexicon_app.command("check")
def check_lexicon(
    folder: Annotated[
        Path | None,
        typer.Argument(help="A folder of TOML files.", show_default="the lexicon that ships with redolent"),
    ] = None,
) -> None:
    """Check the lexicon's files; name file and line of whatever is wrong."""
    from redolent.lexicon.check import check

    findings = check(folder)
    for finding in findings:
        typer.echo(str(finding))
    if findings:
        refuse("1 finding." if len(findings) == 1 else f"{len(findings)} findings.")
    lexicon = redolent.Lexicon.load(folder)
    counts = ", ".join(f"{len(lexicon.at(level))} {plural}" for level, plural in _LEVELS.items())
    typer.echo(f"The lexicon is sound: {counts}; {len(lexicon.surface_forms())} surface forms.")


@lexicon_app.command("export")
def export_lexicon(
    file: Annotated[str, typer.Argument(help="Where to write, or - for standard output.")] = "-",
) -> None:
    """Write the lexicon as SKOS in Turtle."""
    from redolent.lexicon.skos import to_turtle

    text = to_turtle(redolent.Lexicon.load())
    if file == "-":
        sys.stdout.buffer.write(text.encode("utf-8"))
        return
    try:
        Path(file).write_text(text, encoding="utf-8")
    except OSError as error:
        refuse(f"{file} cannot be written ({error.strerror or error}); name another file.")


_LEVELS = {"realm": "realms", "family": "families", "group": "groups", "descriptor": "descriptors"}


@lexicon_app.command("find")
def find_in_lexicon(words: Annotated[list[str], typer.Argument(help="A word, or a few.")]) -> None:
    """Say where a word stands, what it means, and which reference teaches it."""
    from redolent.cli.reading import describe

    lexicon = redolent.Lexicon.load()
    wanted = " ".join(words)
    node = lexicon.find(wanted)
    hits = [node] if node else lexicon.search(wanted)[:8]
    if not hits:
        refuse(f"Nothing in the lexicon is called {wanted!r}; try another word for it.")
    typer.echo("\n\n".join(describe(hit, lexicon) for hit in hits))
