"""The practice panel: a few minutes of one drill at a time, and jars smelled blind."""

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

import ipywidgets as w
import numpy as np

from redolent.desk.drill import Drill
from redolent.desk.drill_apart import ApartDrill
from redolent.desk.drill_jars import JarDrill
from redolent.desk.drill_place import PlaceDrill
from redolent.desk.drill_recall import RecallDrill
from redolent.desk.drill_sharpen import SharpenDrill
from redolent.desk.household_form import HouseholdForm
from redolent.desk.learner import Learner
from redolent.desk.panel import Panel, chief, guarded, name_tasters
from redolent.journal import Journal
from redolent.lexicon import Lexicon
from redolent.practice import DRILLS, list_cards, list_due

MINUTES = (3, 5, 10)
INTRODUCTIONS = {
    "place": "A word, a definition or a reference is shown; walk down to where it stands in the lexicon. This is about "
    "our filing, and never enters your progress.",
    "name": "A place is given; write what comes to mind in 60 seconds. Spelling is forgiven.",
    "sharpen": "One of your own vague notes comes back with its coffee; write it again, one level deeper.",
    "apart": "Two words that you take for one another, with what to prepare and what to attend to.",
    "jars": "Kitchen references, smelled blind. Somebody prepares them, or you do and shuffle.",
}


class PracticePanel(Panel):
    """Drills between tastings.

    Parameters
    ----------
    journal : Journal, optional
    lexicon : Lexicon, optional
    folder : path, optional
        Where the sheets of the jars are written.
    now : callable, optional
        Gives the local time, aware.
    seed : int or None
        For what is drawn.
    chosen : sequence of str
        Places that an educator chose for jars: these are smelled, and no other drill is offered.
    """

    def __init__(
        self,
        journal: Journal | None = None,
        lexicon: Lexicon | None = None,
        folder: str | Path = ".",
        now: Callable[[], datetime] | None = None,
        seed: int | None = None,
        chosen: Sequence[str] = (),
    ) -> None:
        super().__init__("Practise", journal, folder, now)
        self.lexicon = lexicon or Lexicon.load()
        self.taster = w.Combobox(description="Taster", placeholder="your name", ensure_option=False)
        self.drill = w.ToggleButtons(options=[(name, key) for key, name in DRILLS.items()])
        self.minutes = w.ToggleButtons(description="Minutes", options=[(str(one), one) for one in MINUTES])
        self.about, self.due = w.HTML(), w.HTML()
        self.begin = chief("Begin")
        self.leave = w.Button(description="Enough for now")

        self.learner, self.household = Learner(self.journal, self.lexicon, self._now), HouseholdForm()
        given = (self.learner, np.random.default_rng(seed), self._show, self.attempt)
        self.jars = JarDrill(*given, household=self.household, folder=self._folder, chosen=chosen)
        apart = ApartDrill(*given, household=self.household)
        self.drills: dict[str, Drill] = {
            one.key: one
            for one in (PlaceDrill(*given), RecallDrill(*given), SharpenDrill(*given), apart, self.jars)
        }  # fmt: skip
        self._offered: tuple[w.Widget, ...] = (self.taster, self.drill, self.about, self.due, self.minutes)
        if chosen:
            self.drill.value, self._offered = self.jars.key, (self.about,)

        self.begin.on_click(lambda _: self.start())
        self.leave.on_click(lambda _: self.choose())
        self.drill.observe(lambda _: self._introduce(), "value")
        self.taster.observe(lambda _: self._introduce(), "value")
        names, lately = name_tasters(self.journal)
        self.taster.options = names
        self.taster.value = lately or (names[0] if names else "")
        self.choose()

    # ---- what people do

    @guarded
    def choose(self) -> None:
        """Show the drills and what is due today."""
        self.asking.close()
        self._introduce()
        self.stack(*self._offered, self.trouble, w.HBox([self.begin]))

    @guarded
    def start(self) -> None:
        """Begin a session of the chosen drill; a set of jars that waits is taken up again."""
        self.learner.taster_id = self.journal.taster(self.taster.value).id
        self.asking.begin(self.minutes.value)

    # ---- what the panel shows

    @property
    def asking(self) -> Drill:
        """The chosen drill."""
        return self.drills[self.drill.value]

    def _show(self, *widgets: w.Widget, buttons: tuple[w.Button, ...] = ()) -> None:
        self.stack(*widgets, self.trouble, w.HBox([*buttons, self.leave]))

    @guarded
    def _introduce(self) -> None:
        self.about.value = f"<p>{INTRODUCTIONS[self.drill.value]}</p>"
        self.minutes.layout.display = "none" if self.drill.value == "jars" else ""
        known = self.journal.find_taster(self.taster.value) if self.taster.value.strip() else None
        due = list_due(list_cards(self.journal.drills_frame(known.id)), self._now()) if known else []
        told = [f"{name} {sum(card.drill == key for card in due)}" for key, name in DRILLS.items()]
        self.due.value = (
            f"<p class='rd-quiet'>Due today: {', '.join(told)}. What is not done today waits.</p>"
            if due
            else "<p class='rd-quiet'>Nothing is due today; anything new is welcome.</p>"
        )
