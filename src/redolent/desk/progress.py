"""The progress panel: words, precision, consistency, discrimination and what next; each headed by a sentence."""

import ipywidgets as w

from redolent.charts import Exhibit, Step, lay_out
from redolent.desk.figures import hold
from redolent.desk.panel import Panel, afterwards, guarded, safe
from redolent.desk.reading import showable
from redolent.journal import Journal
from redolent.lexicon import Lexicon
from redolent.progress import review_journal
from redolent.progress.review import OnStep

COUNTING = '<p role="status">Counting: your notes are read and compared; the figures come in a few seconds.</p>'
NOTHING = "<p>There is nothing to show yet: write the first note, and look again.</p>"


class ProgressPanel(Panel):
    """How a taster's vocabulary, precision, consistency and discrimination stand.

    It shows itself first and computes after.

    Parameters
    ----------
    journal : Journal, optional
    lexicon : Lexicon, optional
    """

    def __init__(self, journal: Journal | None = None, lexicon: Lexicon | None = None) -> None:
        super().__init__("Look at your progress", journal)
        self.lexicon = lexicon or Lexicon.load()
        self.taster = w.Dropdown(description="Taster")
        self.figures = w.VBox()
        self.busy = w.IntProgress(min=0, max=1, description="Counting", layout={"visibility": "hidden"})
        self.refresh = w.Button(description="Look again")
        self._findings: dict[str, str] = {}
        self._due = True
        self._list_tasters()
        self.taster.observe(lambda _: self.show(), "value")
        self.refresh.on_click(lambda _: self.look_again())
        self.figures.children = (w.HTML(COUNTING),)
        self.stack(w.HBox([self.taster, self.refresh]), self.busy, self.figures)
        afterwards(self._show_once)

    @property
    def findings(self) -> dict[str, str]:
        """The sentence of each step, by its name."""
        self._show_once()
        return self._findings

    def look_again(self) -> None:
        """List the tasters anew, and show the chosen one."""
        before = self.taster.value
        self._list_tasters()
        if self.taster.value == before:
            self.show()

    @guarded
    def show(self) -> None:
        """Compute and draw everything for the chosen taster."""
        # What is shown of one taster must not stand under the name of another.
        self.figures.children, self._findings, self._due = (w.HTML(COUNTING),), {}, False
        if self.taster.value is None:
            self.figures.children = (w.HTML(NOTHING),)
            return
        self.busy.layout.visibility = "visible"
        shown: tuple[w.Widget, ...] = ()
        try:
            steps = look(self.journal, self.taster.value, self.lexicon, self._got_on)
            self._findings = {step.name: step.finding for step in steps}
            for step in steps:  # one by one: the first can be read while the browser draws the rest
                shown = (*shown, show_step(step))
                self.figures.children = shown
        finally:
            self.figures.children, self.busy.layout.visibility = shown, "hidden"

    def _show_once(self) -> None:
        if self._due:
            self.show()

    def _list_tasters(self) -> None:
        tasters = self.journal.tasters()
        newest = self.journal.notes(limit=1)
        ids = [taster.id for taster in tasters]
        chosen = self.taster.value if self.taster.value in ids else (newest[0].taster_id if newest else None)
        options = [(taster.name, taster.id) for taster in tasters]
        if tuple(self.taster.options) != tuple(options):
            with self.hold_trait_notifications():
                self.taster.options = options
        if ids:
            self.taster.value = chosen or ids[0]

    def _got_on(self, number: int, of: int, what: str) -> None:
        self.busy.max, self.busy.value, self.busy.description = of, number, what.capitalize()


def look(journal: Journal, taster_id: str, lexicon: Lexicon, on_step: OnStep | None = None) -> tuple[Step, ...]:
    """Give each step of a taster's progress: its name, its findings, its figures."""
    review = review_journal(journal, taster_id, lexicon=lexicon, on_step=on_step)
    return (*lay_out(review), Step("What this rests on", (Exhibit(review.basis),)))


def show_step(step: Step) -> w.VBox:
    """Show a step of a page: its findings, each with its figure, table and numbers."""
    first, *more = step.exhibits
    head = w.HTML(f'<h3>{safe(step.name)}</h3><p class="rd-sentence">{safe(first.finding)}</p>')
    parts: list[w.Widget] = [head, *_evidence(first)]
    for exhibit in more:
        parts += [w.HTML(f"<p>{safe(exhibit.finding)}</p>"), *_evidence(exhibit)]
    return w.VBox(parts)


def _evidence(exhibit: Exhibit) -> list[w.Widget]:
    figure: list[w.Widget] = [hold(exhibit.figure)] if exhibit.figure is not None else []
    if exhibit.table is not None:
        figure.append(
            w.HTML(exhibit.table.map(lambda cell: showable(str(cell))).to_html(index=False, border=0, escape=True))
        )
    if not exhibit.numbers:
        return figure
    numbers = f'<details><summary class="rd-quiet">The numbers</summary><p>{safe(exhibit.numbers)}</p></details>'
    return [*figure, w.HTML(numbers)]
