"""Gather what students sent: every shared file of a folder into the educator's journal."""

from dataclasses import dataclass
from pathlib import Path

from redolent.journal import Journal
from redolent.journal.collect import Merge, collect

MOST_FILES = 1000


@dataclass(frozen=True, slots=True)
class Gathered:
    """A file of the folder: what came of it.

    Attributes
    ----------
    file : Path
    merge : Merge or None
        None where it was refused.
    reason : str
        Why it was refused.
    """

    file: Path
    merge: Merge | None
    reason: str = ""

    @property
    def finding(self) -> str:
        """What came of it, in a sentence."""
        if self.merge is None:
            return f"{self.file.name}: refused, nothing of it was merged. {self.reason}"
        new = sum(self.merge.added.values())
        return f"{self.file.name}: {new:,} new rows, {self.merge.known:,} were there."


def gather(journal: Journal, folder: Path) -> tuple[Gathered, ...]:
    """Collect all files of a folder, by name; one that is refused does not hold up the others.

    Parameters
    ----------
    journal : Journal
    folder : Path
        Its ``.jsonl`` files, as `share` writes them, are read; folders inside it are not.

    Raises
    ------
    ValueError
        Where the folder is none, or it holds too many files.
    """
    if not folder.is_dir():
        raise ValueError(f"{folder} is no folder; name the one that holds what the students sent.")
    files = sorted(file for file in folder.iterdir() if file.suffix == ".jsonl" and file.is_file())
    if len(files) > MOST_FILES:
        raise ValueError(f"{folder} holds {len(files):,} files; {MOST_FILES:,} are read at most.")
    return tuple(_gather(journal, file) for file in files)


def _gather(journal: Journal, file: Path) -> Gathered:
    try:
        return Gathered(file, collect(journal, file))
    except (OSError, ValueError) as error:
        return Gathered(file, None, getattr(error, "strerror", None) or str(error))
