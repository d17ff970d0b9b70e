"""Notes with their revisions and drafts, and a taster's own words."""

from datetime import datetime, timedelta
from uuid import uuid4

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from redolent.journal import entries, frames, schema, views
from redolent.journal.moment import rank, split
from redolent.journal.rows import Note
from redolent.journal.sections.section import Section


class Notes(Section):
    """What was written."""

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
        entries.check_stage(stage)
        with self._write() as session:
            entries.get(session, schema.Taster, taster_id)
            entries.get(session, schema.Serving, serving_id)
            row = schema.Note(
                note_id=note_id or str(uuid4()),
                revision=1,
                taster_id=taster_id,
                serving_id=serving_id,
                stage=stage,
                text=text,
                coached=coached,
                **entries.timed(at),
            )
            if note_id is not None:
                row.revision = _next_revision(session, row)
            row.rank = _next_rank(session, row.at, live=at is None)
            if drop_draft is not None:
                session.execute(delete(schema.Draft).where(schema.Draft.key == self._mine + drop_draft))
            return views.note(entries.add(session, row))

    def notes(self, taster_id: str | None = None, limit: int | None = None) -> list[Note]:
        """List the notes, each in its latest revision, newest first."""
        order = schema.Note.rank.desc(), schema.Note.id
        query = select(schema.Note).where(frames.is_latest()).order_by(*order).limit(limit)
        if taster_id is not None:
            query = query.where(schema.Note.taster_id == taster_id)
        with self._read() as session:
            return [views.note(row) for row in session.scalars(query)]

    def revisions(self, note_id: str) -> list[Note]:
        """List the revisions of a note, first to latest."""
        order = schema.Note.revision, schema.Note.rank, schema.Note.id
        query = select(schema.Note).where(schema.Note.note_id == note_id).order_by(*order)
        with self._read() as session:
            return [views.note(row) for row in session.scalars(query)]

    def save_draft(self, key: str, text: str) -> None:
        """Keep what is being typed, in place of what was kept under the same key."""
        with self._write() as session:
            session.merge(schema.Draft(key=self._mine + key, text=text, **entries.timed()))

    def drafts(self) -> dict[str, str]:
        """Give the drafts by key, oldest first."""
        with self._read() as session:
            rows = session.scalars(select(schema.Draft).order_by(schema.Draft.at, schema.Draft.key))
            return {row.key[len(self._mine) :]: row.text for row in rows if row.key.startswith(self._mine)}

    def drop_draft(self, key: str) -> None:
        """Forget a draft, where there is one."""
        with self._write() as session:
            session.execute(delete(schema.Draft).where(schema.Draft.key == self._mine + key))

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
        word, node = entries.named(word, "personal word"), entries.named(node, "node")
        with self._write() as session:
            entries.get(session, schema.Taster, taster_id)
            row = session.scalar(select(schema.PersonalWord).filter_by(taster_id=taster_id, word=word))
            if row is None:
                entries.add(session, schema.PersonalWord(taster_id=taster_id, word=word, node=node, **entries.timed()))
            else:
                _turn(row, node)

    def drop_personal_word(self, taster_id: str, word: str) -> None:
        """Let a word of the taster's own mean nothing from now on, where there is one.

        Its row stays, so that no older copy that is collected brings the word back.
        """
        with self._write() as session:
            row = session.scalar(select(schema.PersonalWord).filter_by(taster_id=taster_id, word=entries.tidy(word)))
            if row is not None and row.node:
                _turn(row, "")


def _turn(word: schema.PersonalWord, node: str) -> None:
    """Give a word another meaning, later than the one it had even where the clock was set back."""
    now, word.utc_offset = split()
    word.node, word.at = node, max(now, word.at + timedelta(microseconds=1))


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
