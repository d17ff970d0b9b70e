"""How the cups of a sitting are prepared: asked before its first triad and kept with the run."""

import json
from dataclasses import dataclass
from math import ceil
from typing import Any

import ipywidgets as w

from redolent.desk.panel import chief, safe, taking_up
from redolent.desk.reading import showable
from redolent.desk.run_plan import CUP
from redolent.journal import Journal, Run
from redolent.triangle import REFERENCE_PAIRS, Preparation

WARM = 50.0
HIDDEN = ("not hidden", "opaque cups", "dim light", "colours are alike")


@dataclass(frozen=True, slots=True)
class Sitting:
    """The sitting that a triad belongs to.

    Attributes
    ----------
    number, of : int
    triads : int
        Of this sitting.
    """

    number: int
    of: int
    triads: int


def find_sitting(run: Run, triad: int) -> Sitting:
    """Say in which sitting a triad of a run is served, its triads spread over them as evenly as they go."""
    sittings = ceil(run.triads / (run.sitting or run.triads))
    last = 0
    for number in range(sittings):
        size = run.triads // sittings + (number < run.triads % sittings)
        last += size
        if triad <= last:
            return Sitting(number + 1, sittings, size)
    raise ValueError(f"The run has {run.triads} triads, not {triad}.")


def is_prepared(journal: Journal, run: Run, sitting: Sitting) -> bool:
    """Say whether it was told how this sitting was prepared."""
    return sum(event.event == "prepared" for event in journal.run_events(run.id)) >= sitting.number


def find_flaws(journal: Journal, run: Run) -> tuple[str, ...]:
    """List what else than the coffee could be tasted in any sitting of a run, each once."""
    found: list[str] = []
    astray: list[str] = []
    for event in journal.run_events(run.id):
        if event.event == "prepared":
            with taking_up():
                told = json.loads(event.detail)
                found += _read(told).flaws
                astray += [] if told["left_to_right"] else ["Not tasted from left to right."]
    return tuple(dict.fromkeys(found + astray))


def _read(told: dict[str, Any]) -> Preparation:
    fields = {name: value for name, value in told.items() if name != "left_to_right"}
    return Preparation(**fields | {"temperatures": tuple(told["temperatures"])})


class PreparationScreen:
    """What is to be done before the first cup, and what of it was done."""

    def __init__(self, trouble: w.Widget) -> None:
        self.task = w.HTML()
        self.pooled = w.Checkbox(indent=False, description="Each coffee is one batch: all brews of it poured together")
        self.same_cups = w.Checkbox(description="All cups look alike", indent=False)
        self.rinsed = w.Checkbox(description="Water to rinse with stands ready", indent=False)
        self.left_to_right = w.Checkbox(description="The cups are tasted from left to right", indent=False)
        self.hidden = w.Dropdown(options=HIDDEN, description="Colour hidden by")
        self.brewed = w.BoundedFloatText(min=1, max=20_000, step=50, description="ml brewed of each")
        self.volume = w.BoundedFloatText(CUP, min=1, max=500, step=5, description="ml in each cup")
        self.warmth_a = w.BoundedFloatText(WARM, min=1, max=99, step=1)
        self.warmth_b = w.BoundedFloatText(WARM, min=1, max=99, step=1)
        self.open = w.HTML()
        self.ready = chief("The cups are ready")
        self.later = w.Button(description="Somebody else wants to taste")
        self._triads = 1
        self._asked = (
            self.pooled, self.same_cups, self.rinsed, self.left_to_right, self.hidden,
            self.brewed, self.volume, self.warmth_a, self.warmth_b,
        )  # fmt: skip
        self.widgets = (self.task, *self._asked, self.open, trouble, w.HBox([self.ready]), w.HBox([self.later]))
        for field in self._asked:
            field.observe(lambda _: self._tell(), "value")

    def ask(self, run: Run, sitting: Sitting, names: tuple[str, str], how: str) -> None:
        """Ask for one sitting; `how` is HTML that says how to stay blind."""
        self._triads = sitting.triads
        several = sitting.of > 1
        where = f"Sitting {sitting.number} of {sitting.of}: " if several else ""
        rest = " Come back to the next sitting after a rest, or on another day." if several else ""
        pair = REFERENCE_PAIRS.get(run.pair or "")
        recipe = f"<p>{safe(pair.recipe)}</p>" if pair else ""
        self.task.value = (
            f"<h3>{where}{safe(names[0])} and {safe(names[1])}</h3>"
            f"<p>{sitting.triads} triads, {3 * sitting.triads} cups.{rest}</p>{recipe}{how}"
            "<p>Tick what is done, and correct the numbers to what stands on your table. It is kept with the run.</p>"
        )
        for box in (self.pooled, self.same_cups, self.rinsed, self.left_to_right):
            box.value = False
        self.hidden.value = HIDDEN[0]
        self.brewed.value = 2 * sitting.triads * self.volume.value
        for box, name in ((self.warmth_a, names[0]), (self.warmth_b, names[1])):
            box.description = f"°C of {showable(name)}"
        self._tell()

    def detail(self) -> str:
        """Give what was told, as JSON."""
        return json.dumps(self._said().to_dict() | {"left_to_right": self.left_to_right.value})

    def _said(self) -> Preparation:
        return Preparation(
            brewed=self.brewed.value,
            pooled=self.pooled.value,
            volume=self.volume.value,
            temperatures=(self.warmth_a.value, self.warmth_b.value),
            same_cups=self.same_cups.value,
            hidden=self.hidden.value,
            rinsed=self.rinsed.value,
        )

    def _tell(self) -> None:
        said = self._said()
        least = 2 * self._triads * self.volume.value
        flaws = list(said.flaws)
        if not self.left_to_right.value:
            flaws.append("Taste from left to right: the order was drawn for that.")
        if not said.enough(self._triads):
            flaws.append(f"Brew at least {least:.0f} ml of each: up to two cups of a triad hold it.")
        items = "".join(f"<li>{safe(flaw)}</li>" for flaw in flaws)
        self.open.value = (
            f'<div class="rd-quiet"><p>Still open; you may go on without, and the verdict will say so:</p>'
            f"<ul>{items}</ul></div>"
            if flaws
            else '<p class="rd-quiet">All is in order: only the coffees differ.</p>'
        )
