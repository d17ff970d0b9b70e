"""What a run shows: a sentence and a picture, and the numbers behind them."""

from dataclasses import dataclass

import ipywidgets as w

from redolent.desk.figures import hold
from redolent.desk.panel import safe
from redolent.desk.run_preparation import find_flaws
from redolent.journal import Answer, Journal, Run
from redolent.tasting import day_name
from redolent.triangle import SequentialRun, Verdict, judge, odd_position, plan_sequential

NEWEST = 10
HOW = {
    "self-reported": "Self-reported: alone at the table, what stood where is the taster's own word.",
    "not blind": "Not blind: the seed of the order was known.",
}


@dataclass(frozen=True, slots=True)
class RunVerdict:
    """The verdict on a run, or on what there is of it.

    Attributes
    ----------
    sentence : str
    verdict : Verdict
        In a sequential run that is undecided or looked at, by the method that holds at any time.
    steps : SequentialRun or None
        Of a sequential run.
    """

    sentence: str
    verdict: Verdict
    steps: SequentialRun | None = None

    @property
    def numbers(self) -> tuple[str, ...]:
        """What stands behind the sentence, a line each."""
        return (*((self.steps.plan.finding,) if self.steps else ()), *self.verdict.numbers)


def judge_run(run: Run, outcomes: list[bool], *, looked: bool = False, so_far: bool = False) -> RunVerdict | None:
    """Judge a run by what its plan asks for.

    Parameters
    ----------
    run : Run
    outcomes : list of bool
        Whether each answer was right, first triad to last.
    looked : bool
        Whether the run was looked at on the way without having been planned so.
    so_far : bool
        Whether it goes on.

    Returns
    -------
    RunVerdict or None
        None where there is no answer.
    """
    if not outcomes:
        return None
    correct, of = sum(outcomes), len(outcomes)
    seen = run.blinding == "self-reported"
    if run.aim != "sequential":
        verdict = judge(
            correct, of, alpha=run.alpha, planned=None if so_far else run.triads, pd=run.pd, beta=run.beta,
            similarity=run.aim == "similarity", looked=looked, seen=seen,
        )  # fmt: skip
        return RunVerdict(verdict.finding, verdict)
    steps = plan_sequential(run.alpha, run.beta or 0.2, pd=run.pd).run(outcomes)
    # The boundaries allow to look after each answer; the scales behind them have to allow it, too.
    verdict = judge(correct, of, alpha=run.alpha, pd=run.pd, beta=run.beta, looked=True)
    if steps.ended_at:
        return RunVerdict(steps.finding, verdict, steps)
    rest = "the most that were planned" if of == run.triads else f"stopped before the {run.triads} that were planned"
    reached = f"Undecided: neither boundary was reached in {of} triads, {rest}. {verdict.sentence}"
    return RunVerdict(reached, verdict, steps)


def find_verdict(journal: Journal, run: Run) -> RunVerdict | None:
    """Judge a run that is over.

    Raises
    ------
    ValueError
        Where it is not.
    """
    looked = any(event.event == "looked" for event in journal.run_events(run.id))
    return judge_run(run, journal.outcomes(run.id), looked=looked)


def is_over(journal: Journal, run: Run) -> bool:
    """Say whether a run has its last answer, or was stopped, and what stood where is known."""
    return journal.next_triad(run.id) is None and journal.unentered_triad(run.id) is None


def list_runs(journal: Journal, runs: list[Run]) -> str:
    """Write runs that are over as HTML, each with its verdict in a sentence."""
    items = []
    for run in runs:
        found = find_verdict(journal, run)
        how = f" {HOW[run.blinding].partition(':')[0]}." if run.blinding in HOW else ""
        said = f"{found.sentence if found else 'Stopped before its first answer.'}{how}"
        items.append(
            f'<div class="rd-note"><div class="rd-quiet">{safe(title_run(journal, run))}</div>{safe(said)}</div>'
        )
    return f"<h3>Runs so far, newest first</h3>{''.join(items)}" if items else ""


def title_run(journal: Journal, run: Run) -> str:
    """Name a run by its taster, its coffees and its day."""
    return f"{name_taster(journal, run)}: {' and '.join(name_coffees(journal, run))}, {day_name(run.started_at)}"


def name_taster(journal: Journal, run: Run) -> str:
    """Give the name of whose run it is."""
    return next(taster.name for taster in journal.tasters() if taster.id == run.taster_id)


def name_coffees(journal: Journal, run: Run) -> tuple[str, str]:
    """Give the names of both coffees of a run."""
    names = {coffee.id: coffee.name for coffee in journal.coffees()}
    return names[run.coffee_a_id], names[run.coffee_b_id]


class VerdictScreen:
    """The sentence and the picture first; what stood where and the numbers after them."""

    def __init__(self, trouble: w.Widget) -> None:
        self.title, self.told = w.HTML(), w.VBox()
        self.again = w.Button(description="Plan another run")
        self.widgets = (self.title, self.told, trouble, w.HBox([self.again]))

    @property
    def sentence(self) -> str:
        """What stands first, as HTML."""
        return self.told.children[0].value

    def show(self, journal: Journal, run: Run) -> None:
        """Show the verdict on a run that is over."""
        self.title.value = f"<h3>{safe(title_run(journal, run))}</h3>"
        found = find_verdict(journal, run)
        if found is None:
            self.told.children = [w.HTML("<p>The run was stopped before its first answer; nothing can be said.</p>")]
            return
        provisos = [HOW[run.blinding]] if run.blinding in HOW else []
        if found.verdict.seen and not found.verdict.anytime:
            provisos.append(
                "After each triad you saw whether you were right, so the test counts that the run could have ended "
                "where it looked good."
            )
        self.told.children = [
            *tell(found, [*provisos, *find_flaws(journal, run)]),
            w.HTML(_open(journal, run)),
        ]


def tell(found: RunVerdict, provisos: list[str]) -> list[w.Widget]:
    """Show a verdict: the sentence, what it is subject to, the picture, the numbers."""
    from redolent.charts.chance import draw_chance
    from redolent.charts.sequential import draw_sequential

    figure = draw_sequential(found.steps) if found.steps else draw_chance(found.verdict)
    said = "".join(f'<p class="rd-quiet">{safe(proviso)}</p>' for proviso in provisos)
    lines = "".join(f"<p>{safe(line)}</p>" for line in found.numbers)
    return [
        w.HTML(f'<p class="rd-sentence" role="status">{safe(found.sentence)}</p>{said}'),
        hold(figure),
        w.HTML(f"<details><summary>The numbers</summary>{lines}</details>"),
    ]


def _open(journal: Journal, run: Run) -> str:
    """Write what stood where beside what was answered, and what opens the seal."""
    key, names = journal.open_key(run.id), dict(zip("AB", name_coffees(journal, run), strict=True))
    answers: dict[int, Answer] = {answer.number: answer for answer in journal.answers(run.id)}
    rows = []
    for number, (order, codes) in enumerate(zip(key.orders, key.codes, strict=True), 1):
        if number in answers and order:
            answer, odd = answers[number], odd_position(order)
            right = "right" if answer.odd_code == codes[odd - 1] else "wrong"
            cells = (number, answer.odd_code, codes[odd - 1], names[order[odd - 1]], right)
            said = ("guessed" if answer.guessed else "", answer.note)
            rows.append("<tr>" + "".join(f"<td>{safe(cell)}</td>" for cell in (*cells, *said)) + "</tr>")
    heads = ("Triad", "You said", "Odd cup", "It was", "", "", "Remark")
    head = "".join(f"<th>{name}</th>" for name in heads)
    seal = (
        f'<p class="rd-quiet">Nonce that opens the seal {safe(run.commitment)}: {safe(key.nonce)}</p>'
        if run.blinding != "self-reported"
        else ""
    )
    return f"<details><summary>Triad by triad</summary><table><tr>{head}</tr>{''.join(rows)}</table>{seal}</details>"
