"""The check-list that comes after the notes: place by place, was it there? Yes or no; nobody has to answer."""

from collections.abc import Sequence

import ipywidgets as w

from redolent.classroom import answer_checklist, list_checks, list_unchecked
from redolent.desk.panel import safe
from redolent.journal import Journal
from redolent.lexicon import Lexicon

WHY = (
    "Was it there or not? What nobody wrote may have been smelled all the same, so all who answer are asked the same. "
    "Leave out what you are not sure of. The notes are locked; nothing that you answer here changes them."
)


class CheckList(w.VBox):
    """Asks about one cup after the other; shows nothing where there is nothing to ask.

    Parameters
    ----------
    journal : Journal
    taster_id, tasting_id : str
        Whose notes, and at which table; nothing is asked before it is laid open.
    lexicon : Lexicon
    """

    def __init__(self, journal: Journal, taster_id: str, tasting_id: str, lexicon: Lexicon) -> None:
        self._journal, self._taster_id, self._lexicon = journal, taster_id, lexicon
        self._tasting_id = tasting_id
        self.places: Sequence[str] = list_checks(journal, tasting_id, lexicon=lexicon)
        self.head, self.said = w.HTML(), w.HTML()
        self.asked = {place: self._ask(place) for place in self.places}
        self.keep = w.Button(description="Keep the answers")
        self.keep.on_click(lambda _: self.answer())
        super().__init__()
        self.next_cup()

    def next_cup(self) -> None:
        """Ask about the next cup, if there is one."""
        waiting = list_unchecked(self._journal, self._taster_id, self._tasting_id)
        self.cup = waiting[0] if waiting else None
        if self.cup is None:
            self.children = (self.said,)
            return
        self.head.value = f'<h3>Yes or no, if you like: cup {safe(self.cup.code)}</h3><p class="rd-quiet">{WHY}</p>'
        for box in self.asked.values():
            box.value = None
        self.children = (self.head, *self.asked.values(), w.HBox([self.keep]), self.said)

    def answer(self) -> None:
        """Keep what was answered about the cup, and ask about the next one."""
        answers = {place: box.value for place, box in self.asked.items() if box.value is not None}
        try:
            if self.cup is None:
                return
            if not answers:
                raise ValueError("Answer at least one of them, or leave the check-list.")
            answer_checklist(self._journal, self._taster_id, self.cup.id, answers, lexicon=self._lexicon)
        except ValueError as error:
            self.said.value = f'<p class="rd-trouble" role="alert">{safe(error)}</p>'
            return
        self.said.value = f'<p role="status">The answers on cup {safe(self.cup.code)} are kept.</p>'
        self.next_cup()

    def _ask(self, place: str) -> w.ToggleButtons:
        box = w.ToggleButtons(options=[("yes", True), ("no", False)], value=None)
        box.description = self._lexicon[place].label
        return box
