"""The student's exercise: open the file that came, read what to do, do it here, and write the file to send back."""

import json
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import ipywidgets as w

from redolent.classroom import (
    SetExercise,
    Task,
    answer_words,
    list_begun,
    list_exercises,
    note_begun,
    open_exercise,
    send_back,
    track_exercise,
)
from redolent.desk.check_list import CheckList
from redolent.desk.fold import Fold
from redolent.desk.notes import NotesPanel
from redolent.desk.odd_cup import OddCupPanel
from redolent.desk.panel import Panel, check_folder, chief, guarded, name_tasters, safe, taking_up
from redolent.desk.practice import PracticePanel
from redolent.desk.reading import showable
from redolent.desk.tasting import TastingPanel
from redolent.journal import Journal
from redolent.lexicon import Lexicon

NAMES = {"tasting": "Tasting", "triangle": "Odd cups", "jars": "Jars", "words": "Words"}
NONE = "<p>Your educator sends you a file, by mail or on a stick. Open it here; it shows what is to be done.</p>"
WHOLE = (
    "The file holds your journal: your notes, triads, jars and answers, and nobody else's. Send it to your educator by "
    "mail or on a stick; nothing is sent by itself."
)


class ExercisePanel(Panel):
    """What a student is to do, one part at a time.

    Parameters
    ----------
    journal : Journal, optional
    lexicon : Lexicon, optional
    folder : path, optional
        Where the sheets and the file to send back are written; the current folder where none is given.
    now : callable, optional
        Gives the local time, aware.
    """

    def __init__(
        self,
        journal: Journal | None = None,
        lexicon: Lexicon | None = None,
        folder: str | Path = ".",
        now: Callable[[], datetime] | None = None,
    ) -> None:
        super().__init__("Your exercise", journal, folder, now)
        self.lexicon = lexicon or Lexicon.load()
        self.given: SetExercise | None = None
        self.part: w.Widget | None = None
        said = "Open the file that you were sent"
        # The widget counts files behind its description; the style sheet shows the tooltip instead.
        self.upload = w.FileUpload(accept=".jsonl", description=said, tooltip=said, icon="")
        self.upload.add_class("rd-upload")
        self.which = w.Dropdown(description="Exercise")
        # Not at each key: how far somebody got is read from all notes.
        self.taster = w.Combobox(
            description="Taster", placeholder="your name", ensure_option=False, continuous_update=False
        )
        self.told, self.state = w.HTML(), w.HTML()
        self.parts = w.ToggleButtons(description="Part")
        self.begin = chief("Begin")
        self.sent_cups = w.Button(description="Write on the samples that I was sent")
        self.to_send = w.Button(description="Write the file to send back")
        self.sent = w.HTML()
        self.back = w.Button(description="Back to the exercise")
        self.answers: dict[str, w.Textarea] = {}
        self.keep = chief("Keep the answers")
        self.upload.observe(lambda _: self.take_in(), "value")
        self.which.observe(lambda _: self.choose(), "value")
        self.taster.observe(lambda _: self._tell(), "value")
        self.parts.observe(lambda _: self._offer(), "value")
        self.begin.on_click(lambda _: self.start())
        self.sent_cups.on_click(lambda _: self.write_on_samples())
        self.keep.on_click(lambda _: self.keep_answers())
        self.to_send.on_click(lambda _: self.write_back())
        self.back.on_click(lambda _: self.show())
        names, lately = name_tasters(self.journal)
        self.taster.options = names
        self.taster.value = lately or (names[0] if len(names) == 1 else "")
        self.show()

    # ---- what people do

    @guarded
    def take_in(self) -> None:
        """Open the file that came."""
        if not self.upload.value:
            return
        file = self.upload.value[0]
        self.upload.value = ()
        with TemporaryDirectory() as folder:
            path = Path(folder) / "exercise.jsonl"
            path.write_bytes(bytes(file["content"]))
            self.given = open_exercise(self.journal, path, lexicon=self.lexicon)
        self._show()

    @guarded
    def choose(self) -> None:
        """Look at another exercise."""
        if self.which.value is not None and (self.given is None or self.which.value != self.given.tasting_id):
            self.given = next(one for one in self._exercises() if one.tasting_id == self.which.value)
            self._show()

    @guarded
    def show(self) -> None:
        """Show the exercise, and how far it got."""
        self._show()

    @guarded
    def start(self) -> None:
        """Begin the chosen part, or go on with it."""
        task = self._task
        taster_id = self.journal.taster(self.taster.value).id
        make = {"tasting": self._taste, "triangle": self._find_odd, "jars": self._smell, "words": self._read}
        self._show_part(*make[task.kind](task, taster_id))

    @guarded
    def write_on_samples(self) -> None:
        """Write notes on the labelled samples that came by mail."""
        assert self.given is not None
        self.journal.taster(self.taster.value)
        self._show_part(NotesPanel(journal=self.journal, lexicon=self.lexicon))

    @guarded
    def keep_answers(self) -> None:
        """Keep what the words mean to the student."""
        assert self.given is not None
        taster_id = self.journal.taster(self.taster.value).id
        said = {word: box.value.strip() for word, box in self.answers.items() if box.value.strip()}
        if not said:
            raise ValueError("Write what one of the words means to you first.")
        answer_words(self.journal, self.given, taster_id, said)
        self.journal.drop_draft(self._draft_key)
        self._show()

    @guarded
    def write_back(self) -> None:
        """Write the one file that goes back."""
        taster = self.journal.find_taster(self.taster.value)
        if taster is None:
            raise ValueError("Name yourself as taster, and begin a part first; there is nothing to send back yet.")
        check_folder(self._folder)
        path = send_back(self.journal, taster.id, self._folder, self._now())
        self.sent.value = (
            f'<p class="rd-sentence" role="status">In the folder {safe(self._folder.resolve())} lies '
            f"<b>{safe(path.name)}</b>.</p><p>{WHOLE}</p>"
        )

    # ---- the parts

    def _taste(self, task: Task, taster_id: str) -> tuple[w.Widget, ...]:
        """Set the table out with the coffees of the exercise, or go on with it."""
        assert self.given is not None
        newest, begun = self.journal.plans()[:1], self._begun(taster_id)
        if newest and newest[0].revealed_at is None and newest[0].tasting_id not in begun:
            raise ValueError("Another tasting is still on the table; lay its cups open in the Tasting notebook first.")
        panel = TastingPanel(journal=self.journal, lexicon=self.lexicon, folder=self._folder, now=self._now)
        if panel.plan is None and panel.form is not None:
            form = panel.form
            form.taster.value, form.cups.value = self.taster.value, task.number
            while len(form.coffees.children) < len(task.items):
                form.add_coffee()
            names = iter(task.items)
            for row in form.coffees.children:
                row.boxes[0].value = next(names, "")

        self._link(
            panel.begin, lambda: (panel.plan.taster_id, panel.plan.tasting_id) if panel.plan is not None else None
        )
        return (panel,)

    def _find_odd(self, task: Task, taster_id: str) -> tuple[w.Widget, ...]:
        """Plan the run with the coffees of the exercise, or go on with it."""
        assert self.given is not None
        panel = OddCupPanel(journal=self.journal, folder=self._folder, now=self._now)
        begun = self._begun(taster_id)[-1:]
        run = next((run for run in self.journal.runs() if run.id in begun), None)
        if run is not None:
            panel.go_on(run)
            return (panel,)
        panel.plan()
        asked = panel.planning
        asked.pair.value, asked.taster.value = "", self.taster.value
        asked.coffee_a.value, asked.coffee_b.value = task.items
        asked.triads.value = task.number

        self._link(asked.begin, lambda: (panel.run.taster_id, panel.run.id) if panel.run is not None else None)
        return (panel,)

    def _smell(self, task: Task, taster_id: str) -> tuple[w.Widget, ...]:
        panel = PracticePanel(self.journal, self.lexicon, self._folder, self._now, chosen=task.items)
        panel.taster.value = self.taster.value
        panel.start()
        jars = panel.jars
        if jars.sealed is not None and jars.sealed.commitment not in self._begun(taster_id):
            raise ValueError("Another set of jars still waits; smell it to the end in the Practice notebook first.")
        self._link(jars.draw, lambda: (taster_id, jars.sealed.commitment) if jars.sealed is not None else None)
        return (panel,)

    def _read(self, task: Task, taster_id: str) -> tuple[w.Widget, ...]:
        """Tell each word with its definition and reference, and ask what it means to the student."""
        drafts: dict[str, Any] = {}
        with taking_up():
            drafts = dict(json.loads(self.journal.drafts().get(self._draft_key, "{}")))
        self.answers, shown = {}, []
        for place in task.items:
            node = self.lexicon[place]
            box = self.answers[place] = w.Textarea(description="To me it is", rows=2, value=str(drafts.get(place, "")))
            box.add_class("rd-answer")
            box.observe(lambda _: self._keep_draft(), "value")
            reference = f'<p class="rd-quiet">{safe(node.reference)}</p>' if node.reference else ""
            shown += [w.HTML(f"<h3>{safe(node.label)}</h3><p>{safe(node.definition)}</p>{reference}"), box]
        return (*shown, w.HBox([self.keep]))

    def _begun(self, taster_id: str) -> list[str]:
        """List what the taster began for the chosen part, oldest first."""
        assert self.given is not None
        return list_begun(self.journal, self.given, taster_id, self.parts.value)

    def _link(self, button: w.Button, begun: Callable[[], tuple[str, str] | None]) -> None:
        """Keep whose and what it is that a button begins for the chosen part."""
        given, part = self.given, self.parts.value

        def link(_: w.Button) -> None:
            if given is not None and (found := begun()):
                note_begun(self.journal, given, found[0], part, found[1])

        button.on_click(link)

    # ---- what the panel shows

    def _show(self) -> None:
        self.part = None
        exercises = self._exercises()
        if self.given is None and exercises:
            self.given = exercises[-1]
        if self.given is None:
            self.stack(w.HTML(NONE), w.HBox([self.upload]))
            return
        options = [(showable(one.exercise.title), one.tasting_id) for one in reversed(exercises)]
        if tuple(self.which.options) != tuple(options):
            self.which.options = options
        self.which.value = self.given.tasting_id
        self._tell()
        check_list = self._check_lists()
        self.stack(
            *([self.which] if len(options) > 1 else []),
            self.told, self.taster, self.state, *([self.parts] if len(self.parts.options) > 1 else []),
            self.trouble, w.HBox([self.begin, self.sent_cups]), *check_list, w.HBox([self.to_send]), self.sent,
            w.HBox([self.upload]),
        )  # fmt: skip

    def _show_part(self, *widgets: w.Widget) -> None:
        self.part = widgets[0]
        self.sent.value = ""
        self.stack(w.HBox([self.back]), *widgets)

    def _tell(self) -> None:
        """Say what is to be done, and how far this taster got."""
        if self.given is None:
            return
        exercise = self.given.exercise
        tasks = "".join(f"<li>{safe(task.tell(self.lexicon))}</li>" for task in exercise.tasks)
        self.told.value = (
            f'<h3>{safe(exercise.title)}</h3><p style="white-space: pre-wrap">{safe(exercise.instructions)}</p>'
            f"<ol>{tasks}</ol>"
        )
        tracked = track_exercise(self.journal, self.given)
        own = tracked[tracked["taster"] == self._name]
        names = name_parts(exercise.tasks)
        # One row a task, in the order of the tasks.
        open_parts = [part for part, finished in enumerate(own["finished"]) if not finished]
        told = ", ".join(f"{name} {row.done} of {row.of}" for name, row in zip(names, own.itertuples(), strict=False))
        if len(own) and not open_parts:
            self.state.value = '<p class="rd-sentence" role="status">All is done. Write the file, and send it back.</p>'
        else:
            self.state.value = f"<p>So far: {told}.</p>" if told else ""
        options = [(name, part) for part, name in enumerate(names)]
        if tuple(self.parts.options) != tuple(options):
            self.parts.options = options
        self.parts.value = (open_parts or [0])[0]
        self._offer()

    def _offer(self) -> None:
        if self.given is None or self.parts.value is None:
            return
        self.begin.description = f"Begin: {self.parts.label}"
        cups = self.journal.servings(self.given.tasting_id)
        self.sent_cups.layout.display = "" if cups and self._task.kind == "tasting" else "none"

    def _check_lists(self) -> list[w.Widget]:
        """Ask yes or no about the table at home, once it is laid open, and about the samples that were sent."""
        taster = self.journal.find_taster(self.taster.value) if self.taster.value.strip() else None
        tasks = self.given.exercise.tasks if self.given else ()
        part = next((part for part, task in enumerate(tasks) if task.kind == "tasting"), None)
        if taster is None or self.given is None or part is None:
            return []
        tables = [*list_begun(self.journal, self.given, taster.id, part)[-1:], self.given.tasting_id]
        asked = [CheckList(self.journal, taster.id, table, self.lexicon) for table in tables]
        waiting = [one for one in asked if one.cup is not None]
        # Folded: nobody has to answer, and the way to send the work back stays in sight.
        return [Fold("Yes or no, if you like", *waiting)] if waiting else []

    def _exercises(self) -> list[SetExercise]:
        return list_exercises(self.journal, lexicon=self.lexicon)

    @property
    def _name(self) -> str:
        """The taster's name as the journal has it, which finds it without regard to case."""
        taster = self.journal.find_taster(self.taster.value)
        return taster.name if taster else self.taster.value.strip()

    @property
    def _task(self) -> Task:
        assert self.given is not None
        return self.given.exercise.tasks[self.parts.value]

    # ---- what is typed and not kept yet

    @property
    def _draft_key(self) -> str:
        assert self.given is not None
        return f"exercise words {self.given.tasting_id} {self._name}"

    @guarded
    def _keep_draft(self) -> None:
        kept = {word: box.value for word, box in self.answers.items()}
        self.journal.save_draft(self._draft_key, json.dumps(kept))


def name_parts(tasks: Sequence[Task]) -> list[str]:
    """Name the parts of an exercise; of two of a kind the second is counted."""
    kinds = [task.kind for task in tasks]
    counts = [kinds[: part + 1].count(kind) for part, kind in enumerate(kinds)]
    return [NAMES[kind] + (f" {count}" if count > 1 else "") for kind, count in zip(kinds, counts, strict=True)]
