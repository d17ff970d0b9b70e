"""The commands that look after a journal: backup, restore, check, recover, forget, migrate, login."""

from pathlib import Path
from typing import Annotated

import typer

from redolent.cli.terminal import refuse, say

app = typer.Typer(help="Look after the journal: back it up, check it, bring it back.", no_args_is_help=True)

Place = Annotated[
    str | None,
    typer.Option(
        "--journal", help="The journal's file or database URL; beats REDOLENT_JOURNAL.", metavar="PATH_OR_URL"
    ),
]
Yes = Annotated[bool, typer.Option("--yes", help="Do it without asking.")]


@app.command("backup")
def back_up(
    listed: Annotated[bool, typer.Option("--list", help="List the backups, newest first, and take none.")] = False,
    journal: Place = None,
) -> None:
    """Copy the journal while it is in use. The newest seven copies stay, and one of each of the last twelve months."""
    from redolent.journal import JournalError, backup

    try:
        file = _file(journal)
        if listed:
            for path in backup.list_backups(file):
                typer.echo(str(path))
        else:
            typer.echo(f"Backed up to {backup.take(file)}")
    except JournalError as error:
        refuse(str(error))


@app.command("restore")
def restore_backup(
    chosen: Annotated[
        Path | None, typer.Argument(help="A backup.", metavar="[BACKUP]", show_default="the newest")
    ] = None,
    journal: Place = None,
    yes: Yes = False,
) -> None:
    """Put a backup in the journal's place; what stood there is kept."""
    from redolent.journal import JournalError, backup

    try:
        file = _file(journal, must_exist=False)
        source = chosen or next(iter(backup.list_backups(file)), None)
        if source is None or not source.exists():
            refuse(f"There is no backup at {source or backup.folder_of(file)}; name one.")
        if not yes:
            typer.confirm(f"Put {source} in the place of {file}? What is there now is kept.", abort=True)
        replaced = backup.restore(file, source)
    except JournalError as error:
        refuse(str(error))
    typer.echo(f"Restored {file} from {source}" + (f"; what stood there is in {replaced}" if replaced else ""))


@app.command("check")
def check_journal(journal: Place = None) -> None:
    """Check the journal's file, its rows against each other, and both against the newest backup."""
    from redolent.journal import JournalError
    from redolent.journal.check import check
    from redolent.journal.place import locate

    try:
        report = check(locate(journal))
    except JournalError as error:
        refuse(str(error))
    for finding in report.findings:
        say(finding)
    if report.findings:
        refuse(
            "The journal is not sound; nothing was changed. See: redolent journal restore, redolent journal recover."
        )
    against = f"compared with {report.backup}" if report.backup else "no backup yet"
    counts = f"{report.tasters} tasters, {report.notes} notes with every revision, {report.runs} triangle runs"
    typer.echo(f"The journal is sound: {counts}; {against}.")


@app.command("recover")
def recover_journal(journal: Place = None) -> None:
    """Write what can still be read of a damaged journal into a copy, made whole with its newest backup."""
    from redolent.journal import JournalError
    from redolent.journal.recovery import recover

    try:
        found = recover(_file(journal))
    except JournalError as error:
        refuse(str(error))
    typer.echo(
        f"Recovered {found.rows} rows, {found.notes} of them notes, {found.kept} of them from the backup; "
        f"{found.lost} places could not be read.\nThe copy is {found.path}\n"
        f"To use it: redolent journal restore {found.path}"
    )


@app.command("forget")
def forget_taster(
    taster: Annotated[str, typer.Argument(help="The taster's name.")], journal: Place = None, yes: Yes = False
) -> None:
    """Remove a taster and everything of theirs for good, from the journal and its backups."""
    from redolent.journal import Journal, JournalError, backup
    from redolent.journal.place import file_of, locate

    try:
        with Journal.open(journal) as opened:
            found = opened.find_taster(taster)
            if found is None:
                refuse(f"There is no taster {taster!r} in {opened.url}.")
            file = file_of(locate(journal))
            copies = len(list(backup.folder_of(file).glob("*.db"))) if file else 0
            if not yes:
                say(
                    f"This removes {found.name} from {opened.url}: {len(opened.notes(found.id))} notes and "
                    f"{len(opened.runs(found.id))} triangle runs, and the tastings and coffees that nobody else "
                    f"needs. Its {copies} backups are deleted and one new one is taken. It cannot be undone. "
                    "Files that were exported, shared or copied elsewhere are not touched."
                )
                typer.confirm("Forget them?", abort=True)
            opened.forget(found.id)
    except JournalError as error:
        refuse(str(error))
    say(f"Forgotten: {found.name}. A tombstone keeps a later collect from bringing them back.")


@app.command("migrate")
def migrate_journal(journal: Place = None) -> None:
    """Make a journal's tables or bring them forward, and on a server the rights of its logins: the administrator's."""
    from redolent.journal import JournalError
    from redolent.journal.migration import migrate, revision
    from redolent.journal.place import locate
    from redolent.journal.store import connect
    from redolent.journal.trouble import explained

    try:
        engine = connect(locate(journal))
        try:
            with explained(engine.url):
                migrate(engine)
                found = revision(engine)
        finally:
            engine.dispose()
    except JournalError as error:
        refuse(str(error))
    typer.echo(f"The journal's schema is {found}.")


@app.command("login")
def make_login(
    taster: Annotated[
        str | None, typer.Argument(help="A taster's name; who is new is entered.", show_default="an educator")
    ] = None,
    journal: Place = None,
) -> None:
    """Make a login to a school's journal on a server, and print its URL with its password: the administrator's."""
    from redolent.journal import Journal

    try:
        with Journal.open(journal) as opened:
            url = opened.add_login(opened.taster(taster).id if taster else None)
    except ValueError as error:
        refuse(str(error))
    typer.echo(f"REDOLENT_JOURNAL={url}")


def _file(place: str | None, *, must_exist: bool = True) -> Path:
    from redolent.journal.place import file_of, locate

    file = file_of(locate(place))
    if file is None:
        refuse("This journal is not a file; back it up with its server's own tools.")
    if must_exist and not file.exists():
        refuse(f"There is no journal at {file}; name the one that you mean with --journal.")
    return file
