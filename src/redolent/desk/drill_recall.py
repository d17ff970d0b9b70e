"""Name it: a place is given, and what comes to mind is written against the clock."""

from redolent.desk.countdown import Countdown
from redolent.desk.drill import Given, Session, Words
from redolent.desk.panel import chief, safe
from redolent.practice import RecallQuestion, ask_recall, compose_session, judge_recall
from redolent.progress import wording

_FEWEST = 3
"""Words that a place has, to be asked about."""


class RecallDrill(Session):
    """As many words of a place as come to mind."""

    key = "name"

    def __init__(self, *given: *Given) -> None:
        super().__init__(*given)
        self.answer = Words(lambda: self.attempt(self._keep_draft))
        self.lock = chief("Lock the answer")
        self.countdown = Countdown()
        self.asked: RecallQuestion | None = None
        self.on(self.lock, self.lock_answer)
        self.countdown.observe(lambda _: self._time_is_over(), "over")

    def draw(self, minutes: int) -> list[str]:
        """Draw groups: what is half typed, those that are due, then others."""
        places = [node.id for node in self.lexicon.at("group") if len(self.lexicon.children(node.id)) >= _FEWEST]
        cards, now = self.learner.cards(), self.learner.now()
        asked = compose_session(self.key, minutes, cards, places, now, self._rng)
        kept, _ = self.learner.half_typed(self.key)
        return list(dict.fromkeys([kept, *asked])) if isinstance(kept, str) and kept in self.lexicon else asked

    def ask(self, item: str) -> None:
        """Ask what stands at a place."""
        self.asked = ask_recall(item, self.lexicon)
        self.question.value = (
            f"<h3>What stands at {safe(self.asked.place)}?</h3><p>As many words as come to mind in "
            f"{self.asked.seconds} seconds; a comma or a line between them.</p>"
        )
        kept, typed = self.learner.half_typed(self.key)
        self.answer.fill(typed if kept == item else "")
        self.show(self.question, self.countdown, self.answer, buttons=(self.lock,))
        self.countdown.start(self.asked.seconds)

    def lock_answer(self) -> None:
        """Lock what was written, and say what was read in it."""
        asked, learner, seconds = self.asked, self.learner, self.seconds
        assert asked is not None
        found = judge_recall(asked, self.answer.value, self.lexicon, used=learner.used, personal=learner.personal)
        answer = (self.key, asked.node, asked.place, self.answer.value, bool(found.named), seconds)
        # Each word is recognised from now on; what comes back is the question, not its words.
        named = [("named", node, asked.place, self.lexicon[node].label, True, None) for node in found.named]
        learner.record([answer, *named], drop_draft=learner.draft_key(self.key))
        late = "" if seconds <= asked.seconds else f" It took {seconds:.0f} seconds, and all of it was read."
        said = (
            f"{wording.count(len(found.named), 'word')} of this place came to mind, {len(found.new)} of them never "
            f"used in a note.{late}"
        )
        more = [
            ("Never used before", found.new),
            ("Not used yet, to try next", found.unused[:8]),
            ("Stand elsewhere", found.elsewhere),
        ]
        lists = "".join(
            f"<p>{title}: {safe(', '.join(self.lexicon[node].label for node in nodes))}.</p>"
            for title, nodes in more
            if nodes
        )
        self.tell(f"<p class='rd-sentence'>{safe(said)}</p>{lists}")

    def _time_is_over(self) -> None:
        if self.countdown.over == self.countdown.round:
            self.lock.click()

    def _keep_draft(self) -> None:
        if self.asked is not None:
            self.learner.save_half_typed(self.key, self.asked.node, self.answer.value)
