"""The odd cup out: plan a run, prepare the cups, answer one triad at a time, and hear what it shows."""

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import ipywidgets as w
import numpy as np

from redolent.blind import seal
from redolent.desk.panel import Panel, check_folder, guarded, safe, taking_up
from redolent.desk.reading import showable
from redolent.desk.run_answer import AnswerScreen, TruthScreen, tell_solo
from redolent.desk.run_plan import PlanScreen
from redolent.desk.run_preparation import PreparationScreen, find_sitting, is_prepared
from redolent.desk.run_sheets import name_sheet, write_sheets
from redolent.desk.run_verdict import (
    NEWEST,
    VerdictScreen,
    is_over,
    judge_run,
    list_runs,
    name_coffees,
    name_taster,
    tell,
    title_run,
)
from redolent.journal import Journal, Run, Triad
from redolent.tasting import day_name, find_coffee
from redolent.triangle import CAUTIONS, design_run


class OddCupPanel(Panel):
    """Two coffees, three cups a time, one of them odd.

    One screen at a time: `planning`, `preparing`, `answering`, `uncovering` (alone: what stood where), `judging`.

    Parameters
    ----------
    journal : Journal, optional
    folder : path, optional
        Where the sheets are written; the current folder where none is given.
    now : callable, optional
        Gives the local time, aware.
    seed : int or None
        For tests only: a run whose seed is known is not blind and is stored so.
    """

    def __init__(
        self,
        journal: Journal | None = None,
        folder: str | Path = ".",
        now: Callable[[], datetime] | None = None,
        seed: int | None = None,
    ) -> None:
        super().__init__("Find the odd cup out", journal, folder, now)
        self._seed = seed
        self._rng = np.random.default_rng(seed)
        self._restoring = False
        self.run: Run | None = None
        self.triad: Triad | None = None
        self.planning = PlanScreen(self.trouble)
        self.preparing = PreparationScreen(self.trouble)
        self.answering = AnswerScreen(self.trouble)
        self.uncovering = TruthScreen(self.trouble)
        self.judging = VerdictScreen(self.trouble)
        self._on(self.planning, self.planning.begin, self.draw)
        self._on(self.preparing, self.preparing.ready, self.serve)
        self._on(self.preparing, self.preparing.later, self.plan)
        self._on(self.answering, self.answering.lock, self.answer)
        self._on(self.answering, self.answering.later, self.plan)
        self._on(self.answering, self.answering.look.yes, self.look)
        self._on(self.answering, self.answering.stop.yes, self.stop_early)
        self._on(self.uncovering, self.uncovering.enter, self.enter_truth)
        self._on(self.judging, self.judging.again, self.plan)
        for field in (self.answering.guessed, self.answering.remark):
            field.observe(lambda _: self._keep_draft(), "value")
        self._resume()

    # ---- what people do

    @guarded
    def plan(self) -> None:
        """Show the plan of a new run, the runs that wait, and those that are over."""
        self.run = self.triad = None
        runs = self.journal.runs()
        over = [run for run in runs if is_over(self.journal, run)]
        tasters = {taster.id: taster.name for taster in self.journal.tasters()}
        asked = self.planning
        asked.taster.options = tuple(tasters.values())
        if runs and not asked.taster.value:
            asked.taster.value = tasters[runs[0].taster_id]
        names = tuple(dict.fromkeys(coffee.name for coffee in self.journal.coffees()))
        asked.coffee_a.options = asked.coffee_b.options = names
        waiting = [self._offer(run) for run in runs if run not in over]
        self._show(
            self.planning,
            *([w.HTML("<h3>Runs that wait</h3>"), *waiting, w.HTML("<h3>A new run</h3>")] if waiting else []),
            *asked.widgets,
            w.HTML(list_runs(self.journal, over[:NEWEST])),
            *([self._older(over)] if len(over) > NEWEST else []),
            *([self._reopen(over)] if over else []),
        )

    @guarded
    def draw(self) -> None:
        """Draw orders and codes, seal the key, and write the sheets."""
        asked = self.planning
        names, said = asked.names, asked.said
        check_folder(self._folder)
        taster = self.journal.taster(asked.taster.value)
        a, b = (find_coffee(self.journal, name) for name in names)
        design = design_run(asked.triads.value, self._rng)
        alone = asked.way.value == "self-reported"
        # Alone, nothing is drawn beforehand but the codes: the taster shuffles, and looks afterwards.
        sealed = seal({"codes": design.codes} if alone else design.key)
        self.run = self.journal.start_run(
            taster_id=taster.id,
            coffee_a_id=a.id,
            coffee_b_id=b.id,
            blinding="not blind" if self._seed is not None and not alone else asked.way.value,
            orders=[None] * len(design.codes) if alone else design.orders,
            codes=design.codes,
            commitment=sealed.commitment,
            nonce=sealed.nonce,
            at=self._now(),
            **said,
        )
        self._next()

    @guarded
    def serve(self) -> None:
        """Keep how the cups were prepared, and serve the first triad of the sitting."""
        assert self.run is not None
        self.journal.record_run_event(self.run.id, "prepared", self.preparing.detail(), self._now())
        self._next()

    @guarded
    def answer(self) -> None:
        """Lock the answer to the triad on the table."""
        asked = self.answering
        if self.run is None or self.triad is None or asked.cups.value is None:
            raise ValueError("Choose the cup that you take for the odd one; if you cannot tell, guess.")
        self.journal.answer(
            self.triad.id,
            odd_code=asked.cups.value,
            guessed=asked.guessed.value,
            note=asked.remark.value,
            at=self._now(),
        )
        self.journal.drop_draft(_draft_key(self.run))
        self._next()

    @guarded
    def enter_truth(self) -> None:
        """Enter, alone at the table, what stood where in the triad that was just locked."""
        pending = self.run and self._pending(self.run)
        if not pending or self.uncovering.stood.value is None:
            raise ValueError("Choose what stood where, from left to right.")
        self.journal.enter_order(pending.id, self.uncovering.stood.value)
        self._next()

    @guarded
    def look(self) -> None:
        """Look at the result so far; the run is labelled so."""
        if self.run is not None:
            outcomes = self.journal.look(self.run.id, self._now())
            self.answering.look.ask(False)
            found = judge_run(self.run, outcomes, looked=True, so_far=True)
            told = tell(found, []) if found else [w.HTML("<p>There is no answer yet.</p>")]
            self._show(self.answering, *self.answering.widgets, *told)

    @guarded
    def stop_early(self) -> None:
        """End the run before its last triad; it is labelled so, and judged by what holds whenever one stops."""
        if self.run is not None:
            self.run = self.journal.stop_run(self.run.id, self._now())
            self.journal.drop_draft(_draft_key(self.run))
            self._next()

    # ---- what the panel shows

    def _on(self, screen: object, button: w.Button, act: Callable[[], None]) -> None:
        """Let a button act where its screen is shown: the second of two quick clicks meets the next screen."""
        button.on_click(lambda _: act() if self._screen is screen and not button.disabled else None)

    def _show(self, screen: object, *widgets: w.Widget) -> None:
        self._screen = screen
        self.stack(*widgets)

    def _resume(self) -> None:
        """Go on with the newest run that waits, or plan a new one."""
        waiting = (run for run in self.journal.runs() if not is_over(self.journal, run))
        self.run = next(waiting, None)
        if self.run is None:
            self.plan()
        else:
            self._next()

    def _offer(self, run: Run) -> w.Widget:
        """Offer to go on with a run that waits."""
        go_on = w.Button(description=f"Go on: {showable(title_run(self.journal, run))}")
        self._on(self.planning, go_on, lambda: self.go_on(run))
        return w.HBox([go_on])

    def go_on(self, run: Run) -> None:
        """Go on with a run where it was left."""
        self.run = run
        guarded(OddCupPanel._next)(self)

    def _older(self, over: list[Run]) -> w.Widget:
        more = w.Button(description="Show all runs")
        listing = w.HTML()

        def show(_: w.Button) -> None:
            listing.value = list_runs(self.journal, over[NEWEST:])
            more.layout.display = "none"

        more.on_click(show)
        return w.VBox([w.HBox([more]), listing])

    def _reopen(self, over: list[Run]) -> w.Widget:
        """Offer to look at a run that is over again, with its picture and its numbers."""
        titles = [showable(title_run(self.journal, run)) for run in over]
        self.past = w.Dropdown(options=list(zip(titles, over, strict=True)), value=None, description="Look again at")
        self.past.observe(lambda change: self.go_on(change["new"]) if change["new"] else None, "value")
        return self.past

    def _pending(self, run: Run) -> Triad | None:
        """Give the locked triad whose cups the taster, alone, has not looked under yet."""
        return self.journal.unentered_triad(run.id) if run.blinding == "self-reported" else None

    def _next(self) -> None:
        """Show what comes next in the run."""
        run = self.run
        assert run is not None
        names, answers = name_coffees(self.journal, run), self.journal.answers(run.id)
        pending = self._pending(run)
        if pending is not None:
            self.uncovering.ask(run, pending, names, answers)
            self._show(self.uncovering, *self.uncovering.widgets)
            return
        if run.aim == "sequential" and answers and self._is_decided(run):
            run = self.run = self.journal.stop_run(run.id, self._now())
        self.triad = self.journal.next_triad(run.id)
        if self.triad is None:
            self.judging.show(self.journal, run)
            self._show(self.judging, *self.judging.widgets)
            return
        write_sheets(self.journal, run, self._folder)
        sitting = find_sitting(run, self.triad.number)
        if not is_prepared(self.journal, run, sitting):
            self.preparing.ask(run, sitting, names, f"{self._whose(run)}{self._how(run, unfold=True)}")
            self._show(self.preparing, *self.preparing.widgets)
            return
        asked = self.answering
        asked.whose.value, asked.instructions.value = self._whose(run), self._how(run)
        asked.ask(run, self.triad, names, looks=run.blinding != "self-reported" and run.aim != "sequential")
        asked.tell(answers)
        self._take_up_draft(run, self.triad)
        self._show(self.answering, *asked.widgets)

    def _is_decided(self, run: Run) -> bool:
        found = judge_run(run, self.journal.outcomes(run.id))
        return found is not None and found.steps is not None and found.steps.ended_at is not None

    def _whose(self, run: Run) -> str:
        return (
            f'<p class="rd-quiet">This is the run of <b>{safe(name_taster(self.journal, run))}</b>, begun on '
            f"{day_name(run.started_at)}.</p>"
        )

    def _how(self, run: Run, *, unfold: bool = False) -> str:
        if run.blinding == "self-reported":
            return tell_solo(run, unfold=unfold)
        return (
            f'<p class="rd-quiet">In the folder <b>{safe(self._folder.resolve())}</b> lie the pourer\'s key '
            f"(<b>{safe(name_sheet('key', run))}</b>), for whoever pours and not for you, and the table sheet "
            f"(<b>{safe(name_sheet('table', run))}</b>). {safe(CAUTIONS[0])}</p>"
        )

    # ---- what is typed and not locked yet

    @guarded
    def _keep_draft(self) -> None:
        if self.run is None or self.triad is None or self._restoring:
            return
        asked = self.answering
        kept = {"taster": name_taster(self.journal, self.run), "triad": self.triad.id}
        kept |= {"guessed": asked.guessed.value, "remark": asked.remark.value}
        self.journal.save_draft(_draft_key(self.run), json.dumps(kept))

    def _take_up_draft(self, run: Run, triad: Triad) -> None:
        guessed, remark = False, ""
        with taking_up():
            kept = json.loads(self.journal.drafts().get(_draft_key(run), "{}"))
            if kept.get("triad") == triad.id:
                guessed, remark = bool(kept["guessed"]), str(kept["remark"])
        self._restoring = True
        self.answering.guessed.value, self.answering.remark.value = guessed, remark
        self._restoring = False


def _draft_key(run: Run) -> str:
    return f"odd cup {run.id}"
