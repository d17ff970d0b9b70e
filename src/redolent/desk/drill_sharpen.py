"""Sharpen: one of the taster's own vague notes is written again, one level deeper."""

from dataclasses import asdict

from redolent.desk.drill import Given, Session, Words
from redolent.desk.panel import chief, safe, taking_up
from redolent.practice import VagueNote, ask_vague, judge_sharpened
from redolent.progress import wording


class SharpenDrill(Session):
    """Vague notes, each with its coffee; the notes themselves stay as they are."""

    key = "sharpen"

    def __init__(self, *given: *Given) -> None:
        super().__init__(*given)
        self.answer = Words(lambda: self.attempt(self._keep_draft))
        self.lock = chief("Lock the answer")
        self.asked: VagueNote | None = None
        self._drawn: dict[str, VagueNote] = {}
        self.on(self.lock, self.lock_answer)

    def draw(self, minutes: int) -> list[str]:
        """Draw notes: what is half typed, those whose word is due, then others; one a minute."""
        learner, notes = self.learner, self.learner.notes()
        due, done = learner.due(self.key), frozenset[str]()
        self._drawn = {}
        kept, _ = learner.half_typed(self.key)
        with taking_up():
            half = VagueNote(**kept)
            if half.node in self.lexicon:
                self._drawn[half.note_id], done = half, frozenset({half.text})
        for _ in range(minutes):
            note = ask_vague(notes, self.lexicon, self._rng, done=done, due=due, personal=learner.personal)
            if note is None:
                break
            self._drawn[note.note_id], done = note, done | {note.text}
            due = [node for node in due if node != note.node]
        if not self._drawn:
            raise ValueError("None of your notes is vague; there is nothing to sharpen.")
        return list(self._drawn)

    def ask(self, item: str) -> None:
        """Ask for a note once more."""
        asked = self.asked = self._drawn[item]
        self.question.value = (
            f"<h3>{safe(asked.coffee)}, {safe(asked.stage)}</h3><div class='rd-note'><q>{safe(asked.text)}</q></div>"
            f"<p>You wrote “{safe(asked.word)}”. Write it again, one level deeper; from memory, or with the coffee "
            "before you. The note itself stays as it is.</p>"
        )
        kept, typed = self.learner.half_typed(self.key)
        self.answer.fill(typed if kept == asdict(asked) else "")
        self.show(self.question, self.answer, buttons=(self.lock,))

    def lock_answer(self) -> None:
        """Lock the new wording, and say how much deeper it goes."""
        asked, learner, text = self.asked, self.learner, self.answer.value
        assert asked is not None
        if not text.strip():
            raise ValueError("There is no new wording yet; write the note again, one level deeper.")
        found = judge_sharpened(asked, text, self.lexicon, personal=learner.personal)
        again = learner.keep(self.key, asked.node, asked.text, text, found.correct, self.seconds)
        if found.correct:
            said = f"{wording.count(found.deeper, 'level')} deeper: {self.lexicon.place(found.node)}."
        else:
            below = ", ".join(node.label for node in self.lexicon.children(asked.node)[:7])
            said = f"Nothing below “{asked.word}” was read. Under it stand, among others: {below}."
        self.tell(f"<p class='rd-sentence'>{safe(said)}</p>", again)

    def _keep_draft(self) -> None:
        if self.asked is not None:
            self.learner.save_half_typed(self.key, asdict(self.asked), self.answer.value)
