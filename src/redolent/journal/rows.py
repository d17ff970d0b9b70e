"""What a journal hands out: plain, frozen rows. Times are aware, in the local time of their writing."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

STAGES = ("dry", "crust", "break", "hot", "warm", "cool")
BLINDINGS = ("helper", "self-reported", "not blind")
AIMS = ("difference", "similarity", "sequential")
RUN_EVENTS = ("prepared", "looked")


@dataclass(frozen=True, slots=True)
class Taster:
    """A person who tastes."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Coffee:
    """One lot of coffee, from one roast where the date is known."""

    id: str
    name: str
    origin: str
    process: str
    roast_date: date | None


@dataclass(frozen=True, slots=True)
class Tasting:
    """One sitting."""

    id: str
    name: str
    started_at: datetime


@dataclass(frozen=True, slots=True)
class Serving:
    """A cup on the table: its code, its place in the serving order, and its coffee where that is known."""

    id: str
    tasting_id: str
    coffee_id: str | None
    code: str
    position: int


@dataclass(frozen=True, slots=True)
class StageEvent:
    """Something that happened in a stage of a tasting, to one cup or (None) to all of them."""

    id: str
    tasting_id: str
    serving_id: str | None
    stage: str
    event: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Note:
    """One revision of a note; `note_id` is what its revisions share, `id` is its own."""

    id: str
    note_id: str
    revision: int
    taster_id: str
    serving_id: str
    stage: str
    text: str
    coached: bool
    written_at: datetime


@dataclass(frozen=True, slots=True)
class Run:
    """A triangle run as its taster may see it.

    `triads` is how many were planned, in a sequential run at most; `sitting` how many of them in one sitting, at most.
    `beta` and `pd` are None where they were not planned; `pair` names the reference pair, None where it is none.
    """

    id: str
    taster_id: str
    coffee_a_id: str
    coffee_b_id: str
    alpha: float
    blinding: str
    triads: int
    commitment: str
    started_at: datetime
    stopped_at: datetime | None
    aim: str = "difference"
    beta: float | None = None
    pd: float | None = None
    sitting: int | None = None
    pair: str | None = None


@dataclass(frozen=True, slots=True)
class RunEvent:
    """Something that happened to a triangle run: ``"prepared"`` (with how, in `detail`) or ``"looked"``."""

    id: str
    run_id: str
    event: str
    detail: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Triad:
    """Three cups as they stand before the taster, first to third, without what is in them."""

    id: str
    run_id: str
    number: int
    codes: tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Answer:
    """What the taster said about a triad, without what was true."""

    id: str
    triad_id: str
    number: int
    odd_code: str
    guessed: bool
    note: str
    answered_at: datetime


@dataclass(frozen=True, slots=True)
class RunKey:
    """What stood where in a run, triad by triad; an order is None while nobody has entered it."""

    orders: tuple[str | None, ...]
    codes: tuple[tuple[str, str, str], ...]
    nonce: str


@dataclass(frozen=True, slots=True)
class Plan:
    """The plan of a tasting as its taster may see it.

    `setup` is how it was set out; `coffees` are the ids of its coffees, A first.
    """

    id: str
    tasting_id: str
    taster_id: str
    blinding: str
    setup: Mapping[str, Any]
    coffees: tuple[str, ...]
    commitment: str
    revealed_at: datetime | None


@dataclass(frozen=True, slots=True)
class PlanKey:
    """What is sealed of a plan: the key as it was drawn, and the nonce that opens it."""

    key: Mapping[str, Any]
    nonce: str


@dataclass(frozen=True, slots=True)
class Circumstance:
    """Something observed beside the notes; `kind` says of what: "taster", "room", "reading", "grind"."""

    id: str
    tasting_id: str | None
    taster_id: str | None
    serving_id: str | None
    kind: str
    value: str
    at: datetime


@dataclass(frozen=True, slots=True)
class LineMark:
    """A mark on a line scale from 0 to 100."""

    id: str
    taster_id: str
    serving_id: str
    stage: str
    attribute: str
    mark: float
    at: datetime
