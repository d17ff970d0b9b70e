"""What a note says: mentions of places in the lexicon, and words that found no place."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

from redolent.notes.grammar import Effect
from redolent.notes.tokens import tokenize

Strength = Literal["slight", "strong"]
How = Literal["exact", "form", "spelling", "inferred"]

_HOW = {"exact": "written so", "form": "a form of", "spelling": "spelled", "inferred": "by the kind of thing it is,"}
_EFFECT = {"deny": "denied", "slight": "slight", "strong": "strong", "hedge": "unsure"}
_REACH = {
    "next": "the next mention",
    "list": "the list that follows",
    "clause": "up to the end of the clause",
    "back": "the mention before",
    "last": "what was named last",
    "replaced": "another stands in its place",
    "sentence": "the whole sentence",
    "told": "found by another, or promised",
    "than": "the rejected side",
}


class Mention(NamedTuple):
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

    @property
    def qualities(self) -> list[str]:
        """What holds of it besides its place, in words: denied, slight or strong, unsure."""
        said = [] if self.present else ["denied"]
        return said + ([self.strength] if self.strength else []) + (["unsure"] if self.hedged else [])


class Cause(NamedTuple):
    """Tokens of a note, from `first` to `last`, that deny, grade or doubt a mention, and how far they reach."""

    effect: Effect
    first: int
    last: int
    reach: str


# What led to a mention: the words as the lexicon has them, a rule besides the lexicon, and what turned it.
Reason = tuple[str, str, Sequence[Cause]]


class Unplaced(NamedTuple):
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
    reasons : tuple of Reason
        For each mention, what led to its place, presence, strength and doubt; `explain` writes them out.
    """

    text: str
    mentions: tuple[Mention, ...] = ()
    unplaced: tuple[Unplaced, ...] = ()
    reasons: tuple[Reason, ...] = field(default=(), repr=False, compare=False)

    def explain(self) -> str:
        """Say for each mention, a line each, which words led to it and which rule set presence, strength and doubt.

        >>> from redolent import read
        >>> print(read("no quinse").explain())
        quinse: orchard/pome/quince, spelled “quince”; denied by “no” (up to the end of the clause)
        """
        lines, tokens = [], tokenize(self.text)
        for mention, (words, rule, causes) in zip(self.mentions, self.reasons, strict=True):
            said = [f"{_HOW[mention.how]} “{words}”" + (f" ({rule})" if rule else "")]
            for cause in causes:
                by = self.text[slice(*tokens.span(cause.first, cause.last))]
                said.append(f"{_EFFECT[cause.effect]} by “{by}” ({_REACH[cause.reach]})")
            lines.append(f"{mention.text}: {mention.node}, {'; '.join(said)}")
        return "\n".join(lines)

    def to_dict(self) -> dict[str, Any]:
        """Give the reading as plain dicts and lists, as ``redolent read --json`` prints it."""
        return {
            "text": self.text,
            "mentions": [mention._asdict() for mention in self.mentions],
            "unplaced": [word._asdict() for word in self.unplaced],
        }
