"""Rows of the database as the journal hands them out."""

from redolent.journal import schema
from redolent.journal.moment import join
from redolent.journal.rows import (
    Answer,
    Circumstance,
    Coffee,
    LineMark,
    Note,
    Run,
    RunEvent,
    Serving,
    StageEvent,
    Taster,
    Tasting,
    Triad,
)


def taster(row: schema.Taster) -> Taster:
    """Hand out a taster."""
    return Taster(row.id, row.name)


def coffee(row: schema.Coffee) -> Coffee:
    """Hand out a coffee."""
    return Coffee(row.id, row.name, row.origin, row.process, row.roast_date)


def tasting(row: schema.Tasting) -> Tasting:
    """Hand out a tasting."""
    return Tasting(row.id, row.name, row.local_time)


def serving(row: schema.Serving) -> Serving:
    """Hand out a cup."""
    return Serving(row.id, row.tasting_id, row.coffee_id, row.code, row.position)


def stage_event(row: schema.StageEvent) -> StageEvent:
    """Hand out an event of a stage."""
    return StageEvent(row.id, row.tasting_id, row.serving_id, row.stage, row.event, row.local_time)


def note(row: schema.Note) -> Note:
    """Hand out a revision of a note."""
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


def run(row: schema.TriangleRun) -> Run:
    """Hand out a triangle run, without what is sealed."""
    at, utc_offset = row.stopped_at, row.stopped_utc_offset
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
        join(at, utc_offset) if at is not None and utc_offset is not None else None,
        row.aim,
        row.beta,
        row.pd,
        row.sitting,
        row.pair,
    )


def run_event(row: schema.RunEvent) -> RunEvent:
    """Hand out an event of a run."""
    return RunEvent(row.id, row.run_id, row.event, row.detail, row.local_time)


def triad(row: schema.Triad) -> Triad:
    """Hand out a triad, without its order."""
    return Triad(row.id, row.run_id, row.number, row.codes)


def answer(row: schema.Answer, number: int) -> Answer:
    """Hand out an answer."""
    return Answer(row.id, row.triad_id, number, row.odd_code, row.guessed, row.note, row.local_time)


def circumstance(row: schema.Circumstance) -> Circumstance:
    """Hand out a circumstance."""
    return Circumstance(row.id, row.tasting_id, row.taster_id, row.serving_id, row.kind, row.value, row.local_time)


def line_mark(row: schema.LineMark) -> LineMark:
    """Hand out a line mark."""
    return LineMark(row.id, row.taster_id, row.serving_id, row.stage, row.attribute, row.mark, row.local_time)
