"""The class panel: set an exercise, collect what came back, look at the class or at one student, write the page."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import ipywidgets as w

from redolent.charts import Step, lay_out, lay_out_class, lay_out_student
from redolent.charts.html import write_class
from redolent.classroom import (
    ClassReview,
    gather,
    hand_out,
    list_exercises,
    review_class,
    tell_tracked,
    track_exercise,
)
from redolent.desk.exercise_form import ExerciseForm
from redolent.desk.fold import Fold
from redolent.desk.panel import Panel, check_folder, guarded, safe
from redolent.desk.progress import show_step
from redolent.journal import Journal
from redolent.lexicon import Lexicon
from redolent.progress import review_journal

CLASS, NOBODY = "", "<p>Nobody is in this journal yet: name the folder with what the students sent, and collect it.</p>"


class ClassPanel(Panel):
    """An educator's view of a class.

    Parameters
    ----------
    journal : Journal, optional
        The educator's, into which the students' files are collected.
    lexicon : Lexicon, optional
    home : path, optional
        Where the files of an exercise are written; the current folder where none is given.
    now : callable, optional
        Gives the local time, aware.
    """

    def __init__(
        self,
        journal: Journal | None = None,
        lexicon: Lexicon | None = None,
        home: str | Path = ".",
        now: Callable[[], datetime] | None = None,
    ) -> None:
        super().__init__("Look at your class", journal, home, now)
        self.lexicon = lexicon or Lexicon.load()
        self.review: ClassReview | None = None
        self.form = ExerciseForm(self.lexicon)
        self.made, self.tracked = w.HTML(), w.HTML()
        self.folder = w.Text(description="Folder", placeholder="where the students' files are")
        self.collect = w.Button(description="Collect")
        self.collected = w.HTML()
        self.shown = w.Dropdown(description="Look at")
        self.names = w.Checkbox(description="With names", value=True, indent=False)
        self.page = w.Text(description="Page", value="class.html")
        self.write = w.Button(description="Write the class page")
        self.written = w.HTML()
        self.steps = w.VBox()
        self.findings: dict[str, str] = {}
        self.form.make.on_click(lambda _: self.make_exercise())
        self.collect.on_click(lambda _: self.gather())
        self.write.on_click(lambda _: self.write_page())
        self.shown.observe(lambda _: self.show(), "value")
        self.names.observe(lambda _: self.show(), "value")
        self.stack(
            Fold("Set an exercise", self.form, self.made),
            w.HBox([self.folder, self.collect]),
            self.collected,
            w.HBox([self.shown, self.names]),
            self.tracked,
            self.steps,
            w.HBox([self.page, self.write]),
            self.written,
        )
        self.look_again()

    @guarded
    def make_exercise(self) -> None:
        """Set the exercise of the form, and write its files."""
        exercise = self.form.exercise()
        check_folder(self._folder)
        paths = hand_out(self.journal, exercise, self._folder, self._now())
        said = {
            "file": "for your students: send it to each; they open it in the notebook Exercise",
            "toml": "the exercise as text, to change and set again with redolent exercise",
            "labels": "what goes into which cup, if you fill and send samples; keep it to yourself",
        }
        items = "".join(f"<li><b>{safe(path.name)}</b>: {said[kind]}</li>" for kind, path in paths.items())
        self.made.value = f'<p role="status">In the folder {safe(self._folder.resolve())} lie:</p><ul>{items}</ul>'
        self.show_exercises()

    def show_exercises(self) -> None:
        """Say of each exercise how far each student got; by name, so not where names are not shown."""
        told, exercises = [], list_exercises(self.journal, lexicon=self.lexicon) if self.names.value else []
        # Read once for all of them.
        frames = {"notes": self.journal.notes_frame(), "runs": self.journal.runs_frame()} if exercises else {}
        for given in exercises:
            tracked = track_exercise(self.journal, given, **frames)
            began = tracked[tracked.groupby("taster")["done"].transform("sum") > 0]
            rows = [f"<li>{safe(taster)}: {parts}</li>" for taster, parts in tell_tracked(began).items()]
            nobody = "<p>Nothing of it came back yet.</p>"
            told.append(f"<h3>{safe(given.exercise.title)}</h3>" + (f"<ul>{''.join(rows)}</ul>" if rows else nobody))
        self.tracked.value = "".join(told)

    @guarded
    def gather(self) -> None:
        """Collect the folder's files, and look at the class anew."""
        if not self.folder.value.strip():
            raise ValueError("Name the folder that holds what the students sent.")
        gathered = gather(self.journal, Path(self.folder.value.strip()).expanduser())
        said = [f"<li>{safe(one.finding)}</li>" for one in gathered] or ["<li>No shared file is in that folder.</li>"]
        self.collected.value = f"<ul>{''.join(said)}</ul>"
        self.look_again()

    def look_again(self) -> None:
        """Review the class, and show what is chosen."""
        self.review = review_class(self.journal, lexicon=self.lexicon)
        options = [("the class", CLASS), *((taster.name, taster.id) for taster in self.journal.tasters())]
        chosen = self.shown.value
        if tuple(self.shown.options) != tuple(options):
            self.shown.options = options
        self.shown.value = chosen if chosen in dict(options).values() else CLASS
        self.show()

    @guarded
    def show(self) -> None:
        """Show the class, or a student."""
        # What is shown of one taster must not stand under the name of another.
        self.steps.children, self.findings = (), {}
        self.show_exercises()
        if self.review is None or not self.review.names:
            self.steps.children = (w.HTML(NOBODY),)
            return
        steps = self._lay_out(self.review)
        self.findings = {step.name: step.finding for step in steps}
        self.steps.children = tuple(show_step(step) for step in steps)

    @guarded
    def write_page(self) -> None:
        """Write the page for the class, without names."""
        if self.review is None or not self.page.value.strip():
            raise ValueError("Name the file for the page, such as class.html.")
        path = Path(self.page.value.strip()).expanduser()
        try:
            path.write_text(write_class(self.review), encoding="utf-8")
        except OSError as error:
            raise ValueError(f"{path} cannot be written ({error.strerror or error}); name another file.") from error
        self.written.value = f"<p>Written, without names: {safe(path)}</p>"

    def _lay_out(self, review: ClassReview) -> tuple[Step, ...]:
        if not self.shown.value:
            return lay_out_class(review, names=self.names.value)
        own = review_journal(self.journal, self.shown.value, lexicon=self.lexicon)
        names = {taster.id: taster.name for taster in self.journal.tasters()}
        return (lay_out_student(review, names[self.shown.value]), *lay_out(own))
