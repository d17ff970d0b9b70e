"""Words and marks of a note, with their places in the text as given.

The pattern, case by case:

- ``w/o`` is one word (it means "without").
- A **word** is letters with their combining marks; an apostrophe may stand inside it ("don't", "baker's"), and a
  hyphen ends it: "tea-like" is two words of which the second is *joined*, so that "green-apple skin" reads as
  "green apple skin" does.
- A **number** keeps its inner points, colons and slashes ("4:40", "1:16", "2.5").
- A **break** is a line end.
- Every other visible character is a **mark** of its own: stops, commas, brackets, dashes between blanks, emoji.

Blanks make no token, nor does a hyphen inside a word or the full stop of a shortened one ("v. juicy"). Each
alternative consumes at least one character and none can match in two ways, so the pattern runs in linear time on any
text. No token spans a blank: what stands between two blanks is split once and remembered, which is several times as
fast as splitting every note anew.
"""

import re
from bisect import bisect_right
from dataclasses import dataclass
from itertools import accumulate, chain
from sys import intern

from redolent.lexicon import fold
from redolent.notes.memory import Memory
from redolent.notes.words import is_word

WORD, NUMBER, MARK = "word", "number", "mark"

_PIECE = re.compile(
    r"""
    [wW]/[oO]\b
  | [^\W\d_][^\W\d_\u0300-\u036f]*[\u0300-\u036f]*
      (?:['’‘ʼ]?[^\W\d_\u0300-\u036f]+[\u0300-\u036f]*)*
  | \d+(?:[.:,/]\d+)*
  | \n
  | [^\S\n]+
  | .
    """,
    re.VERBOSE | re.DOTALL,
)

# What people leave out or shorten, and the word they mean.
ABBREVIATIONS = {
    "w/o": "without",
    "v": "very",
    "gd": "good",
    "gud": "good",
    "bal": "balanced",
    "med": "medium",
    "w": "with",
    "n": "and",
    "&": "and",
    "choc": "chocolate",
    "choccy": "chocolate",
    "choccie": "chocolate",
    "chocky": "chocolate",
    "accidity": "acidity",
    "lil": "little",
    "tho": "though",
    "prob": "probably",
    "probly": "probably",
    "prolly": "probably",
    "mabey": "maybe",
    "mabe": "maybe",
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

_DRAWN_OUT = re.compile(r"([a-z])\1\1+")

# A full stop behind one of these only closes a shortened word ("v. juicy"), no sentence.
_SHORTENED = frozenset("v w med gd approx V W Med Gd Approx".split())
_HYPHENS = frozenset("-‐‑")


@dataclass(slots=True)
class Token:
    """A word, number or mark.

    Attributes
    ----------
    norm : str
        Folded, with shorthand and missing apostrophes resolved; what rules and matching look at.
    kind : {"word", "number", "mark"}
    capital : bool
        Whether a word begins with a capital and goes on in small letters.
    joined : bool
        Whether a hyphen without blanks ties it to the word before.
    start, end : int
        Where it stands, counted from the last blank before it.
    """

    norm: str
    kind: str
    capital: bool
    joined: bool
    start: int
    end: int


def _split(chunk: str) -> tuple[Token, ...]:
    """Give the tokens of a text without blanks."""
    pieces = _PIECE.findall(chunk)
    ends = list(accumulate(map(len, pieces)))
    tokens, hyphen = [], False
    for k, (piece, end) in enumerate(zip(pieces, ends, strict=True)):
        before, after = pieces[k - 1] if k else "", pieces[k + 1] if k + 1 < len(pieces) else ""
        if piece in _HYPHENS and before and (before == "\n" or not before.isspace()) and after[:1].isalpha():
            hyphen = True
        elif not (piece == "." and before in _SHORTENED) and (piece == "\n" or not piece.isspace()):
            tokens.append(Token(*_look(piece), hyphen, end - len(piece), end))
            hyphen = False
    return tuple(tokens)


def _shorten(norm: str) -> str:
    """Give the word that is drawn out in writing ("sooo", "sweeeet"); what is none with two letters or one stays."""
    return next((word for letters in (r"\1\1", r"\1") if is_word(word := _DRAWN_OUT.sub(letters, norm))), norm)


def _look(piece: str) -> tuple[str, str, bool]:
    """Give the norm and kind of a piece, and whether it is capitalised."""
    if piece[0].isalpha():
        norm = fold(piece)
        norm = ABBREVIATIONS.get(norm, norm)
        if _DRAWN_OUT.search(norm):
            norm = _shorten(norm)
        if norm.endswith("nt") and _NO_APOSTROPHE.match(norm):
            norm = norm[:-2] + "n't"
        # One object a word: a look-up compares objects before letters.
        return intern(norm), WORD, piece[0].isupper() and not piece.isupper()
    if piece == "&":
        return "and", WORD, False
    return piece, NUMBER if piece[0].isdecimal() else MARK, False


_CHUNKS = Memory(_split)


class Tokens(list[Token]):
    """The tokens of a note, and their places in it."""

    __slots__ = ("_counts", "_ends")

    def __init__(self, text: str) -> None:
        chunks = text.split(" ")
        split = list(map(_CHUNKS.__getitem__, chunks))
        self.extend(chain.from_iterable(split))
        # Up to and with each chunk, how many tokens there are, and where it ends but for the blanks before it.
        self._counts = list(accumulate(map(len, split)))
        self._ends = [0, *accumulate(map(len, chunks))]

    def span(self, first: int, last: int) -> tuple[int, int]:
        """Give where tokens `first` to `last` begin and end: code points of the text as given."""
        chunk = bisect_right(self._counts, first)
        start = self._ends[chunk] + chunk + self[first].start
        if last > first:
            chunk = bisect_right(self._counts, last)
        return start, self._ends[chunk] + chunk + self[last].end


def tokenize(text: str) -> Tokens:
    """Split `text` into tokens.

    >>> [token.norm for token in tokenize("Sumac-y, isnt v. dry")]
    ['sumac', 'y', ',', "isn't", 'very', 'dry']
    """
    return Tokens(text)
