"""Triangle runs: planned, answered triad by triad, sealed until they are over."""

from collections.abc import Sequence
from datetime import datetime
from uuid import uuid4

from sqlalchemy import exists, select

from redolent.journal import entries, runs, schema, sealed, views
from redolent.journal.moment import split
from redolent.journal.rows import Answer, Run, RunEvent, RunKey, Triad
from redolent.journal.sections.section import Section


class Runs(Section):
    """Triangle runs and their answers."""

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
            entries.get(session, schema.Taster, taster_id)
            entries.get(session, schema.Coffee, coffee_a_id)
            entries.get(session, schema.Coffee, coffee_b_id)
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
                **entries.timed(at),
            )
            entries.add(session, run)
            for number, (order, three) in enumerate(zip(orders, codes, strict=True), start=1):
                code_1, code_2, code_3 = three
                session.add(
                    schema.Triad(run_id=run.id, number=number, order=order, code_1=code_1, code_2=code_2, code_3=code_3)
                )
            # Whoever draws has seen the key; on a server nobody else reads it before the run is over.
            self._drawn[run.id] = RunKey(tuple(orders), tuple((one, two, three) for one, two, three in codes), nonce)
            return views.run(run)

    def runs(self, taster_id: str | None = None) -> list[Run]:
        """List the triangle runs, newest first, without what is sealed."""
        query = entries.newest(schema.TriangleRun)
        if taster_id is not None:
            query = query.where(schema.TriangleRun.taster_id == taster_id)
        with self._read() as session:
            return [views.run(row) for row in session.scalars(query)]

    def next_triad(self, run_id: str) -> Triad | None:
        """Give the first triad without an answer; None where all have one or the run is stopped.

        Raises
        ------
        ValueError
            Where the run is not in the journal.
        """
        with self._read() as session:
            run = entries.get(session, schema.TriangleRun, run_id)
            row = runs.next_triad(session, run)
            return views.triad(row) if row is not None else None

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
            triad = entries.get(session, schema.Triad, triad_id)
            run = entries.get(session, schema.TriangleRun, triad.run_id)
            following = runs.next_triad(session, run)
            if following is None or following.id != triad.id:
                raise ValueError(runs.locked(triad, run, following))
            if odd_code not in triad.codes:
                raise ValueError(f"The odd cup is one of {', '.join(triad.codes)}, not {odd_code!r}.")
            row = schema.Answer(
                id=str(uuid4()), triad_id=triad.id, odd_code=odd_code, guessed=guessed, note=note, **entries.timed(at)
            )
            sealed.lock(session, row)
            return views.answer(row, triad.number)

    def answers(self, run_id: str) -> list[Answer]:
        """List the answers of a run, first triad to last, without what was true."""
        query = (
            select(schema.Answer, schema.Triad.number)
            .join(schema.Triad)
            .where(schema.Triad.run_id == run_id)
            .order_by(schema.Triad.number)
        )
        with self._read() as session:
            return [views.answer(row, number) for row, number in session.execute(query)]

    def stop_run(self, run_id: str, at: datetime | None = None) -> Run:
        """End a run before its last triad. A run that is over already stays as it is.

        Raises
        ------
        ValueError
            Where the run is not in the journal.
        """
        with self._write() as session:
            run = entries.get(session, schema.TriangleRun, run_id)
            if runs.next_triad(session, run) is not None:
                run.stopped_at, run.stopped_utc_offset = split(at)
            return views.run(run)

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
            entries.get(session, schema.TriangleRun, run_id)
            row = schema.RunEvent(run_id=run_id, event=event, detail=detail, **entries.timed(at))
            return views.run_event(entries.add(session, row))

    def run_events(self, run_id: str) -> list[RunEvent]:
        """List what happened to a run, oldest first."""
        table = schema.RunEvent
        query = select(table).where(table.run_id == run_id).order_by(table.at, table.id)
        with self._read() as session:
            return [views.run_event(row) for row in session.scalars(query)]

    def look(self, run_id: str, at: datetime | None = None) -> list[bool]:
        """Look at the result so far; that it was looked at is recorded first, and stays with the run.

        Raises
        ------
        ValueError
            Where the order of an answered triad has not been entered, or the run is not in the journal.
        """
        with self._write() as session:
            run = entries.get(session, schema.TriangleRun, run_id)
            told = runs.outcomes(session, run_id)
            if runs.next_triad(session, run) is not None:
                entries.add(session, schema.RunEvent(run_id=run_id, event="looked", detail="", **entries.timed(at)))
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
            run = entries.get(session, schema.TriangleRun, run_id)
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
            triad = entries.get(session, schema.Triad, triad_id)
            if not session.scalar(select(exists().where(schema.Answer.triad_id == triad.id))):
                raise ValueError(f"Triad {triad.number} has no answer yet; answer first, then look.")
            if not session.scalar(select(sealed.is_unentered(session, schema.Triad)).filter_by(id=triad.id)):
                raise ValueError(f"What stood where in triad {triad.number} is known and stays as it is.")
            triad.order = order

    def unentered_triad(self, run_id: str) -> Triad | None:
        """Give the first answered triad of which nobody has entered yet what stood where; None where there is none."""
        with self._read() as session:
            row = runs.unentered_triad(session, run_id)
            return views.triad(row) if row is not None else None

    def open_key(self, run_id: str) -> RunKey:
        """Give the key of a run that is over: every triad is answered, or it was stopped.

        Raises
        ------
        ValueError
            While it is not, or while the order of an answered triad has not been entered.
        """
        with self._read() as session:
            entries.get(session, schema.TriangleRun, run_id)
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
            entries.get(session, schema.TriangleRun, run_id)
            return runs.key(session, run_id)

    def score(self, run_id: str) -> tuple[int, int]:
        """Count the correct answers, and all answers, of a run that is over.

        Raises
        ------
        ValueError
            As for `open_key`.
        """
        with self._read() as session:
            entries.get(session, schema.TriangleRun, run_id)
            runs.check_open(session, run_id)
            return runs.tally(session, run_id).get(run_id, (0, 0))
