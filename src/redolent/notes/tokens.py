"""Words and marks of a note, with their places in the text as given.

The pattern, case by case:

- ``w/o`` is one word (it means "without").
- A **word** is letters with their combining marks; an apostrophe may stand inside it ("don't", "baker's"), and a
  hyphen ends it: "tea-like" is two words of which the second is *joined*, so that "green-apple skin" reads as
  "green apple skin" does.
- A **number** keeps its inner points, colons and slashes ("4:40", "1:16", "2.5").
- A **break** is a line end.
- Every other visible character is a **mark** of its own: stops, commas, brackets, dashes between blanks, emoji.

Blanks make no token. Each alternative consumes at least one character and none can match in two ways, so the pattern
runs in linear time on any text. A note's tokens are kept in columns, and what a piece of text stands for is looked up:
that is several times as fast as an object a token.
"""

import re
from itertools import accumulate
from typing import NamedTuple

from redolent.lexicon import fold
from redolent.notes.memory import Memory

WORD, NUMBER, MARK = "word", "number", "mark"

# Every character of a note belongs to one piece, so that the lengths of the pieces add up to places in the text.
_PIECE = re.compile(
    r"""
    [wW]/[oO]\b
  | [^\W\d_][^\W\d_\u0300-\u036f]*[\u0300-\u036f]*
      (?:['’‘ʼ]?[^\W\d_\u0300-\u036f]+[\u0300-\u036f]*)*
  | \d+(?:[.:,/]\d+)*
  | \n
  | [^\S\n]+
  | [^\w\s]
  | .
    """,
    re.VERBOSE | re.DOTALL,
)

# The same for text of plain letters, where it is half as long in the finding.
_PLAIN = re.compile(r"[wW]/[oO]\b|[A-Za-z]+(?:'[A-Za-z]+)*|\d+(?:[.:,/]\d+)*|\n|[^\S\n]+|.", re.DOTALL)

# What people leave out or shorten, and the word they mean.
ABBREVIATIONS = {
    "w/o": "without",
    "v": "very",
    "gd": "good",
    "bal": "balanced",
    "med": "medium",
    "w": "with",
    "n": "and",
    "&": "and",
    "choc": "chocolate",
    "accidity": "acidity",
    "lil": "little",
    "tho": "though",
    "prob": "probably",
    "def": "definitely",
    "defo": "definitely",
    "approx": "about",
    "lite": "light",
    "smth": "something",
    "bc": "because",
    "bitta": "bit",
    "loadsa": "loads",
}
_NO_APOSTROPHE = re.compile(r"(?:is|was|are|were|does|did|do|has|have|had|ca|wo|could|would|should)nt$")


# A full stop after one of these only closes a shortened word ("v. juicy"), no sentence.
_SHORTENED = frozenset("v w med gd approx V W Med Gd Approx".split())
_HYPHENS = frozenset("-‐‑")


class _Look(NamedTuple):
    """What a piece of text stands for, wherever it stands."""

    norm: str
    kind: str
    capital: bool


def _look(piece: str) -> _Look | None:
    if piece[0].isalpha():
        norm = fold(piece)
        norm = ABBREVIATIONS.get(norm, norm)
        if norm.endswith("nt") and _NO_APOSTROPHE.match(norm):
            norm = norm[:-2] + "n't"
        return _Look(norm, WORD, piece[0].isupper() and not piece.isupper())
    if piece != "\n" and piece.isspace():
        return None
    if piece[0].isdecimal():
        return _Look(piece, NUMBER, False)
    return _Look("and", WORD, False) if piece == "&" else _Look(piece, MARK, False)


# Pieces and what they stand for; None for blanks.
_LOOKS = Memory(_look)


class Tokens:
    """The tokens of a note, in columns of one length.

    Attributes
    ----------
    norms : tuple of str
        Folded, with shorthand and missing apostrophes resolved; what rules and matching look at.
    kinds : tuple of {"word", "number", "mark"}
    capitals : tuple of bool
        Whether a word begins with a capital and goes on in small letters.
    joined : set of int
        The words that a hyphen without blanks ties to the word before.
    """

    __slots__ = ("_ends", "_kept", "_pieces", "capitals", "joined", "kinds", "norms")

    def __init__(self, text: str) -> None:
        self._pieces = pieces = _PLAIN.findall(text) if text.isascii() else _PIECE.findall(text)
        self._ends = list(accumulate(map(len, pieces)))
        looks = list(map(_LOOKS.__getitem__, pieces))
        self._kept = [k for k, look in enumerate(looks) if look is not None]
        self.joined: set[int] = set()
        if not _HYPHENS.isdisjoint(pieces):
            self._join(looks)
        if not _SHORTENED.isdisjoint(pieces):
            self._kept = [k for k in self._kept if not (pieces[k] == "." and _is_short(k, pieces))]
        shown = [look for look in map(looks.__getitem__, self._kept) if look is not None]
        self.norms, self.kinds, self.capitals = zip(*shown, strict=True) if shown else ((), (), ())

    def __len__(self) -> int:
        return len(self.norms)

    def start(self, i: int) -> int:
        """Give where token `i` begins: a code point of the text as given."""
        k = self._kept[i]
        return self._ends[k] - len(self._pieces[k])

    def end(self, i: int) -> int:
        """Give where token `i` ends."""
        return self._ends[self._kept[i]]

    def _join(self, looks: list[_Look | None]) -> None:
        """Take out the hyphens inside words, and note which words they tie to the one before."""
        inner = {k for k in self._kept if self._pieces[k] in _HYPHENS and _is_inner(k, self._pieces, looks)}
        self._kept = [k for k in self._kept if k not in inner]
        self.joined = {i for i, k in enumerate(self._kept) if k - 1 in inner}


def _is_inner(k: int, pieces: list[str], looks: list[_Look | None]) -> bool:
    """Say whether a hyphen has something before it and a word right behind it."""
    after = looks[k + 1] if k + 1 < len(looks) else None
    return k > 0 and looks[k - 1] is not None and after is not None and pieces[k + 1][0].isalpha()


def _is_short(k: int, pieces: list[str]) -> bool:
    return k > 0 and pieces[k - 1] in _SHORTENED and "".join(pieces[k + 1 : k + 3]).strip() != ""


def tokenize(text: str) -> Tokens:
    """Split `text` into tokens.

    >>> list(tokenize("Sumac-y, isnt v. dry").norms)
    ['sumac', 'y', ',', "isn't", 'very', 'dry']
    """
    return Tokens(text)
