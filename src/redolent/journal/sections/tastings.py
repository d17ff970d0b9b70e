"""Tastings, planned or not: cups, stages, circumstances, line marks."""

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from redolent.journal import entries, plans, runs, schema, sealed, views
from redolent.journal.moment import split
from redolent.journal.rows import Circumstance, LineMark, Plan, PlanKey, Serving, StageEvent, Tasting
from redolent.journal.sections.section import Section


class Tastings(Section):
    """What was served when, and how it went."""

    def start_tasting(self, name: str = "", *, at: datetime | None = None) -> Tasting:
        """Start a tasting; `at` is now where it is None."""
        with self._write() as session:
            return views.tasting(entries.add(session, schema.Tasting(name=entries.tidy(name), **entries.timed(at))))

    def tastings(self) -> list[Tasting]:
        """List the tastings, newest first."""
        with self._read() as session:
            return [views.tasting(row) for row in session.scalars(entries.newest(schema.Tasting))]

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
            entries.get(session, schema.Tasting, tasting_id)
            if coffee_id is not None:
                entries.get(session, schema.Coffee, coffee_id)
            if _find_serving(session, tasting_id, code):
                raise ValueError(f"The code {code} is taken in this tasting; draw another one.")
            row = schema.Serving(tasting_id=tasting_id, coffee_id=coffee_id, code=code, position=position)
            return views.serving(entries.add(session, row))

    def name_serving(self, serving_id: str, coffee_id: str) -> Serving:
        """Say which coffee was in a cup, once it is known.

        Raises
        ------
        ValueError
            Where the serving has its coffee already, or one of the two is not in the journal.
        """
        with self._write() as session:
            row = entries.get(session, schema.Serving, serving_id)
            entries.get(session, schema.Coffee, coffee_id)
            if row.coffee_id is not None:
                raise ValueError(f"Serving {row.code} has its coffee already; it is named once and stays.")
            row.coffee_id = coffee_id
            return views.serving(row)

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
            return [views.serving(row) for row in session.scalars(query)]

    def find_serving(self, tasting_id: str, code: str) -> Serving | None:
        """Find the cup with this code; None where there is none."""
        with self._read() as session:
            row = _find_serving(session, tasting_id, code)
            return views.serving(row) if row is not None else None

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
        entries.check_stage(stage)
        event = entries.named(event, "stage event")
        with self._write() as session:
            entries.get(session, schema.Tasting, tasting_id)
            if serving_id is not None and entries.get(session, schema.Serving, serving_id).tasting_id != tasting_id:
                raise ValueError("The serving stands in another tasting; give one of this tasting or none.")
            row = schema.StageEvent(
                tasting_id=tasting_id, serving_id=serving_id, stage=stage, event=event, **entries.timed(at)
            )
            return views.stage_event(entries.add(session, row))

    def stage_events(self, tasting_id: str) -> list[StageEvent]:
        """List what happened in a tasting, oldest first."""
        table = schema.StageEvent
        query = select(table).where(table.tasting_id == tasting_id).order_by(table.at, table.id)
        with self._read() as session:
            return [views.stage_event(row) for row in session.scalars(query)]

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
            entries.get(session, schema.Taster, taster_id)
            for coffee_id in coffees:
                entries.get(session, schema.Coffee, coffee_id)
            tasting = entries.add(session, schema.Tasting(name=entries.tidy(name), **entries.timed(at)))
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
            planned = plans.plan(entries.add(session, row))
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
        kind, value = entries.named(kind, "circumstance"), entries.named(value, "circumstance's value")
        about = {schema.Tasting: tasting_id, schema.Taster: taster_id, schema.Serving: serving_id}
        with self._write() as session:
            for table, key in about.items():
                if key is not None:
                    entries.get(session, table, key)
            row = schema.Circumstance(
                tasting_id=tasting_id,
                taster_id=taster_id,
                serving_id=serving_id,
                kind=kind,
                value=value,
                **entries.timed(at),
            )
            return views.circumstance(entries.add(session, row))

    def circumstances(self, tasting_id: str | None = None, kind: str | None = None) -> list[Circumstance]:
        """List what was observed, oldest first: in one tasting or in all, of one kind or of any."""
        table = schema.Circumstance
        query = select(table).order_by(table.at, table.id)
        if tasting_id is not None:
            query = query.where(table.tasting_id == tasting_id)
        if kind is not None:
            query = query.where(table.kind == kind)
        with self._read() as session:
            return [views.circumstance(row) for row in session.scalars(query)]

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
        entries.check_stage(stage)
        if not 0 <= mark <= 100:
            raise ValueError(f"A mark lies on the line from 0 to 100; it cannot be {mark}.")
        attribute = entries.named(attribute, "line scale")
        with self._write() as session:
            entries.get(session, schema.Taster, taster_id)
            entries.get(session, schema.Serving, serving_id)
            row = schema.LineMark(
                taster_id=taster_id,
                serving_id=serving_id,
                stage=stage,
                attribute=attribute,
                mark=float(mark),
                **entries.timed(at),
            )
            return views.line_mark(entries.add(session, row))

    def line_marks(self, tasting_id: str | None = None) -> list[LineMark]:
        """List the marks of one tasting or of all, oldest first."""
        table = schema.LineMark
        query = select(table).join(schema.Serving).order_by(table.at, table.id)
        if tasting_id is not None:
            query = query.where(schema.Serving.tasting_id == tasting_id)
        with self._read() as session:
            return [views.line_mark(row) for row in session.scalars(query)]


def _find_serving(session: Session, tasting_id: str, code: str) -> schema.Serving | None:
    return session.scalar(select(schema.Serving).filter_by(tasting_id=tasting_id, code=code))
