"""The odd cup out: plan a run, answer one triad at a time, and hear what it shows."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryFile

import ipywidgets as w
import numpy as np

from redolent.blind import Seal, seal
from redolent.desk.panel import Panel, guarded, safe
from redolent.journal import Journal, Run, Triad
from redolent.tasting import day_name, find_coffee
from redolent.triangle import (
    CAUTIONS,
    ORDERS,
    design_run,
    judge,
    minimum_correct,
    pourer_sheet,
    solo_instructions,
    table_sheet,
)

ALPHA = 0.05
FEWEST, USUAL, MOST = 3, 6, 24

WAYS = {"Somebody pours for me": "helper", "I am alone at the table": "self-reported"}


class OddCupPanel(Panel):
    """Two coffees, three cups a time, one of them odd.

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
        super().__init__("Find the odd cup out", journal)
        self._folder = Path(folder)
        self._now = now or (lambda: datetime.now().astimezone())
        self._seed = seed
        self._rng = np.random.default_rng(seed)
        self.run: Run | None = None
        self.triad: Triad | None = None

        self.taster = w.Combobox(description="Taster", placeholder="your name", ensure_option=False)
        self.coffee_a = w.Combobox(description="One coffee", placeholder="its name", ensure_option=False)
        self.coffee_b = w.Combobox(description="The other", placeholder="its name", ensure_option=False)
        self.triads = w.BoundedIntText(USUAL, min=FEWEST, max=MOST, description="Triads")
        self.way = w.ToggleButtons(options=WAYS)
        self.outlook = w.HTML()
        self.begin = w.Button(description="Draw the serving order")
        self.begin.add_class("rd-chief")

        self.instructions = w.HTML()
        self.question = w.HTML()
        self.cups = w.ToggleButtons(options=())
        self.cups.add_class("rd-cups")
        self.guessed = w.Checkbox(description="I guessed", indent=False)
        self.remark = w.Text(description="Remark", placeholder="if you like")
        self.lock = w.Button(description="Lock my answer")
        self.lock.add_class("rd-chief")
        self.stop = w.Button(description="Stop this run here")
        self.stood = w.Dropdown(description="What stood there")
        self.enter = w.Button(description="Enter what stood there")
        self.enter.add_class("rd-chief")
        self.done = w.HTML()
        self.verdict = w.VBox()
        self.again = w.Button(description="Plan another run")

        self.triads.observe(lambda _: self._foresee(), "value")
        self.cups.observe(lambda _: self._ready(), "value")
        self.begin.on_click(lambda _: self.draw())
        self.lock.on_click(lambda _: self.answer())
        self.enter.on_click(lambda _: self.enter_truth())
        self.stop.on_click(lambda _: self.stop_early())
        self.again.on_click(lambda _: self.plan())
        self._foresee()
        self._resume()

    # ---- what people do

    @guarded
    def plan(self) -> None:
        """Show the plan of a new run."""
        self.run = self.triad = None
        self.taster.options = tuple(taster.name for taster in self.journal.tasters())
        names = tuple(dict.fromkeys(coffee.name for coffee in self.journal.coffees()))
        self.coffee_a.options = self.coffee_b.options = names
        self.stack(
            w.HTML(
                "<p>Each triad is three cups, two of one coffee and one of another. You say which is the odd one, even "
                f'if you guess.</p><p class="rd-quiet">{safe(" ".join(CAUTIONS))}</p>'
            ),
            self.taster, self.coffee_a, self.coffee_b, self.triads, self.outlook, self.way, w.HBox([self.begin]),
        )  # fmt: skip

    @guarded
    def draw(self) -> None:
        """Draw orders and codes, seal the key, write the sheets, and show the first triad."""
        names = [" ".join(box.value.split()) for box in (self.coffee_a, self.coffee_b)]
        if not all(names) or names[0].casefold() == names[1].casefold():
            raise ValueError("Name two different coffees.")
        self._check_folder()
        taster = self.journal.taster(self.taster.value)
        a, b = (find_coffee(self.journal, name) for name in names)
        design = design_run(self.triads.value, self._rng)
        alone = self.way.value == "self-reported"
        blinding = "not blind" if self._seed is not None and not alone else self.way.value
        # Alone, nothing is drawn beforehand but the codes: the taster shuffles, and looks afterwards.
        sealed = seal({"codes": design.codes} if alone else design.key)
        self.run = self.journal.start_run(
            taster_id=taster.id,
            coffee_a_id=a.id,
            coffee_b_id=b.id,
            alpha=ALPHA,
            blinding=blinding,
            orders=[None] * self.triads.value if alone else design.orders,
            codes=design.codes,
            commitment=sealed.commitment,
            nonce=sealed.nonce,
            at=self._now(),
        )
        self._serve()

    @guarded
    def answer(self) -> None:
        """Lock the answer to the triad on the table."""
        if self.triad is None or self.cups.value is None:
            raise ValueError("Choose the cup that you take for the odd one; if you cannot tell, guess.")
        self.journal.answer(
            self.triad.id,
            odd_code=self.cups.value,
            guessed=self.guessed.value,
            note=self.remark.value,
            at=self._now(),
        )
        self._serve()

    @guarded
    def enter_truth(self) -> None:
        """Enter, alone at the table, what stood where in the triad that was just locked."""
        pending = self._pending()
        if pending is None or self.stood.value is None:
            raise ValueError("Choose what stood where, from left to right.")
        self.journal.enter_order(pending.id, self.stood.value)
        self._serve()

    @guarded
    def stop_early(self) -> None:
        """End the run before its last triad; it is labelled so and gets no verdict."""
        if self.run is not None:
            self.run = self.journal.stop_run(self.run.id, self._now())
            self._serve()

    # ---- what the panel shows

    def _resume(self) -> None:
        """Go on with a run that was interrupted, or plan a new one."""
        for run in self.journal.runs():
            if (run.stopped_at is None and self.journal.next_triad(run.id) is not None) or self._unseen(run):
                self.run = run
                self._serve()
                return
        self.plan()

    def _foresee(self) -> None:
        n = self.triads.value
        needed = minimum_correct(n, ALPHA)
        self.outlook.value = (
            f'<p class="rd-quiet">In {n} triads, at least {needed} correct answers show a difference at the 5 % level; '
            f"by guessing, {n / 3:.0f} or so come out right. The number is fixed when the order is drawn.</p>"
            if needed
            else f'<p class="rd-quiet">{n} triads are too few for any verdict; plan more.</p>'
        )

    def _unseen(self, run: Run) -> bool:
        return run.blinding == "self-reported" and self._pending(run) is not None

    def _pending(self, run: Run | None = None) -> Triad | None:
        """Give the locked triad whose cups the taster, alone, has not looked under yet."""
        run = run or self.run
        if run is None or run.blinding != "self-reported":
            return None
        return self.journal.unentered_triad(run.id)

    def _serve(self) -> None:
        assert self.run is not None
        run = self.run
        self._tell_answers(run)
        pending = self._pending()
        if pending is not None:
            self._ask_truth(run, pending)
            return
        self.triad = None if run.stopped_at else self.journal.next_triad(run.id)
        if self.triad is None:
            self._judge(run)
            return
        self._write_sheets(run)
        a, b = self._names(run)
        self.instructions.value = self._how(run)
        self.question.value = (
            f"<h3>Triad {self.triad.number} of {run.triads}: {safe(a)} and {safe(b)}</h3>"
            "<p>Taste from left to right. Which cup is the odd one?</p>"
        )
        self.cups.options = [(f"{code}", code) for code in self.triad.codes]
        self.cups.value = None
        self.guessed.value, self.remark.value = False, ""
        self._ready()
        self.stack(
            self.instructions, self.question, self.cups, self.guessed, self.remark,
            w.HBox([self.lock, self.stop]), self.done,
        )  # fmt: skip

    def _ready(self) -> None:
        self.lock.disabled = self.cups.value is None

    def _ask_truth(self, run: Run, triad: Triad) -> None:
        a, b = self._names(run)
        self.question.value = (
            f"<h3>Triad {triad.number} of {run.triads} is locked</h3><p>Now look under the cups. "
            "What stood from left to right?</p>"
        )
        spelled = {"A": a, "B": b}
        self.stood.options = [(", ".join(spelled[c] for c in order), order) for order in ORDERS]
        self.stood.value = None
        self.stack(self.question, self.stood, w.HBox([self.enter]), self.done)

    def _how(self, run: Run) -> str:
        if run.blinding == "self-reported":
            lines = solo_instructions(run.triads).splitlines()
            body = "".join(f"<p>{safe(line)}</p>" for line in lines[1:])
            return f"<details><summary>{safe(lines[0])}: how to be blind to your own cups</summary>{body}</details>"
        return (
            f'<p class="rd-quiet">The pourer\'s key is in the file <b>{safe(_sheet_name("key", run))}</b>: '
            "hand it to whoever pours, and do not open it. The table sheet is "
            f"<b>{safe(_sheet_name('table', run))}</b>. {safe(CAUTIONS[0])}</p>"
        )

    def _tell_answers(self, run: Run) -> None:
        answers = self.journal.answers(run.id)
        rows = "".join(
            f"<tr><td>{one.number}</td><td>{safe(one.odd_code)}</td><td>{'guessed' if one.guessed else ''}</td>"
            f"<td>{safe(one.note)}</td></tr>"
            for one in answers
        )
        self.done.value = (
            "<h3>Locked answers</h3><table><tr><th>Triad</th><th>Odd cup</th><th></th><th>Remark</th></tr>"
            f"{rows}</table>"
            if rows
            else ""
        )

    def _judge(self, run: Run) -> None:
        from redolent.charts.chance import draw_chance
        from redolent.desk.figures import hold

        correct, answered = self.journal.score(run.id)
        a, b = self._names(run)
        if answered == 0:
            said: list[w.Widget] = [w.HTML("<p>The run was stopped before its first answer; nothing can be said.</p>")]
        else:
            verdict = judge(correct, answered, alpha=run.alpha, planned=run.triads)
            how = {"self-reported": " Self-reported.", "not blind": " Not blind."}.get(run.blinding, "")
            said = [
                w.HTML(f'<p class="rd-sentence" role="status">{safe(verdict.sentence)}{how}</p>'),
                hold(draw_chance(verdict)),
                w.HTML(
                    "<details><summary>The numbers</summary>"
                    f"<p>{correct} of {answered} correct: {verdict.proportion:.0%}, with a 95 % interval from "
                    f"{verdict.low:.0%} to {verdict.high:.0%} (exact, two-sided). Guessing gives 33 %.</p></details>"
                ),
            ]
        self.verdict.children = said
        self.stack(w.HTML(f"<h3>{safe(a)} and {safe(b)}</h3>"), self.verdict, self.done, w.HBox([self.again]))

    def _names(self, run: Run) -> tuple[str, str]:
        names = {coffee.id: coffee.name for coffee in self.journal.coffees()}
        return names[run.coffee_a_id], names[run.coffee_b_id]

    def _check_folder(self) -> None:
        """Raise where the sheets could not be written: a run without a pourer's key cannot be served."""
        try:
            TemporaryFile(dir=self._folder).close()
        except OSError as error:
            reason = error.strerror or str(error)
            raise ValueError(
                f"The sheets cannot be written to {self._folder.resolve()} ({reason}); make that folder writable."
            ) from error

    def _write_sheets(self, run: Run) -> None:
        """Write what is missing of the table sheet and the pourer's key; neither passes through the browser."""
        names = ["table"] if run.blinding == "self-reported" else ["table", "key"]
        if all((self._folder / _sheet_name(name, run)).exists() for name in names):
            return
        key = self.journal.pourer_key(run.id)
        a, b = self._names(run)
        taster = next(t.name for t in self.journal.tasters() if t.id == run.taster_id)
        day = day_name(run.started_at)
        sheet = table_sheet(key.codes, run.commitment, taster=taster, day=day)
        (self._folder / _sheet_name("table", run)).write_text(sheet, encoding="utf-8")
        orders = [order for order in key.orders if order is not None]
        if orders:
            sealed = Seal(run.commitment, key.nonce)
            secret = pourer_sheet(key.codes, orders, sealed, coffee_a=a, coffee_b=b, taster=taster, day=day)
            (self._folder / _sheet_name("key", run)).write_text(secret, encoding="utf-8")


def _sheet_name(kind: str, run: Run) -> str:
    """Name a sheet after the run's time: nothing that people typed goes into a file name."""
    stem = {"table": "table sheet", "key": "pourer's key"}[kind]
    return f"{stem} {run.started_at:%Y-%m-%d %H%M%S}.html"
