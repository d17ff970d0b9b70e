"""The progress panel: words, precision, consistency, discrimination; each with a sentence."""

import ipywidgets as w
import plotly.graph_objects as go

from redolent.charts import draw_accumulation, draw_levels, draw_repeats, draw_triangles
from redolent.desk.figures import hold
from redolent.desk.panel import Panel, guarded, safe
from redolent.journal import Journal
from redolent.lexicon import Lexicon
from redolent.progress import accumulate, compare_repeats, level_shares, mention_frame, triangle_history

STEPS = ("Words", "Precision", "Consistency", "Discrimination")


class ProgressPanel(Panel):
    """How a taster's vocabulary, precision, consistency and discrimination stand.

    Parameters
    ----------
    journal : Journal, optional
    lexicon : Lexicon, optional
    """

    def __init__(self, journal: Journal | None = None, lexicon: Lexicon | None = None) -> None:
        super().__init__("Look at your progress", journal)
        self.lexicon = lexicon or Lexicon.load()
        names = {taster.id: taster.name for taster in self.journal.tasters()}
        newest = self.journal.notes(limit=1)
        self.taster = w.Dropdown(options=list(names.values()), description="Taster")
        if newest:
            # Chosen before anything listens: everything is computed and drawn once.
            self.taster.value = names[newest[0].taster_id]
        self.figures = w.VBox()
        self.refresh = w.Button(description="Look again")
        self.findings: dict[str, str] = {}
        self.taster.observe(lambda _: self.show(), "value")
        self.refresh.on_click(lambda _: self.show())
        if names:
            self.stack(w.HBox([self.taster, self.refresh]), self.figures)
            self.show()
        else:
            self.stack(w.HTML("<p>There is nothing to show yet: write the first note, and come back.</p>"))

    @guarded
    def show(self) -> None:
        """Compute and draw everything for the chosen taster."""
        steps = look(self.journal, self.taster.value, self.lexicon)
        self.findings = {step: finding for step, finding, _ in steps}
        self.figures.children = [
            w.VBox([w.HTML(f'<h3>{step}</h3><p class="rd-sentence">{safe(finding)}</p>'), hold(figure)])
            for step, finding, figure in steps
        ]


def look(journal: Journal, taster: str, lexicon: Lexicon) -> list[tuple[str, str, go.Figure]]:
    """Give each step of a taster's progress: its name, its finding, its figure."""
    taster_id = next(one.id for one in journal.tasters() if one.name == taster)
    words = {w: n for w, n in journal.personal_words(taster_id).items() if n in lexicon}
    mentions = mention_frame(journal.notes_frame(taster_id), lexicon=lexicon, personal=words)
    grown, levels = accumulate(mentions), level_shares(mentions)
    # Who looked under a cup says nothing about whether words come back by themselves.
    looked = {plan.tasting_id for plan in journal.plans(taster_id) if plan.blinding == "not blind"}
    blind = mentions[~mentions["tasting_id"].isin(looked)]
    repeats, runs = compare_repeats(blind), triangle_history(journal.runs_frame(taster_id))
    figures = (draw_accumulation(grown), draw_levels(levels), draw_repeats(repeats), draw_triangles(runs))
    findings = (grown.finding, levels.finding, repeats.finding, runs.finding)
    return list(zip(STEPS, findings, figures, strict=True))
