"""Notes: free text in, mentions of the lexicon's places out."""

from redolent.notes.reader import READER_VERSION, read
from redolent.notes.reading import Mention, Reading, Unplaced

__all__ = ["READER_VERSION", "Mention", "Reading", "Unplaced", "read"]
