"""One triad: which cup is odd? And alone at the table, what stood where."""

from collections.abc import Sequence

import ipywidgets as w

from redolent.desk.fold import Fold, Question
from redolent.desk.panel import chief, safe
from redolent.journal import Answer, Run, Triad
from redolent.triangle import ORDERS, solo_instructions


class AnswerScreen:
    """The triad on the table, with its forced choice."""

    def __init__(self, trouble: w.Widget) -> None:
        self.whose, self.instructions, self.question, self.done = w.HTML(), w.HTML(), w.HTML(), w.HTML()
        self.cups = w.ToggleButtons(options=())
        self.cups.add_class("rd-cups")
        self.guessed = w.Checkbox(description="I guessed", indent=False)
        self.remark = w.Text(description="Remark", placeholder="if you like")
        self.lock = chief("Lock my answer")
        self.later = w.Button(description="Somebody else wants to taste")
        self.look = Question(
            "Look at the result so far",
            "<p>The run will be labelled as looked at on the way, and judged more strictly: by the test that holds "
            "however often one looks. That cannot be undone.</p>",
            yes="Look now",
            no="Do not look",
        )
        self.stop = Question(
            "Stop this run here",
            "<p>The run will be over for good, labelled as stopped early, and judged more strictly: by the test that "
            "holds whenever one stops.</p>",
            yes="Stop it for good",
            no="Go on tasting",
        )
        self.aside = Fold(
            "Pause, look or stop",
            w.HTML("<p>For a pause just leave: the run waits at this triad, even if you close everything.</p>"),
            w.HBox([self.later]), self.look, self.stop,
        )  # fmt: skip
        self.widgets = (
            self.whose, self.question, self.cups, self.guessed, self.remark, trouble,
            w.HBox([self.lock]), self.instructions, self.done, self.aside,
        )  # fmt: skip
        self.cups.observe(lambda _: self._ready(), "value")

    def ask(self, run: Run, triad: Triad, names: tuple[str, str], *, looks: bool) -> None:
        """Ask for the odd cup of a triad; `looks` says whether a look on the way is there to be had."""
        most = "at most " if run.aim == "sequential" else ""
        self.question.value = (
            f"<h3>Triad {triad.number} of {most}{run.triads}: {safe(names[0])} and {safe(names[1])}</h3>"
            "<p>Taste from left to right, and rinse in between. Which is the odd one? If you cannot tell, guess.</p>"
        )
        self.cups.options = [(code, code) for code in triad.codes]
        self.cups.value = None
        self.aside.close_fold()
        for asked in (self.look, self.stop):
            asked.ask(False)
        self.look.layout.display = "" if looks else "none"
        self._ready()

    def tell(self, answers: Sequence[Answer]) -> None:
        """List the answers that are locked."""
        self.done.value = list_answers(answers)

    def _ready(self) -> None:
        self.lock.disabled = self.cups.value is None


class TruthScreen:
    """What stood where: asked after the lock of somebody who is alone at the table."""

    def __init__(self, trouble: w.Widget) -> None:
        self.question, self.done = w.HTML(), w.HTML()
        self.stood = w.Dropdown(description="What stood there")
        self.enter = chief("Enter what stood there")
        self.widgets = (self.question, self.stood, trouble, w.HBox([self.enter]), self.done)

    def ask(self, run: Run, triad: Triad, names: tuple[str, str], answers: Sequence[Answer]) -> None:
        """Ask what stood under the codes of a locked triad."""
        chosen = next(answer.odd_code for answer in answers if answer.triad_id == triad.id)
        self.question.value = (
            f"<h3>Triad {triad.number} of {run.triads} is locked: {chosen} is your odd one</h3>"
            f"<p>Now look under the cups {', '.join(triad.codes)}. What stood from left to right?</p>"
        )
        named = dict(zip("AB", names, strict=True))
        self.stood.options = [
            (", ".join(f"{code} {named[cup]}" for code, cup in zip(triad.codes, order, strict=True)), order)
            for order in ORDERS
        ]
        self.stood.value = None
        self.done.value = list_answers(answers)


def tell_solo(run: Run, *, unfold: bool = False) -> str:
    """Say, as HTML, how to be blind to one's own cups."""
    title, *lines = solo_instructions(run.triads).splitlines()
    body = "".join(f"<p>{safe(line)}</p>" for line in lines)
    state = " open" if unfold else ""
    return f"<details{state}><summary>{safe(title)}: how to be blind to your own cups</summary>{body}</details>"


def list_answers(answers: Sequence[Answer]) -> str:
    """Write the locked answers as an HTML table."""
    rows = "".join(
        f"<tr><td>{one.number}</td><td>{safe(one.odd_code)}</td><td>{'guessed' if one.guessed else ''}</td>"
        f"<td>{safe(one.note)}</td></tr>"
        for one in answers
    )
    heads = "<tr><th>Triad</th><th>Odd cup</th><th></th><th>Remark</th></tr>"
    return f"<h3>Locked answers</h3><table>{heads}{rows}</table>" if rows else ""
