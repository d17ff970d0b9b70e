"""The tables of a journal. The migrations build them; a test holds the two together."""

from datetime import date, datetime
from typing import Annotated, Any, ClassVar
from uuid import uuid4

from sqlalchemy import BigInteger, CheckConstraint, Double, ForeignKey, Index, MetaData, Table, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from redolent.journal.moment import Day, Instant, join, rank
from redolent.journal.text import Verbatim

# Random, so that an id tells nothing of the order in which the cups of a tasting were entered.
Key = Annotated[str, mapped_column(primary_key=True, default=lambda: str(uuid4()))]

# A sealed column is left out of every query that does not name it.
Sealed = Annotated[str, mapped_column(deferred=True, deferred_raiseload=True)]


class Base(DeclarativeBase):
    """The tables, with names for all constraints, so that a later migration can address them."""

    __table__: ClassVar[Table]  # SQLAlchemy itself allows for a join, too
    type_annotation_map = {str: Verbatim, float: Double, datetime: Instant, date: Day}  # noqa: RUF012
    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


class Timed:
    """A row with its moment: `at` is UTC, `utc_offset` the minutes local time was ahead of it."""

    at: Mapped[datetime]
    utc_offset: Mapped[int]

    @property
    def local_time(self) -> datetime:
        """The moment as an aware datetime."""
        return join(self.at, self.utc_offset)


SEALED_DRAFT = "jars "
"""How the key of a draft begins that holds a sealed key: it waits here for its last answer, and leaves in no export."""


class Draft(Timed, Base):
    """What is still being typed, or waits to be answered."""

    __tablename__ = "draft"

    key: Mapped[str] = mapped_column(primary_key=True)
    text: Mapped[str]


class Taster(Base):
    """A person who tastes."""

    __tablename__ = "taster"

    id: Mapped[Key]
    name: Mapped[str] = mapped_column(unique=True)


class Coffee(Base):
    """One lot of coffee."""

    __tablename__ = "coffee"

    id: Mapped[Key]
    name: Mapped[str] = mapped_column(index=True)
    origin: Mapped[str]
    process: Mapped[str]
    roast_date: Mapped[date | None]


class Tasting(Timed, Base):
    """One sitting."""

    __tablename__ = "tasting"

    id: Mapped[Key]
    name: Mapped[str]


class Serving(Base):
    """A cup on the table."""

    __tablename__ = "serving"
    __table_args__ = (UniqueConstraint("tasting_id", "code"),)

    id: Mapped[Key]
    tasting_id: Mapped[str] = mapped_column(ForeignKey("tasting.id"))
    coffee_id: Mapped[str | None] = mapped_column(ForeignKey("coffee.id"), index=True)
    code: Mapped[str]
    position: Mapped[int]


class TastingPlan(Base):
    """What a tasting was planned to be. Append-only; it can turn "not blind", and is revealed once.

    `setup` (JSON) is how it was set out; `coffees` (JSON) the ids of its coffees, in the order of their letters.
    """

    __tablename__ = "tasting_plan"

    id: Mapped[Key]
    tasting_id: Mapped[str] = mapped_column(ForeignKey("tasting.id"), unique=True)
    taster_id: Mapped[str] = mapped_column(ForeignKey("taster.id"), index=True)
    blinding: Mapped[str]
    setup: Mapped[str]
    coffees: Mapped[str]
    commitment: Mapped[str]
    key: Mapped[Sealed]
    nonce: Mapped[Sealed]
    revealed_at: Mapped[datetime | None]
    revealed_utc_offset: Mapped[int | None]


class Circumstance(Timed, Base):
    """Something observed beside the notes: of the taster, the room, the water, the grind."""

    __tablename__ = "circumstance"

    id: Mapped[Key]
    tasting_id: Mapped[str | None] = mapped_column(ForeignKey("tasting.id"), index=True)
    taster_id: Mapped[str | None] = mapped_column(ForeignKey("taster.id"))
    serving_id: Mapped[str | None] = mapped_column(ForeignKey("serving.id"))
    kind: Mapped[str]
    value: Mapped[str]


class StageEvent(Timed, Base):
    """Something that happened in a stage of a tasting."""

    __tablename__ = "stage_event"

    id: Mapped[Key]
    tasting_id: Mapped[str] = mapped_column(ForeignKey("tasting.id"), index=True)
    serving_id: Mapped[str | None] = mapped_column(ForeignKey("serving.id"), index=True)
    stage: Mapped[str]
    event: Mapped[str]


def _rank(context: Any) -> int:
    return rank(context.get_current_parameters()["at"])


class Note(Timed, Base):
    """One revision of a note. Append-only.

    Notes are ordered by `rank`: the microseconds since 1970 of `at`, raised where two notes fall on one
    instant or the clock was set back. Revisions are in the order of their number, rank and id: two that were
    written in two copies of a journal have the same number, and both stay.
    """

    __tablename__ = "note"
    __table_args__ = (Index(None, "note_id", "revision"), Index(None, "at"))

    id: Mapped[Key]
    note_id: Mapped[str]
    revision: Mapped[int]
    taster_id: Mapped[str] = mapped_column(ForeignKey("taster.id"), index=True)
    serving_id: Mapped[str] = mapped_column(ForeignKey("serving.id"), index=True)
    stage: Mapped[str]
    text: Mapped[str]
    coached: Mapped[bool]
    rank: Mapped[int] = mapped_column(BigInteger, default=_rank, server_default="0", index=True)


class LineMark(Timed, Base):
    """A mark on an unstructured line scale from 0 to 100 (ISO 4121)."""

    __tablename__ = "line_mark"
    __table_args__ = (CheckConstraint("mark BETWEEN 0 AND 100", name="mark_on_line"),)

    id: Mapped[Key]
    taster_id: Mapped[str] = mapped_column(ForeignKey("taster.id"), index=True)
    serving_id: Mapped[str] = mapped_column(ForeignKey("serving.id"), index=True)
    stage: Mapped[str]
    attribute: Mapped[str]
    mark: Mapped[float]


class TriangleRun(Timed, Base):
    """A planned series of triads. The plan is append-only; a run can be stopped once."""

    __tablename__ = "triangle_run"

    id: Mapped[Key]
    taster_id: Mapped[str] = mapped_column(ForeignKey("taster.id"), index=True)
    coffee_a_id: Mapped[str] = mapped_column(ForeignKey("coffee.id"))
    coffee_b_id: Mapped[str] = mapped_column(ForeignKey("coffee.id"))
    alpha: Mapped[float]
    blinding: Mapped[str]
    triads: Mapped[int]
    commitment: Mapped[str]
    nonce: Mapped[Sealed]
    stopped_at: Mapped[datetime | None]
    stopped_utc_offset: Mapped[int | None]
    aim: Mapped[str] = mapped_column(default="difference", server_default="difference")
    beta: Mapped[float | None]
    pd: Mapped[float | None]
    sitting: Mapped[int | None]
    pair: Mapped[str | None]


class RunEvent(Timed, Base):
    """Something that happened to a triangle run: it was prepared, or looked at on the way. Append-only."""

    __tablename__ = "run_event"

    id: Mapped[Key]
    run_id: Mapped[str] = mapped_column(ForeignKey("triangle_run.id"), index=True)
    event: Mapped[str]
    detail: Mapped[str]


class Triad(Base):
    """Three cups, two of them alike. Append-only; an order that is not known can be entered once."""

    __tablename__ = "triad"
    __table_args__ = (UniqueConstraint("run_id", "number"),)

    id: Mapped[Key]
    run_id: Mapped[str] = mapped_column(ForeignKey("triangle_run.id"))
    number: Mapped[int]
    order: Mapped[Sealed | None]
    code_1: Mapped[str]
    code_2: Mapped[str]
    code_3: Mapped[str]

    @property
    def codes(self) -> tuple[str, str, str]:
        """The three codes, first cup to third."""
        return self.code_1, self.code_2, self.code_3


class Answer(Timed, Base):
    """The one answer to a triad. Append-only."""

    __tablename__ = "answer"

    id: Mapped[Key]
    triad_id: Mapped[str] = mapped_column(ForeignKey("triad.id"), unique=True)
    odd_code: Mapped[str]
    guessed: Mapped[bool]
    note: Mapped[str]


class DrillEvent(Timed, Base):
    """One question of a drill and what was answered."""

    __tablename__ = "drill_event"

    id: Mapped[Key]
    taster_id: Mapped[str] = mapped_column(ForeignKey("taster.id"), index=True)
    drill: Mapped[str]
    node: Mapped[str]
    asked: Mapped[str]
    answered: Mapped[str]
    correct: Mapped[bool | None]
    seconds: Mapped[float | None]


class PersonalWord(Timed, Base):
    """A taster's own word for a node of the lexicon; where it was dropped, `node` is empty."""

    __tablename__ = "personal_word"
    __table_args__ = (UniqueConstraint("taster_id", "word"),)

    id: Mapped[Key]
    taster_id: Mapped[str] = mapped_column(ForeignKey("taster.id"))
    word: Mapped[str]
    node: Mapped[str]


class SetAside(Base):
    """A triangle run as another copy of the journal has it, where two were answered. Append-only.

    `content` (JSON) holds its rows by table; `id` is the SHA-256 of that.
    """

    __tablename__ = "set_aside"

    id: Mapped[str] = mapped_column(primary_key=True)
    taster_id: Mapped[str] = mapped_column(ForeignKey("taster.id"), index=True)
    run_id: Mapped[str] = mapped_column(index=True)
    content: Mapped[str]


class Tombstone(Timed, Base):
    """What was forgotten, so that no merge brings it back. `id` is the id it had."""

    __tablename__ = "tombstone"

    id: Mapped[str] = mapped_column(primary_key=True)
    kind: Mapped[str]


class Collected(Base):
    """What came by `collect`: a row (of a run, for all of it), or id/column of a cell that was filled in."""

    __tablename__ = "collected"

    id: Mapped[str] = mapped_column(primary_key=True)
