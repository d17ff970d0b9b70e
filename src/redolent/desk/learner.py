"""One taster who practises: what there is to draw from, and where what is answered goes."""

import json
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from redolent.desk.panel import taking_up
from redolent.journal import Journal
from redolent.lexicon import Lexicon
from redolent.practice import Card, Pair, find_pairs, grade, list_cards, list_due
from redolent.progress import mention_frame, wording

if TYPE_CHECKING:
    import pandas as pd

_ROW = ("drill", "node", "asked", "answered", "correct", "seconds")


class Learner:
    """What the journal knows of the taster who practises.

    Parameters
    ----------
    journal : Journal
    lexicon : Lexicon
    now : callable
        Gives the local time, aware.

    Attributes
    ----------
    taster_id : str
        Empty until somebody begins.
    """

    def __init__(self, journal: Journal, lexicon: Lexicon, now: Callable[[], datetime]) -> None:
        self.journal, self.lexicon, self.now = journal, lexicon, now
        self.taster_id = ""

    # ---- what is drawn from

    def drills(self) -> "pd.DataFrame":
        """Give the answers to drills so far."""
        return self.journal.drills_frame(self.taster_id)

    def notes(self) -> "pd.DataFrame":
        """Give the taster's notes."""
        return self.journal.notes_frame(self.taster_id)

    def mentions(self) -> "pd.DataFrame":
        """Give what the taster's notes mention."""
        return mention_frame(self.notes(), lexicon=self.lexicon, personal=self.personal)

    def cards(self) -> list[Card]:
        """Give what comes back, and when."""
        return list_cards(self.drills())

    def due(self, drill: str) -> list[str]:
        """Give the places of a drill that are due today, the longest due first."""
        return list(dict.fromkeys(card.node for card in list_due(self.cards(), self.now()) if card.drill == drill))

    def pairs(self) -> tuple[Pair, ...]:
        """Give the pairs that the taster takes for one another."""
        return find_pairs(self.drills(), self.mentions(), self.lexicon, personal=self.personal)

    def weak(self) -> list[str]:
        """Give what to smell again: jars that are due, those that were missed, and what is confused."""
        drills = self.drills()
        missed = drills[(drills["drill"] == "jars") & (drills["correct"] == False)]["node"]  # noqa: E712
        confused = [node for pair in self.pairs() for node in pair.nodes]
        return list(dict.fromkeys([*self.due("jars"), *missed, *confused]))

    @property
    def personal(self) -> dict[str, str]:
        """The taster's own words, with the places that they name."""
        words = self.journal.personal_words(self.taster_id)
        return {word: node for word, node in words.items() if node in self.lexicon}

    @property
    def used(self) -> set[str]:
        """The places that the taster's notes have named."""
        return set(self.mentions()["node"].dropna())

    # ---- what is kept

    def record(self, rows: Iterable[tuple[Any, ...]], drop_draft: str) -> None:
        """Keep answers (drill, node, asked, answered, correct, seconds), and drop the draft that held them."""
        answers = [dict(zip(_ROW, row, strict=True)) for row in rows]
        self.journal.record_drills(self.taster_id, answers, at=self.now(), drop_draft=drop_draft)

    def keep(self, drill: str, node: str, asked: str, answered: str, correct: bool, seconds: float) -> str:
        """Keep one answer, and say when its question comes back."""
        self.record([(drill, node, asked, answered, correct, seconds)], drop_draft=self.draft_key(drill))
        card = next(one for one in self.cards() if (one.drill, one.node) == (drill, node))
        days = wording.count(max(1, round(card.days)), "day")
        return f"{grade(drill, correct, seconds).capitalize()}: it comes back in about {days}."

    def draft_key(self, drill: str) -> str:
        """Name the draft that holds what is typed in a drill."""
        return f"practice {drill} {self.taster_id}"

    def save_half_typed(self, drill: str, asked: Any, typed: str) -> None:
        """Keep what is typed, with what was asked; it stands there again after a restart."""
        self.journal.save_draft(self.draft_key(drill), json.dumps({"asked": asked, "typed": typed}))

    def half_typed(self, drill: str) -> tuple[Any, str]:
        """Give what was asked and what was typed where an answer is not locked; else None and nothing."""
        with taking_up():
            kept = json.loads(self.journal.drafts()[self.draft_key(drill)])
            return (kept["asked"], kept["typed"]) if kept["typed"].strip() else (None, "")
        return None, ""
