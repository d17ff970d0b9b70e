"""What a note says: mentions of places in the lexicon, and words that found no place."""

from dataclasses import asdict, dataclass
from typing import Any, Literal

Strength = Literal["slight", "strong"]
How = Literal["exact", "form", "spelling", "inferred"]


@dataclass(frozen=True, slots=True)
class Mention:
    """A descriptor, group, family or realm that a note asserts or denies.

    Attributes
    ----------
    start, end : int
        Code points of the note as given.
    text : str
        The note between them.
    node : str
        Id in the lexicon.
    present : bool
        False where the note denies it ("no smoke").
    strength : {"slight", "strong"} or None
    hedged : bool
        Whether the writer doubts it ("maybe clove").
    how : {"exact", "form", "spelling", "inferred"}
        A label as the lexicon writes it, a derived form, a corrected spelling, or a place inferred from a wider list.
    """

    start: int
    end: int
    text: str
    node: str
    present: bool = True
    strength: Strength | None = None
    hedged: bool = False
    how: How = "exact"


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A word that looks like a descriptor and stands nowhere in the lexicon."""

    start: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class Reading:
    """A note as read.

    Attributes
    ----------
    text : str
        The note as given.
    mentions : tuple of Mention
        In the order of the text; their spans do not overlap.
    unplaced : tuple of Unplaced
    """

    text: str
    mentions: tuple[Mention, ...] = ()
    unplaced: tuple[Unplaced, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Give the reading as plain dicts and lists, as ``redolent read --json`` prints it."""
        return {
            "text": self.text,
            "mentions": [asdict(mention) for mention in self.mentions],
            "unplaced": [asdict(word) for word in self.unplaced],
        }
