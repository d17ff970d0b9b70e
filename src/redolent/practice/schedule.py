"""When a question is due again: FSRS, replayed from the answers. Nothing is owed: what is due waits.

Scheduler: the `fsrs` package, with its published default parameters, without random fuzz and without steps
within the day (a session has its own end).
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import pandas as pd
    from fsrs import Rating, Scheduler

DRILLS = {
    "place": "Find the place",
    "name": "Name it",
    "sharpen": "Sharpen",
    "apart": "Tell apart",
    "jars": "Jars",
}
"""The key of each drill in the journal, and its name on screen."""
FAST = {"place": 10.0, "name": 20.0, "sharpen": 30.0, "apart": 15.0, "jars": 15.0}
"""Seconds within which a right answer came at once."""
SLOW = {"place": 30.0, "name": 60.0, "sharpen": 90.0, "apart": 45.0, "jars": 60.0}
"""Seconds beyond which it came with effort. Both are ours; there is no source."""
GRADES = ("not yet", "with effort", "known", "at once")
QUESTIONS_A_MINUTE = {"place": 3, "name": 1, "sharpen": 1, "apart": 1, "jars": 1}


@dataclass(frozen=True, slots=True)
class Card:
    """Where one question of a drill stands.

    Attributes
    ----------
    drill, node : str
    due : datetime
        Aware, UTC.
    days : float
        From the last answer to `due`.
    stability : float
        Days after which nine answers in ten would still be right.
    answers : int
    """

    drill: str
    node: str
    due: datetime
    days: float
    stability: float
    answers: int


def grade(drill: str, correct: bool, seconds: float | None) -> str:
    """Derive the grade from correctness and response time: one of `GRADES`.

    Without a time a right answer is "known".

    Raises
    ------
    ValueError
        Where there is no such drill or the time is negative.
    """
    if drill not in DRILLS:
        raise ValueError(f"There is no drill {drill!r}; it is one of {', '.join(DRILLS)}.")
    if seconds is not None and seconds < 0:
        raise ValueError(f"An answer takes 0 seconds or more, not {seconds}.")
    if not correct:
        return GRADES[0]
    if seconds is None or np.isnan(seconds) or FAST[drill] < seconds <= SLOW[drill]:
        return GRADES[2]
    return GRADES[3] if seconds <= FAST[drill] else GRADES[1]


def list_cards(drills: "pd.DataFrame") -> list[Card]:
    """Replay a taster's answers and say where each question stands; those not judged are left out.

    Parameters
    ----------
    drills : DataFrame
        As ``Journal.drills_frame`` gives them, of one taster, oldest first.
    """
    from fsrs import Card as Memory

    scheduler = _scheduler()
    memories: dict[tuple[str, str], Memory] = {}
    counts: dict[tuple[str, str], int] = {}
    columns = ("drill", "node", "correct", "seconds", "answered_at")
    for drill, node, correct, seconds, at in zip(*(drills[name].tolist() for name in columns), strict=True):
        if drill not in DRILLS or correct is None or correct != correct:
            continue
        moment = at.to_pydatetime()
        memory = memories.get((drill, node)) or Memory(card_id=len(memories) + 1, due=moment)
        memories[drill, node], _ = scheduler.review_card(memory, _rating(grade(drill, bool(correct), seconds)), moment)
        counts[drill, node] = counts.get((drill, node), 0) + 1
    cards = []
    for (drill, node), m in memories.items():
        assert m.last_review is not None  # every one was reviewed
        assert m.stability is not None
        days = (m.due - m.last_review) / timedelta(days=1)
        cards.append(Card(drill, node, m.due, days, m.stability, counts[drill, node]))
    return cards


def list_due(cards: Sequence[Card], now: datetime) -> list[Card]:
    """Give the cards that are due by the end of the local day of `now`, the longest due first."""
    tonight = now.replace(hour=23, minute=59, second=59)
    return sorted((card for card in cards if card.due <= tonight), key=lambda card: (card.due, card.node))


def compose_session(
    drill: str,
    minutes: int,
    cards: Sequence[Card],
    new: Collection[str],
    now: datetime,
    rng: np.random.Generator | int | None = None,
) -> list[str]:
    """Give the nodes to ask in one session: what is due, then new ones in a drawn order.

    Parameters
    ----------
    drill : str
        A key of `DRILLS`.
    minutes : int
        3 to 10.
    cards : sequence of Card
    new : collection of str
        Nodes that may be asked; those with a card are asked when they are due.
    now : datetime
        Aware, local.
    rng : numpy.random.Generator or seed

    Raises
    ------
    ValueError
        Where there is no such drill or the length is none.
    """
    if drill not in DRILLS:
        raise ValueError(f"There is no drill {drill!r}; it is one of {', '.join(DRILLS)}.")
    if not 3 <= minutes <= 10:
        raise ValueError(f"A session takes 3 to 10 minutes, not {minutes}.")
    own = [card for card in cards if card.drill == drill]
    known, may = {card.node for card in own}, list(dict.fromkeys(new))
    due = [card.node for card in list_due(own, now) if card.node in set(may)]
    fresh = [node for node in may if node not in known]
    drawn = [fresh[i] for i in np.random.default_rng(rng).permutation(len(fresh))]
    return (due + drawn)[: minutes * QUESTIONS_A_MINUTE[drill]]


@lru_cache(maxsize=1)
def _scheduler() -> "Scheduler":
    from fsrs import Scheduler

    return Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)


def _rating(said: str) -> "Rating":
    from fsrs import Rating

    return Rating(GRADES.index(said) + 1)
