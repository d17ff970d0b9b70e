"""The journal itself: everything a taster has written, answered and been served."""

import json
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self, TypeVar
from uuid import uuid4

from sqlalchemy import Engine, Select, delete, exists, func, select
from sqlalchemy.orm import Session

from redolent.journal import backup, frames, plans, roles, runs, schema, sealed, tombstone
from redolent.journal.error import DamagedError, JournalError
from redolent.journal.migration import check_current, is_newer, migrate, newer, revision
from redolent.journal.moment import join, rank, split
from redolent.journal.place import file_of, is_sqlite, locate
from redolent.journal.rows import (
    STAGES,
    Answer,
    Circumstance,
    Coffee,
    LineMark,
    Note,
    Plan,
    PlanKey,
    Run,
    RunEvent,
    RunKey,
    Serving,
    StageEvent,
    Taster,
    Tasting,
    Triad,
)
from redolent.journal.store import connect, scrub, writer
from redolent.journal.trouble import explained

if TYPE_CHECKING:
    import pandas as pd

_Row = TypeVar("_Row", bound=schema.Base)


class Journal:
    """A taster's journal in a database.

    Notes, answers and plans are append-only. Whatever a method saved is on the disk when it returns.
    """

    def __init__(self, engine: Engine, read_only: str | None = None) -> None:
        self._engine = engine
        self._writer = writer(engine)
        self.read_only = read_only
        """Why nothing can be written to this journal; None where it can."""
        # On a server everybody's drafts lie in one table.
        self._mine = "" if is_sqlite(engine.url) else f"{engine.url.username}/"
        self._drawn: dict[str, RunKey] = {}
        self._planned: dict[str, PlanKey] = {}

    @classmethod
    def open(cls, path_or_url: str | Path | None = None) -> Self:
        """Open a journal, make it where there is none, and bring an older one forward.

        Before it is brought forward, and once a day, a backup is taken. One that a newer version wrote is
        opened for reading alone; `read_only` says why. A server's journal is made and brought forward by its
        administrator: ``redolent journal migrate``.

        Parameters
        ----------
        path_or_url : str or Path, optional
            A file, ``":memory:"`` or any SQLAlchemy URL. Where it is None the variable REDOLENT_JOURNAL
            says, and where that is not set either, it is ``journal.db`` in the user's data folder.

        Raises
        ------
        JournalError
            Where it cannot be made, read or written. It is left as it was.
        """
        engine = connect(locate(path_or_url))
        try:
            with explained(engine.url):
                found = revision(engine)
                if is_newer(found):
                    return cls(engine, newer(engine, found))
                if not is_sqlite(engine.url):
                    check_current(engine, found)
                    return cls(engine)
                migrate(engine)
                if found and (file := file_of(engine.url)) and backup.is_due(file):
                    _back_up(file)
        except BaseException:
            engine.dispose()
            raise
        return cls(engine)

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def __repr__(self) -> str:
        return f"Journal({self.url!r})"

    @property
    def url(self) -> str:
        """Where the journal is, as a URL without its password."""
        return self._engine.url.render_as_string(hide_password=True)

    # ---- people and coffees

    def taster(self, name: str) -> Taster:
        """Find the taster of this name, or make one. Capitals make no other taster: the first spelling stays.

        Raises
        ------
        ValueError
            Where the name is empty.
        """
        name = _named(name, "taster")
        with self._write() as session:
            return _taster(_same(session, schema.Taster, name=name) or _add(session, schema.Taster(name=name)))

    def find_taster(self, name: str) -> Taster | None:
        """Find the taster of that name; None where there is none."""
        with self._read() as session:
            row = _same(session, schema.Taster, name=_tidy(name))
            return row and _taster(row)

    def tasters(self) -> list[Taster]:
        """List the tasters by name."""
        with self._read() as session:
            rows = session.scalars(select(schema.Taster).order_by(schema.Taster.name))
            return [_taster(row) for row in rows]

    def forget(self, taster_id: str) -> None:
        """Delete a taster and everything of theirs, and leave a tombstone.

        The bytes are gone from the journal's files and its backups, which are replaced by one new backup.

        Raises
        ------
        ValueError
            Where the taster is not in the journal.
        """
        file = file_of(self._engine.url)
        with self._write() as session:
            tombstone.bury(session, _get(session, schema.Taster, taster_id))
            if file:
                backup.drop_all(file)
            elif not is_sqlite(self._engine.url):
                roles.drop_login(session.connection(), taster_id)
        if file:
            backup.take(file)
        scrub(self._engine)

    def add_login(self, taster_id: str | None = None) -> str:
        """Make a taster's login to a journal on a server, or an educator's; give the journal's URL for them.

        It holds a new password; the one that a taster had before ends.

        Raises
        ------
        ValueError
            Where the journal is a file, the taster is not in it, or this login may not make others.
        """
        if is_sqlite(self._engine.url):
            raise ValueError("A journal in a file has no logins; whoever may read the file may read it all.")
        with self._write() as session:
            if taster_id is not None:
                _get(session, schema.Taster, taster_id)
            url = roles.add_login(session.connection(), taster_id)
            return url.render_as_string(hide_password=False)

    def tombstones(self) -> set[str]:
        """Give the ids of what was forgotten: no import or merge may bring it back."""
        with self._read() as session:
            return set(session.scalars(select(schema.Tombstone.id)))

    def coffee(self, name: str, *, origin: str = "", process: str = "", roast_date: date | None = None) -> Coffee:
        """Find the coffee that is the same in all four, but for capitals, or make one.

        Raises
        ------
        ValueError
            Where the name is empty.
        """
        said = {"name": _named(name, "coffee"), "origin": _tidy(origin), "process": _tidy(process)}
        with self._write() as session:
            row = _same(session, schema.Coffee, roast_date, **said)
            return _coffee(row or _add(session, schema.Coffee(**said, roast_date=roast_date)))

    def coffees(self) -> list[Coffee]:
        """List the coffees by name, then by roast date."""
        order = schema.Coffee.name, schema.Coffee.roast_date, schema.Coffee.id
        with self._read() as session:
            return [_coffee(row) for row in session.scalars(select(schema.Coffee).order_by(*order))]

    # ---- tastings

    def start_tasting(self, name: str = "", *, at: datetime | None = None) -> Tasting:
        """Start a tasting; `at` is now where it is None."""
        with self._write() as session:
            return _tasting(_add(session, schema.Tasting(name=_tidy(name), **_timed(at))))

    def tastings(self) -> list[Tasting]:
        """List the tastings, newest first."""
        with self._read() as session:
            return [_tasting(row) for row in session.scalars(_newest(schema.Tasting))]

    def add_serving(self, tasting_id: str, *, coffee_id: str | None = None, code: str, position: int = 1) -> Serving:
        """Put a cup on the table.

        Parameters
        ----------
        tasting_id : str
        coffee_id : str, optional
            None while the coffee is hidden; see `name_serving`.
        code : str
            Three digits that no other cup of the tasting has.
        position : int
            Its place in the serving order, from 1.

        Raises
        ------
        ValueError
            Where the code or the position is not such, or the tasting or coffee is not in the journal.
        """
        if not runs.CODE.fullmatch(code):
            raise ValueError(f"A serving's code is three digits, such as '417', not {code!r}.")
        if position < 1:
            raise ValueError(f"A serving's position counts from 1; it cannot be {position}.")
        with self._write() as session:
            _get(session, schema.Tasting, tasting_id)
            if coffee_id is not None:
                _get(session, schema.Coffee, coffee_id)
            if _find_serving(session, tasting_id, code):
                raise ValueError(f"The code {code} is taken in this tasting; draw another one.")
            row = schema.Serving(tasting_id=tasting_id, coffee_id=coffee_id, code=code, position=position)
            return _serving(_add(session, row))

    def name_serving(self, serving_id: str, coffee_id: str) -> Serving:
        """Say which coffee was in a cup, once it is known.

        Raises
        ------
        ValueError
            Where the serving has its coffee already, or one of the two is not in the journal.
        """
        with self._write() as session:
            row = _get(session, schema.Serving, serving_id)
            _get(session, schema.Coffee, coffee_id)
            if row.coffee_id is not None:
                raise ValueError(f"Serving {row.code} has its coffee already; it is named once and stays.")
            row.coffee_id = coffee_id
            return _serving(row)

    def servings(self, tasting_id: str | None = None) -> list[Serving]:
        """List the cups of one tasting, or of all from the oldest on, in their serving order."""
        query = (
            select(schema.Serving)
            .join(schema.Tasting)
            .order_by(schema.Tasting.at, schema.Tasting.id, schema.Serving.position, schema.Serving.code)
        )
        if tasting_id is not None:
            query = query.where(schema.Serving.tasting_id == tasting_id)
        with self._read() as session:
            return [_serving(row) for row in session.scalars(query)]

    def find_serving(self, tasting_id: str, code: str) -> Serving | None:
        """Find the cup with this code; None where there is none."""
        with self._read() as session:
            row = _find_serving(session, tasting_id, code)
            return row and _serving(row)

    def record_stage(
        self,
        tasting_id: str,
        stage: str,
        event: str,
        serving_id: str | None = None,
        at: datetime | None = None,
    ) -> StageEvent:
        """Record that something happened in a stage, such as "started" or "pour".

        Raises
        ------
        ValueError
            Where the stage is unknown, the event is empty or the serving is not of this tasting.
        """
        _check_stage(stage)
        event = _named(event, "stage event")
        with self._write() as session:
            _get(session, schema.Tasting, tasting_id)
            if serving_id is not None and _get(session, schema.Serving, serving_id).tasting_id != tasting_id:
                raise ValueError("The serving stands in another tasting; give one of this tasting or none.")
            row = schema.StageEvent(
                tasting_id=tasting_id, serving_id=serving_id, stage=stage, event=event, **_timed(at)
            )
            return _stage_event(_add(session, row))

    def stage_events(self, tasting_id: str) -> list[StageEvent]:
        """List what happened in a tasting, oldest first."""
        table = schema.StageEvent
        query = select(table).where(table.tasting_id == tasting_id).order_by(table.at, table.id)
        with self._read() as session:
            return [_stage_event(row) for row in session.scalars(query)]

    # ---- planned tastings

    def plan_tasting(
        self,
        *,
        taster_id: str,
        name: str = "",
        blinding: str,
        coffees: Sequence[str],
        codes: Sequence[str],
        key: Mapping[str, Any],
        commitment: str,
        nonce: str,
        setup: Mapping[str, Any] | None = None,
        at: datetime | None = None,
    ) -> Plan:
        """Store the plan of a tasting, its cups without their coffees, and its sealed key, in one step.

        Parameters
        ----------
        taster_id : str
        name : str
            Of the tasting.
        blinding : {"helper", "self-reported", "not blind"}
        coffees : sequence of str
            Ids of the coffees, in the order of their letters.
        codes : sequence of str
            Of the cups, in the order of tasting.
        key : mapping
            What is sealed. Where its ``order`` is a letter a cup, `reveal_tasting` reads it.
        commitment, nonce : str
            The seal of the key.
        setup : mapping, optional
            How the table was set out: anything that JSON can write.
        at : datetime, optional
            Now where it is None.

        Raises
        ------
        ValueError
            Where the plan does not hold together or an id is not in the journal.
        """
        plans.check_plan(blinding, coffees, codes)
        with self._write() as session:
            _get(session, schema.Taster, taster_id)
            for coffee_id in coffees:
                _get(session, schema.Coffee, coffee_id)
            tasting = _add(session, schema.Tasting(name=_tidy(name), **_timed(at)))
            for position, code in enumerate(codes, 1):
                session.add(schema.Serving(tasting_id=tasting.id, code=code, position=position))
            row = schema.TastingPlan(
                tasting_id=tasting.id,
                taster_id=taster_id,
                blinding=blinding,
                setup=plans.write(setup or {}),
                coffees=plans.write(list(coffees)),
                commitment=commitment,
                key=plans.write(key),
                nonce=nonce,
            )
            planned = plans.plan(_add(session, row))
        # As with a run: a server hands the key back to nobody before the reveal.
        self._planned[planned.tasting_id] = PlanKey(json.loads(plans.write(key)), nonce)
        return planned

    def plans(self, taster_id: str | None = None) -> list[Plan]:
        """List the plans of tastings, newest first, without what is sealed."""
        table = schema.TastingPlan
        query = select(table).join(schema.Tasting).order_by(schema.Tasting.at.desc(), table.id)
        if taster_id is not None:
            query = query.where(table.taster_id == taster_id)
        with self._read() as session:
            return [plans.plan(row) for row in session.scalars(query)]

    def pourer_plan(self, tasting_id: str) -> PlanKey:
        """Give a tasting's key to whoever pours. It never goes to anything that the taster sees.

        Raises
        ------
        ValueError
            Where the tasting was not planned.
        """
        if tasting_id in self._planned:
            return self._planned[tasting_id]
        with self._read() as session:
            return plans.key(session, tasting_id)

    def open_plan(self, tasting_id: str) -> PlanKey:
        """Give the key of a tasting that is revealed.

        Raises
        ------
        ValueError
            While it is not.
        """
        with self._read() as session:
            if plans.find(session, tasting_id).revealed_at is None:
                raise ValueError("The key stays sealed until the reveal.")
            return plans.key(session, tasting_id)

    def reveal_tasting(self, tasting_id: str, *, order: str | None = None, at: datetime | None = None) -> Plan:
        """End a tasting: from now on each cup has its coffee. One that is revealed stays as it is.

        Parameters
        ----------
        tasting_id : str
        order : str, optional
            What stood where, a letter a cup, from who tasted alone and has looked under the cups; from the sealed
            key where it is None.
        at : datetime, optional
            Now where it is None.

        Raises
        ------
        ValueError
            Where the tasting was not planned, or the order does not say for each cup which coffee it held.
        """
        with self._write() as session:
            row = plans.find(session, tasting_id)
            if row.revealed_at is not None:
                return plans.plan(row)
            coffees = plans.plan(row).coffees
            sealed.reveal(session, row, *split(at))
            if order is None:
                order = plans.key(session, tasting_id).key.get("order")
            served = session.scalars(
                select(schema.Serving).filter_by(tasting_id=tasting_id).order_by(schema.Serving.position)
            ).all()
            places = [ord(letter) - ord("A") for letter in order or ""]
            if len(places) != len(served) or not all(0 <= place < len(coffees) for place in places):
                raise ValueError("Say for each cup which coffee stood there.")
            for serving, place in zip(served, places, strict=True):
                serving.coffee_id = coffees[place]
            return plans.plan(row)

    def unblind_tasting(self, tasting_id: str) -> Plan:
        """Note that the taster looked: the tasting is not blind, and stays so.

        Raises
        ------
        ValueError
            Where the tasting was not planned.
        """
        with self._write() as session:
            row = plans.find(session, tasting_id)
            row.blinding = "not blind"
            return plans.plan(row)

    def note_circumstance(
        self,
        kind: str,
        value: str,
        *,
        tasting_id: str | None = None,
        taster_id: str | None = None,
        serving_id: str | None = None,
        at: datetime | None = None,
    ) -> Circumstance:
        """Keep something observed beside the notes, such as ("taster", "a cold") or ("reading", "71.5").

        Raises
        ------
        ValueError
            Where the kind or the value is empty or an id is not in the journal.
        """
        kind, value = _named(kind, "circumstance"), _named(value, "circumstance's value")
        about = {schema.Tasting: tasting_id, schema.Taster: taster_id, schema.Serving: serving_id}
        with self._write() as session:
            for table, key in about.items():
                if key is not None:
                    _get(session, table, key)
            row = schema.Circumstance(
                tasting_id=tasting_id,
                taster_id=taster_id,
                serving_id=serving_id,
                kind=kind,
                value=value,
                **_timed(at),
            )
            return _circumstance(_add(session, row))

    def circumstances(self, tasting_id: str | None = None, kind: str | None = None) -> list[Circumstance]:
        """List what was observed, oldest first: in one tasting or in all, of one kind or of any."""
        table = schema.Circumstance
        query = select(table).order_by(table.at, table.id)
        if tasting_id is not None:
            query = query.where(table.tasting_id == tasting_id)
        if kind is not None:
            query = query.where(table.kind == kind)
        with self._read() as session:
            return [_circumstance(row) for row in session.scalars(query)]

    def mark_line(
        self,
        *,
        taster_id: str,
        serving_id: str,
        stage: str,
        attribute: str,
        mark: float,
        at: datetime | None = None,
    ) -> LineMark:
        """Keep a mark on an unstructured line scale from 0 to 100 (ISO 4121).

        Raises
        ------
        ValueError
            Where the stage is unknown, the mark is off the line, or an id is not in the journal.
        """
        _check_stage(stage)
        if not 0 <= mark <= 100:
            raise ValueError(f"A mark lies on the line from 0 to 100; it cannot be {mark}.")
        attribute = _named(attribute, "line scale")
        with self._write() as session:
            _get(session, schema.Taster, taster_id)
            _get(session, schema.Serving, serving_id)
            row = schema.LineMark(
                taster_id=taster_id,
                serving_id=serving_id,
                stage=stage,
                attribute=attribute,
                mark=float(mark),
                **_timed(at),
            )
            return _line_mark(_add(session, row))

    def line_marks(self, tasting_id: str | None = None) -> list[LineMark]:
        """List the marks of one tasting or of all, oldest first."""
        table = schema.LineMark
        query = select(table).join(schema.Serving).order_by(table.at, table.id)
        if tasting_id is not None:
            query = query.where(schema.Serving.tasting_id == tasting_id)
        with self._read() as session:
            return [_line_mark(row) for row in session.scalars(query)]

    # ---- notes

    def save_note(
        self,
        *,
        taster_id: str,
        serving_id: str,
        stage: str,
        text: str,
        at: datetime | None = None,
        coached: bool = False,
        note_id: str | None = None,
        drop_draft: str | None = None,
    ) -> Note:
        """Save a note as it was written; it is on the disk when this returns.

        Parameters
        ----------
        taster_id, serving_id : str
        stage : str
            One of `STAGES`.
        text : str
            Any string; none of it is changed.
        at : datetime, optional
            Now where it is None.
        coached : bool
            Whether it was written after coaching.
        note_id : str, optional
            The note of which this is a new revision.
        drop_draft : str, optional
            The key of a draft that goes when the note is saved, in one step.

        Raises
        ------
        ValueError
            Where the stage is unknown, an id is not in the journal, or a revision names another taster,
            serving or stage than its note.
        """
        _check_stage(stage)
        with self._write() as session:
            _get(session, schema.Taster, taster_id)
            _get(session, schema.Serving, serving_id)
            row = schema.Note(
                note_id=note_id or str(uuid4()),
                revision=1,
                taster_id=taster_id,
                serving_id=serving_id,
                stage=stage,
                text=text,
                coached=coached,
                **_timed(at),
            )
            if note_id is not None:
                row.revision = _next_revision(session, row)
            row.rank = _next_rank(session, row.at, live=at is None)
            if drop_draft is not None:
                session.execute(delete(schema.Draft).where(schema.Draft.key == self._mine + drop_draft))
            return _note(_add(session, row))

    def notes(self, taster_id: str | None = None, limit: int | None = None) -> list[Note]:
        """List the notes, each in its latest revision, newest first."""
        order = schema.Note.rank.desc(), schema.Note.id
        query = select(schema.Note).where(frames.is_latest()).order_by(*order).limit(limit)
        if taster_id is not None:
            query = query.where(schema.Note.taster_id == taster_id)
        with self._read() as session:
            return [_note(row) for row in session.scalars(query)]

    def revisions(self, note_id: str) -> list[Note]:
        """List the revisions of a note, first to latest."""
        order = schema.Note.revision, schema.Note.rank, schema.Note.id
        query = select(schema.Note).where(schema.Note.note_id == note_id).order_by(*order)
        with self._read() as session:
            return [_note(row) for row in session.scalars(query)]

    def save_draft(self, key: str, text: str) -> None:
        """Keep what is being typed, in place of what was kept under the same key."""
        with self._write() as session:
            session.merge(schema.Draft(key=self._mine + key, text=text, **_timed()))

    def drafts(self) -> dict[str, str]:
        """Give the drafts by key, oldest first."""
        with self._read() as session:
            rows = session.scalars(select(schema.Draft).order_by(schema.Draft.at, schema.Draft.key))
            return {row.key[len(self._mine) :]: row.text for row in rows if row.key.startswith(self._mine)}

    def drop_draft(self, key: str) -> None:
        """Forget a draft, where there is one."""
        with self._write() as session:
            session.execute(delete(schema.Draft).where(schema.Draft.key == self._mine + key))

    # ---- a taster's own words

    def personal_words(self, taster_id: str) -> dict[str, str]:
        """Give the node id of each of a taster's own words."""
        table = schema.PersonalWord
        own = select(table.word, table.node).where(table.taster_id == taster_id, table.node != "")
        query = own.order_by(table.word)
        with self._read() as session:
            return {word: node for word, node in session.execute(query)}

    def all_personal_words(self) -> dict[str, dict[str, str]]:
        """Give the own words of everybody who has any, by the taster's id; see `personal_words`."""
        table = schema.PersonalWord
        query = select(table.taster_id, table.word, table.node).where(table.node != "").order_by(table.word)
        words: dict[str, dict[str, str]] = {}
        with self._read() as session:
            for taster_id, word, node in session.execute(query):
                words.setdefault(taster_id, {})[word] = node
        return words

    def add_personal_word(self, taster_id: str, word: str, node: str) -> None:
        """Let a word of the taster's own mean a node, from now on.

        Raises
        ------
        ValueError
            Where the word or the node is empty or the taster is not in the journal.
        """
        word, node = _named(word, "personal word"), _named(node, "node")
        with self._write() as session:
            _get(session, schema.Taster, taster_id)
            row = session.scalar(select(schema.PersonalWord).filter_by(taster_id=taster_id, word=word))
            if row is None:
                _add(session, schema.PersonalWord(taster_id=taster_id, word=word, node=node, **_timed()))
            else:
                _turn(row, node)

    def drop_personal_word(self, taster_id: str, word: str) -> None:
        """Let a word of the taster's own mean nothing from now on, where there is one.

        Its row stays, so that no older copy that is collected brings the word back.
        """
        with self._write() as session:
            row = session.scalar(select(schema.PersonalWord).filter_by(taster_id=taster_id, word=_tidy(word)))
            if row is not None and row.node:
                _turn(row, "")

    # ---- drills

    def record_drills(
        self, taster_id: str, answers: Iterable[Mapping[str, Any]], *, at: datetime | None = None, drop_draft: str = ""
    ) -> None:
        """Keep the answers to questions of drills; they are on the disk when this returns, all or none.

        Parameters
        ----------
        taster_id : str
        answers : iterable of mapping
            ``drill``, ``node`` (what was right), ``asked``, ``answered`` (as it was given), ``correct`` (None where it
            is not judged) and, where it was taken, ``seconds``.
        at : datetime, optional
            Now where it is None.
        drop_draft : str, optional
            The key of a draft that goes in the same step.

        Raises
        ------
        ValueError
            Where the taster is not in the journal, or an answer took less than no time.
        """
        answers = [dict(answer) for answer in answers]
        if any((answer.get("seconds") or 0) < 0 for answer in answers):
            raise ValueError("An answer took less than no time; set the clock right and answer again.")
        with self._write() as session:
            _get(session, schema.Taster, taster_id)
            session.add_all(schema.DrillEvent(taster_id=taster_id, **answer, **_timed(at)) for answer in answers)
            if drop_draft:
                session.execute(delete(schema.Draft).where(schema.Draft.key == self._mine + drop_draft))

    # ---- triangle runs

    def start_run(
        self,
        *,
        taster_id: str,
        coffee_a_id: str,
        coffee_b_id: str,
        alpha: float,
        blinding: str,
        orders: Sequence[str | None],
        codes: Sequence[Sequence[str]],
        commitment: str,
        nonce: str,
        aim: str = "difference",
        beta: float | None = None,
        pd: float | None = None,
        sitting: int | None = None,
        pair: str | None = None,
        at: datetime | None = None,
    ) -> Run:
        """Store the plan of a triangle run and its key.

        Parameters
        ----------
        taster_id, coffee_a_id, coffee_b_id : str
        alpha : float
            The planned risk of a false alarm, between 0 and 1.
        blinding : {"helper", "self-reported", "not blind"}
        orders : sequence of str or None
            For each triad what stands where, such as ``"ABA"``. None only where the taster shuffles and
            looks afterwards (self-reported): `enter_order` takes it then.
        codes : sequence of three str each
            For each triad the three-digit codes, first cup to third.
        commitment, nonce : str
            The seal of the key.
        aim : {"difference", "similarity", "sequential"}
        beta, pd : float, optional
            The planned risk of a miss and the smallest share of discriminators that matters.
        sitting : int, optional
            The most triads of one sitting.
        pair : str, optional
            The name of the reference pair.
        at : datetime, optional
            Now where it is None.

        Raises
        ------
        ValueError
            Where the plan does not hold together or an id is not in the journal.
        """
        runs.check_plan(alpha, blinding, orders, codes)
        runs.check_aim(aim, beta, pd, sitting)
        if coffee_a_id == coffee_b_id:
            raise ValueError("A triangle run compares two coffees; give two different ones.")
        with self._write() as session:
            _get(session, schema.Taster, taster_id)
            _get(session, schema.Coffee, coffee_a_id)
            _get(session, schema.Coffee, coffee_b_id)
            run = schema.TriangleRun(
                taster_id=taster_id,
                coffee_a_id=coffee_a_id,
                coffee_b_id=coffee_b_id,
                alpha=alpha,
                blinding=blinding,
                triads=len(orders),
                commitment=commitment,
                nonce=nonce,
                aim=aim,
                beta=beta,
                pd=pd,
                sitting=sitting,
                pair=pair,
                **_timed(at),
            )
            _add(session, run)
            for number, (order, three) in enumerate(zip(orders, codes, strict=True), start=1):
                code_1, code_2, code_3 = three
                session.add(
                    schema.Triad(run_id=run.id, number=number, order=order, code_1=code_1, code_2=code_2, code_3=code_3)
                )
            # Whoever draws has seen the key; on a server nobody else reads it before the run is over.
            self._drawn[run.id] = RunKey(tuple(orders), tuple((one, two, three) for one, two, three in codes), nonce)
            return _run(run)

    def runs(self, taster_id: str | None = None) -> list[Run]:
        """List the triangle runs, newest first, without what is sealed."""
        query = _newest(schema.TriangleRun)
        if taster_id is not None:
            query = query.where(schema.TriangleRun.taster_id == taster_id)
        with self._read() as session:
            return [_run(row) for row in session.scalars(query)]

    def next_triad(self, run_id: str) -> Triad | None:
        """Give the first triad without an answer; None where all have one or the run is stopped.

        Raises
        ------
        ValueError
            Where the run is not in the journal.
        """
        with self._read() as session:
            run = _get(session, schema.TriangleRun, run_id)
            row = runs.next_triad(session, run)
            return row and _triad(row)

    def answer(
        self,
        triad_id: str,
        *,
        odd_code: str,
        guessed: bool = False,
        note: str = "",
        at: datetime | None = None,
    ) -> Answer:
        """Say which cup is the odd one. The answer is locked from then on.

        Parameters
        ----------
        triad_id : str
            The run's next triad.
        odd_code : str
            The code of the odd cup, one of the triad's three.
        guessed : bool
            Whether the taster says it is a guess.
        note : str
            What the taster wants to remember of it.
        at : datetime, optional
            Now where it is None.

        Raises
        ------
        ValueError
            Where the triad is locked (it is answered, not next, or its run is stopped), it has no such
            code, or it is not in the journal.
        """
        with self._write() as session:
            triad = _get(session, schema.Triad, triad_id)
            run = _get(session, schema.TriangleRun, triad.run_id)
            following = runs.next_triad(session, run)
            if following is None or following.id != triad.id:
                raise ValueError(runs.locked(triad, run, following))
            if odd_code not in triad.codes:
                raise ValueError(f"The odd cup is one of {', '.join(triad.codes)}, not {odd_code!r}.")
            row = schema.Answer(
                id=str(uuid4()), triad_id=triad.id, odd_code=odd_code, guessed=guessed, note=note, **_timed(at)
            )
            sealed.lock(session, row)
            return _answer(row, triad.number)

    def answers(self, run_id: str) -> list[Answer]:
        """List the answers of a run, first triad to last, without what was true."""
        query = (
            select(schema.Answer, schema.Triad.number)
            .join(schema.Triad)
            .where(schema.Triad.run_id == run_id)
            .order_by(schema.Triad.number)
        )
        with self._read() as session:
            return [_answer(row, number) for row, number in session.execute(query)]

    def stop_run(self, run_id: str, at: datetime | None = None) -> Run:
        """End a run before its last triad. A run that is over already stays as it is.

        Raises
        ------
        ValueError
            Where the run is not in the journal.
        """
        with self._write() as session:
            run = _get(session, schema.TriangleRun, run_id)
            if runs.next_triad(session, run) is not None:
                run.stopped_at, run.stopped_utc_offset = split(at)
            return _run(run)

    def record_run_event(self, run_id: str, event: str, detail: str = "", at: datetime | None = None) -> RunEvent:
        """Record that a run was prepared, and how.

        Parameters
        ----------
        run_id : str
        event : {"prepared", "looked"}
        detail : str, optional
        at : datetime, optional
            Now where it is None.

        Raises
        ------
        ValueError
            Where there is no such event, or the run is not in the journal.
        """
        runs.check_event(event)
        with self._write() as session:
            _get(session, schema.TriangleRun, run_id)
            row = schema.RunEvent(run_id=run_id, event=event, detail=detail, **_timed(at))
            return _run_event(_add(session, row))

    def run_events(self, run_id: str) -> list[RunEvent]:
        """List what happened to a run, oldest first."""
        table = schema.RunEvent
        query = select(table).where(table.run_id == run_id).order_by(table.at, table.id)
        with self._read() as session:
            return [_run_event(row) for row in session.scalars(query)]

    def look(self, run_id: str, at: datetime | None = None) -> list[bool]:
        """Look at the result so far; that it was looked at is recorded first, and stays with the run.

        Raises
        ------
        ValueError
            Where the order of an answered triad has not been entered, or the run is not in the journal.
        """
        with self._write() as session:
            run = _get(session, schema.TriangleRun, run_id)
            told = runs.outcomes(session, run_id)
            if runs.next_triad(session, run) is not None:
                _add(session, schema.RunEvent(run_id=run_id, event="looked", detail="", **_timed(at)))
            return told

    def outcomes(self, run_id: str) -> list[bool]:
        """Say of each answer, first triad to last, whether it was right.

        Of a run that is over, or of a sequential one, whose plan looks after each answer.

        Raises
        ------
        ValueError
            As for `open_key`.
        """
        with self._read() as session:
            run = _get(session, schema.TriangleRun, run_id)
            if run.aim != "sequential":
                runs.check_open(session, run_id)
            return runs.outcomes(session, run_id)

    def enter_order(self, triad_id: str, order: str) -> None:
        """Enter what stood where in a self-reported triad, once it is answered.

        Parameters
        ----------
        triad_id : str
        order : str
            Such as ``"ABA"``, first cup to third.

        Raises
        ------
        ValueError
            Where it is not such an order, the triad is not answered yet, or its order is known.
        """
        runs.check_order(order)
        with self._write() as session:
            triad = _get(session, schema.Triad, triad_id)
            if not session.scalar(select(exists().where(schema.Answer.triad_id == triad.id))):
                raise ValueError(f"Triad {triad.number} has no answer yet; answer first, then look.")
            if not session.scalar(select(sealed.is_unentered(session, schema.Triad)).filter_by(id=triad.id)):
                raise ValueError(f"What stood where in triad {triad.number} is known and stays as it is.")
            triad.order = order

    def unentered_triad(self, run_id: str) -> Triad | None:
        """Give the first answered triad of which nobody has entered yet what stood where; None where there is none."""
        with self._read() as session:
            row = runs.unentered_triad(session, run_id)
            return row and _triad(row)

    def open_key(self, run_id: str) -> RunKey:
        """Give the key of a run that is over: every triad is answered, or it was stopped.

        Raises
        ------
        ValueError
            While it is not, or while the order of an answered triad has not been entered.
        """
        with self._read() as session:
            _get(session, schema.TriangleRun, run_id)
            runs.check_open(session, run_id)
            return runs.open_key(session, run_id)

    def pourer_key(self, run_id: str) -> RunKey:
        """Give the key to whoever pours. It never goes to anything that the taster sees.

        Raises
        ------
        ValueError
            Where the run is not in the journal.
        """
        if run_id in self._drawn:
            return self._drawn[run_id]
        with self._read() as session:
            _get(session, schema.TriangleRun, run_id)
            return runs.key(session, run_id)

    def score(self, run_id: str) -> tuple[int, int]:
        """Count the correct answers, and all answers, of a run that is over.

        Raises
        ------
        ValueError
            As for `open_key`.
        """
        with self._read() as session:
            _get(session, schema.TriangleRun, run_id)
            runs.check_open(session, run_id)
            return runs.tally(session, run_id).get(run_id, (0, 0))

    # ---- tables for counting

    def notes_frame(self, taster_id: str | None = None) -> "pd.DataFrame":
        """Give a row a note, in its latest revision, oldest first.

        Parameters
        ----------
        taster_id : str, optional
            All tasters where it is None.

        Returns
        -------
        DataFrame
            note_id, taster, taster_id, tasting_id, tasting, serving_id, code, coffee (empty while
            hidden), coffee_id (None while hidden), stage, written_at (of the first revision, UTC), text,
            coached, revision, first_text (of the first revision).
        """
        with self._read() as session:
            return frames.notes(session, taster_id)

    def runs_frame(self, taster_id: str | None = None) -> "pd.DataFrame":
        """Give a row a triangle run that is over, oldest first.

        Parameters
        ----------
        taster_id : str, optional
            All tasters where it is None.

        Returns
        -------
        DataFrame
            run_id, taster, coffee_a, coffee_b, started_at (UTC), alpha, blinding, planned, aim, beta, pd
            (missing where they were not planned), pair (None where it is no reference pair), looked,
            answered, correct; planned, answered and correct count triads.
        """
        with self._read() as session:
            return frames.runs(session, taster_id)

    def marks_frame(self) -> "pd.DataFrame":
        """Give a row a line mark of any taster, oldest first.

        Returns
        -------
        DataFrame
            taster, tasting_id, serving_id, coffee (empty while hidden), coffee_id (None while hidden), stage,
            attribute, mark (0 to 100), marked_at (UTC).
        """
        with self._read() as session:
            return frames.marks(session)

    def drills_frame(self, taster_id: str) -> "pd.DataFrame":
        """Give a row an answer to a drill, oldest first.

        Returns
        -------
        DataFrame
            drill, node (what was right), answered (as it was given), correct (None where it was not judged),
            seconds (None where no time was taken), answered_at (UTC).
        """
        with self._read() as session:
            return frames.drills(session, taster_id)

    # ---- transactions

    @contextmanager
    def _read(self) -> Iterator[Session]:
        with explained(self._engine.url), Session(self._engine) as session, session.begin():
            yield session

    @contextmanager
    def _write(self) -> Iterator[Session]:
        if self.read_only is not None:
            raise JournalError(self.read_only)
        with explained(self._engine.url), Session(self._writer) as session, session.begin():
            yield session


def _back_up(file: Path) -> None:
    """Take the day's backup. A full disk must not keep anybody from reading; `redolent journal check` tells of it."""
    try:
        backup.take(file)
    except DamagedError:
        raise
    except JournalError:
        return


def _add(session: Session, row: _Row) -> _Row:
    session.add(row)
    session.flush()
    return row


def _get(session: Session, table: type[_Row], key: str) -> _Row:
    row = session.get(table, key)
    if row is None:
        raise ValueError(f"The journal has no {table.__tablename__.replace('_', ' ')} with the id {key!r}.")
    return row


def _newest(table: Any) -> Select[Any]:
    return select(table).order_by(table.at.desc(), table.id)


def _timed(at: datetime | None = None) -> dict[str, Any]:
    return dict(zip(("at", "utc_offset"), split(at), strict=True))


def _turn(word: schema.PersonalWord, node: str) -> None:
    """Give a word another meaning, later than the one it had even where the clock was set back."""
    now, word.utc_offset = split()
    word.node, word.at = node, max(now, word.at + timedelta(microseconds=1))


def _same(session: Session, table: type[_Row], roast_date: date | None = None, **said: str) -> _Row | None:
    """Find the row of these texts: the very same, else the first that differs in nothing but capitals."""
    query: Any = select(table)
    if table is schema.Coffee:
        query = query.filter_by(roast_date=roast_date)
    if (row := session.scalars(query.filter_by(**said).limit(1)).first()) is not None:
        return row
    columns = [getattr(table, name) for name in said]
    folded = [text.casefold() for text in said.values()]
    # An older version let both spellings in; no clock says which came first, so their order decides.
    for key, *texts in session.execute(query.with_only_columns(table.id, *columns).order_by(*columns)):
        if [text.casefold() for text in texts] == folded:
            return session.get(table, key)
    return None


def _tidy(name: str) -> str:
    return unicodedata.normalize("NFC", name).strip()


def _named(name: str, what: str) -> str:
    tidy = _tidy(name)
    if not tidy:
        raise ValueError(f"A {what} needs a name; this one is empty.")
    return tidy


def _check_stage(stage: str) -> None:
    if stage not in STAGES:
        raise ValueError(f"There is no stage {stage!r}; the stages are {', '.join(STAGES)}.")


def _find_serving(session: Session, tasting_id: str, code: str) -> schema.Serving | None:
    return session.scalar(select(schema.Serving).filter_by(tasting_id=tasting_id, code=code))


def _next_revision(session: Session, row: schema.Note) -> int:
    query = select(schema.Note).filter_by(note_id=row.note_id).order_by(schema.Note.revision.desc()).limit(1)
    last = session.scalar(query)
    if last is None:
        raise ValueError(f"The journal has no note with the id {row.note_id!r}; save it without one first.")
    if (last.taster_id, last.serving_id, last.stage) != (row.taster_id, row.serving_id, row.stage):
        raise ValueError("A revision keeps its note's taster, serving and stage; save a new note instead.")
    return last.revision + 1


def _next_rank(session: Session, at: datetime, *, live: bool) -> int:
    """Give the rank after all others where a note is written now, else after those of the same instant."""
    query = select(func.max(schema.Note.rank))
    last = session.scalar(query if live else query.where(schema.Note.at == at))
    return max(rank(at), -(1 << 62) if last is None else last + 1)


def _taster(row: schema.Taster) -> Taster:
    return Taster(row.id, row.name)


def _coffee(row: schema.Coffee) -> Coffee:
    return Coffee(row.id, row.name, row.origin, row.process, row.roast_date)


def _tasting(row: schema.Tasting) -> Tasting:
    return Tasting(row.id, row.name, row.local_time)


def _serving(row: schema.Serving) -> Serving:
    return Serving(row.id, row.tasting_id, row.coffee_id, row.code, row.position)


def _stage_event(row: schema.StageEvent) -> StageEvent:
    return StageEvent(row.id, row.tasting_id, row.serving_id, row.stage, row.event, row.local_time)


def _note(row: schema.Note) -> Note:
    return Note(
        row.id,
        row.note_id,
        row.revision,
        row.taster_id,
        row.serving_id,
        row.stage,
        row.text,
        row.coached,
        row.local_time,
    )


def _run(row: schema.TriangleRun) -> Run:
    stopped = row.stopped_at is not None and row.stopped_utc_offset is not None
    return Run(
        row.id,
        row.taster_id,
        row.coffee_a_id,
        row.coffee_b_id,
        row.alpha,
        row.blinding,
        row.triads,
        row.commitment,
        row.local_time,
        join(row.stopped_at, row.stopped_utc_offset) if stopped else None,
        row.aim,
        row.beta,
        row.pd,
        row.sitting,
        row.pair,
    )


def _run_event(row: schema.RunEvent) -> RunEvent:
    return RunEvent(row.id, row.run_id, row.event, row.detail, row.local_time)


def _triad(row: schema.Triad) -> Triad:
    return Triad(row.id, row.run_id, row.number, row.codes)


def _answer(row: schema.Answer, number: int) -> Answer:
    return Answer(row.id, row.triad_id, number, row.odd_code, row.guessed, row.note, row.local_time)


def _circumstance(row: schema.Circumstance) -> Circumstance:
    return Circumstance(row.id, row.tasting_id, row.taster_id, row.serving_id, row.kind, row.value, row.local_time)


def _line_mark(row: schema.LineMark) -> LineMark:
    return LineMark(row.id, row.taster_id, row.serving_id, row.stage, row.attribute, row.mark, row.local_time)
