"""``redolent class`` and ``redolent exercise``: what a class did, said and learned, and what it is to do next."""

import json
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from redolent.cli.journal import Place
from redolent.cli.progress import to_dict, write_lines
from redolent.cli.terminal import explain, plain, refuse

if TYPE_CHECKING:
    from redolent.classroom import ClassReview, SetExercise
    from redolent.journal import Journal
    from redolent.progress import Review

FOUR = ("words", "precision", "consistency", "discrimination")
"""The results of a review that a class lists for each taster."""


def register(app: typer.Typer) -> None:
    """Add the commands to the app."""
    app.command("class")(show_class)
    app.command("exercise")(set_or_list)


def show_class(
    folder: Annotated[
        Path | None,
        typer.Argument(
            help="The folder with the files that students shared.", show_default="only what is in the journal"
        ),
    ] = None,
    page: Annotated[
        Path | None, typer.Option("--html", help="Write one page for the class, without names.", metavar="FILE")
    ] = None,
    pages: Annotated[
        Path | None, typer.Option("--pages", help="Write a page for each student into a folder.", metavar="FOLDER")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Everything as one JSON object, with names.")] = False,
    demo: Annotated[bool, typer.Option("--demo", help="Look at an invented class instead of your own.")] = False,
    journal: Place = None,
) -> None:
    """Collect what students sent, and say what each has done and what the class said; nobody is ranked."""
    from redolent.classroom import gather, review_class
    from redolent.journal import Journal

    with ExitStack() as stack:
        try:
            if demo:
                from redolent.demo import simulate_class

                opened = stack.enter_context(Journal.open(":memory:"))
                simulate_class(opened)
            else:
                opened = stack.enter_context(Journal.open(journal))
            gathered = gather(opened, folder) if folder is not None else ()
            for one in gathered:
                typer.echo(plain(one.finding), err=True)
            found = review_class(opened)
            if page is not None:
                from redolent.charts.html import write_class

                page.write_text(write_class(found), encoding="utf-8")
                typer.echo(f"Written, without names: {plain(str(page))}", err=as_json)
            told = pages is not None or as_json or page is None
            reviews = list(_review_all(opened)) if told else []
            if pages is not None:
                count = write_students(found, reviews, pages)
                typer.echo(f"Written: a page for each of {count} students in {plain(str(pages))}", err=as_json)
            if as_json:
                typer.echo(json.dumps(to_object(found, reviews), allow_nan=False))
            elif page is None and pages is None:
                for line in write_text(found, reviews):
                    typer.echo(line)
        except (OSError, ValueError) as error:
            refuse(explain(error))
    if any(one.merge is None for one in gathered):
        raise typer.Exit(1)


def set_or_list(
    file: Annotated[
        Path | None,
        typer.Argument(
            help="An exercise to set (TOML), or the file that an educator sent (.jsonl).",
            show_default="list what is set",
        ),
    ] = None,
    journal: Place = None,
) -> None:
    """Set an exercise for a class, open one that an educator sent, or list them and how far each taster has got."""
    from redolent.classroom import list_exercises, open_exercise, read_exercise, set_exercise
    from redolent.journal import Journal

    try:
        with Journal.open(journal) as opened:
            if file is not None and file.suffix == ".jsonl":
                for line in tell_exercise(opened, open_exercise(opened, file)):
                    typer.echo(plain(line))
                typer.echo("Do it in the notebook Exercise (redolent open), which also writes the file to send back.")
                return
            if file is not None:
                given = set_exercise(opened, read_exercise(file.read_text(encoding="utf-8")))
                typer.echo(plain(f"Set: {given.exercise.title}"))
                coffees = {coffee.id: coffee.name for coffee in opened.coffees()}
                for cup in opened.servings(given.tasting_id):
                    assert cup.coffee_id is not None  # who sets an exercise knows its cups
                    typer.echo(plain(f"  {cup.code}  {coffees[cup.coffee_id]} (for whoever labels the samples)"))
                typer.echo(f"Share it: redolent share FILE.jsonl --tasting {given.tasting_id} --blank")
                return
            found = list_exercises(opened)
            for given in found:
                for line in tell_exercise(opened, given):
                    typer.echo(plain(line))
            if not found:
                typer.echo("No exercise is set; give a TOML file, or collect one that an educator shared.")
    except UnicodeDecodeError:
        refuse(f"{file} is no text in UTF-8; save the exercise as such.")
    except (OSError, ValueError) as error:
        refuse(explain(error))


def tell_exercise(journal: "Journal", given: "SetExercise") -> Iterator[str]:
    """Give the lines of an exercise: what is to be done, and how far each taster has got."""
    from redolent.classroom import tell_tracked, track_exercise
    from redolent.lexicon import Lexicon

    lexicon = Lexicon.load()
    yield given.exercise.title
    yield from (f"  {line}" for line in given.exercise.instructions.splitlines())
    yield from (f"  - {task.tell(lexicon)}" for task in given.exercise.tasks)
    codes = [cup.code for cup in journal.servings(given.tasting_id)]
    if codes:
        yield f"  Samples, where your educator sent some: {', '.join(codes)}"
    yield from (f"  {taster}: {told}" for taster, told in tell_tracked(track_exercise(journal, given)).items())


def write_students(review: "ClassReview", reviews: "Sequence[Review]", folder: Path) -> int:
    """Write a page for each student who wrote a note into a folder, and give their number.

    The files have numbers, by name: a name may hold what no file name can.
    """
    from redolent.charts import lay_out_student
    from redolent.charts.html import write_page

    folder.mkdir(parents=True, exist_ok=True)
    for count, own in enumerate(reviews, 1):
        text = write_page(own, (lay_out_student(review, own.taster),))
        (folder / f"{count:02d} {_file_name(own.taster)}.html").write_text(text, encoding="utf-8")
    return len(reviews)


def write_text(review: "ClassReview", reviews: "Sequence[Review]") -> Iterator[str]:
    """Give the educator's lines for a terminal: the class with names, then each student's four findings."""
    from redolent.charts import Exhibit, Step, lay_out_class

    yield "The class"
    yield from write_lines(lay_out_class(review, names=True))
    for own in reviews:
        results = own.results
        exhibits = [Exhibit(results[name].finding, results[name].numbers) for name in FOUR]
        exhibits += [Exhibit(review.changes.tell_of(own.taster)), Exhibit(review.triangles.tell_of(own.taster))]
        yield from write_lines([Step(plain(own.taster), tuple(exhibits))])


def to_object(review: "ClassReview", reviews: "Sequence[Review]") -> dict[str, Any]:
    """Give everything as plain dicts and lists."""
    results = {
        name: {
            "finding": result.finding,
            "numbers": result.numbers,
            "table": json.loads(result.to_frame().to_json(orient="records", date_format="iso")),
        }
        for name, result in review.results.items()
    }
    students = {own.taster: to_dict(own) | {"class": review.about(own.taster)} for own in reviews}
    return {"tasters": list(review.names), "results": results, "students": students}


def _review_all(journal: "Journal") -> "Iterator[Review]":
    from redolent.progress import review_journal

    notes = journal.notes_frame()
    wrote = set(notes["taster_id"])
    for taster in journal.tasters():
        if taster.id in wrote:
            yield review_journal(journal, taster.id, notes=notes)


def _file_name(name: str) -> str:
    """Keep of a name what every file system takes."""
    return "".join(letter for letter in name if letter.isalnum() or letter in " -")[:40].strip() or "student"
