"""Attendance: who has done what."""

from dataclasses import dataclass

import pandas as pd

from redolent.progress import wording


@dataclass(frozen=True, slots=True, eq=False)
class Attendance:
    """Who has done what.

    Attributes
    ----------
    tasters : DataFrame
        A row a taster, by name: ``taster``, ``tastings``, ``cups``, ``notes``, ``triads``, ``marks``, ``last`` (the day
        of the last note, None where there is none).
    tastings : DataFrame
        A row a tasting of two or more, by time: ``tasting``, ``day``, ``done`` and ``missing`` (tuples of names).
    """

    tasters: pd.DataFrame
    tastings: pd.DataFrame

    @property
    def finding(self) -> str:
        """How many took part, and who missed the last tasting."""
        return self.tell()

    def tell(self, names: bool = True) -> str:
        """Say it in a sentence, with names or without."""
        if not len(self.tasters):
            return "Nobody is in this class yet."
        wrote = self.tasters[self.tasters["notes"] > 0]
        notes = wording.count(int(self.tasters["notes"].sum()), "note")
        if not len(wrote):
            return f"No note was written yet by the {wording.count(len(self.tasters), 'taster')} of this class."
        said = f"{len(wrote)} of {wording.count(len(self.tasters), 'taster')} wrote {notes}."
        if not len(self.tastings):
            return f"{said} No tasting was shared by two yet."
        last = self.tastings.iloc[-1]
        said += f" The last tasting in common, {last['tasting'] or last['day']}, was done by {len(last['done'])}"
        if names and last["missing"]:
            said += f"; {wording.listing(last['missing'])} did not"
        return f"{said}."

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        return f"{wording.count(len(self.tastings), 'tasting')} in common."

    def to_frame(self) -> pd.DataFrame:
        """Give a row a taster."""
        return self.tasters.copy()


def take_attendance(names: list[str], notes: pd.DataFrame, runs: pd.DataFrame, marks: pd.DataFrame) -> Attendance:
    """List who has done what.

    Parameters
    ----------
    names : list of str
        Of all tasters, also those who did nothing yet.
    notes, runs, marks : DataFrame
        As ``Journal.notes_frame``, ``runs_frame`` and ``marks_frame`` give them, of all tasters.
    """
    of = notes.groupby("taster")
    counted = {
        "tastings": of["tasting_id"].nunique(),
        "cups": of["serving_id"].nunique(),
        "notes": of.size(),
        "triads": runs.groupby("taster")["answered"].sum(),
        "marks": marks.groupby("taster").size(),
    }
    index = pd.Index(sorted(names), name="taster")
    tasters = pd.DataFrame({name: column.reindex(index, fill_value=0).astype(int) for name, column in counted.items()})
    last = of["written_at"].max().dt.date if len(notes) else pd.Series(dtype=object)
    tasters["last"] = [last.get(name) for name in index]
    rows = []
    for _, own in notes.groupby("tasting_id"):
        done = tuple(sorted(own["taster"].unique()))
        if len(done) > 1:
            first = own["written_at"].min()
            rows.append((first, own["tasting"].iloc[0], first.date(), done, tuple(sorted(set(names) - set(done)))))
    rows.sort(key=lambda row: row[:2])
    tastings = pd.DataFrame([row[1:] for row in rows], columns=["tasting", "day", "done", "missing"])
    return Attendance(tasters.reset_index(), tastings)
