"""The form in which an educator writes an exercise."""

from typing import Any

import ipywidgets as w

from redolent.classroom import Exercise, read_exercise
from redolent.classroom.exercise import FEWEST_TRIADS, MOST_JARS, MOST_TASKS, MOST_TRIADS, USUAL, quote
from redolent.desk.fold import Fold
from redolent.desk.panel import chief
from redolent.lexicon import Lexicon

KINDS = {"A tasting": "tasting", "Odd cups": "triangle", "Jars": "jars", "A reading of words": "words"}
_ASKED = {
    "tasting": ("Coffees", "two or more, a line each", "coffees", "Cups of each"),
    "triangle": ("Coffees", "two, a line each", "coffees", "Triads"),
    "jars": ("In the jars", f"up to {MOST_JARS} words of the lexicon, a line each", "places", ""),
    "words": ("Words", "words of the lexicon, a line each", "places", ""),
}


class TaskForm(w.VBox):
    """One task: its kind, its coffees or places, and how many."""

    def __init__(self, number: int) -> None:
        self.kind = w.ToggleButtons(options=KINDS)
        self.items = w.Textarea(rows=3)
        self.items.add_class("rd-answer")
        self.number = w.BoundedIntText(min=1, max=4)
        super().__init__([w.HTML(f"<h3>Task {number}</h3>"), self.kind, self.items, self.number])
        self.kind.observe(lambda _: self._ask(), "value")
        self._ask()

    def _ask(self) -> None:
        kind = self.kind.value
        self.items.description, self.items.placeholder, _, number = _ASKED[kind]
        self.number.layout.display = "" if number else "none"
        self.number.description = number or "Number"
        least, most = (FEWEST_TRIADS, MOST_TRIADS) if kind == "triangle" else (1, 4)
        # A bound that would pass the other for a moment is refused.
        self.number.min, self.number.max, self.number.min = 1, most, least
        self.number.value = USUAL.get(kind, 1)

    @property
    def toml(self) -> str:
        """The task as an educator would write it; empty where nothing was entered."""
        items, (_, _, name, number) = _lines(self.items), _ASKED[self.kind.value]
        if not items:
            return ""
        told: dict[str, Any] = {"kind": self.kind.value, name: items}
        if number:
            told["cups" if self.kind.value == "tasting" else "triads"] = self.number.value
        return "\n[[task]]\n" + "".join(f"{key} = {quote(value)}\n" for key, value in told.items())


class ExerciseForm(w.VBox):
    """Title, instructions, tasks, and what the check-list asks about.

    Parameters
    ----------
    lexicon : Lexicon
    """

    def __init__(self, lexicon: Lexicon) -> None:
        self._lexicon = lexicon
        self.title = w.Text(description="Title", placeholder="Week 3: sour or bitter")
        self.instructions = w.Textarea(description="Instructions", rows=4)
        self.instructions.add_class("rd-answer")
        self.tasks = w.VBox([TaskForm(1)])
        self.more = w.Button(description="Another task")
        self.checks = w.Textarea(description="Check-list", rows=3)
        self.checks.placeholder = "places to be asked about, a line each; or leave it empty for the usual ones"
        self.checks.add_class("rd-answer")
        self.make = chief("Make the exercise")
        self.more.on_click(lambda _: self.add_task())
        super().__init__(
            [
                self.title, self.instructions, self.tasks, w.HBox([self.more]),
                Fold("Asked yes or no after the tasting", self.checks), w.HBox([self.make]),
            ]
        )  # fmt: skip

    def add_task(self) -> None:
        """Ask for one more task."""
        self.tasks.children += (TaskForm(len(self.tasks.children) + 1),)
        self.more.disabled = len(self.tasks.children) >= MOST_TASKS

    def exercise(self) -> Exercise:
        """Give what was written.

        Raises
        ------
        ValueError
            Where it is no exercise; it says what is missing.
        """
        told = {"title": self.title.value, "instructions": self.instructions.value, "checks": _lines(self.checks)}
        head = "".join(f"{name} = {quote(value)}\n" for name, value in told.items())
        return read_exercise(head + "".join(task.toml for task in self.tasks.children), lexicon=self._lexicon)


def _lines(box: w.Textarea) -> list[str]:
    return [line for line in (" ".join(line.split()) for line in box.value.splitlines()) if line]
