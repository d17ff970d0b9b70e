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
runs in linear time on any text.
"""

import re
from functools import lru_cache
from typing import NamedTuple

from redolent.lexicon import fold

WORD, NUMBER, MARK = "word", "number", "mark"

_TOKEN = re.compile(
    r"""
    (?P<word>   [wW]/[oO]\b | [^\W\d_][^\W\d_\u0300-\u036f]*[\u0300-\u036f]*
                (?:['’‘ʼ]?[^\W\d_\u0300-\u036f]+[\u0300-\u036f]*)* )
  | (?P<number> \d+(?:[.:,/]\d+)* )
  | (?P<mark>   \n | [^\w\s] | _ )
    """,
    re.VERBOSE,
)

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
    "bitta": "bit of",
    "loadsa": "loads of",
}
_NO_APOSTROPHE = re.compile(r"(?:is|was|are|were|does|did|do|has|have|had|ca|wo|could|would|should)nt$")


class Token(NamedTuple):
    """A word, number or mark.

    Attributes
    ----------
    start, end : int
        Code points of the text as given.
    norm : str
        Folded, with shorthand and missing apostrophes resolved; what rules and matching look at.
    kind : {"word", "number", "mark"}
    joined : bool
        Whether a hyphen without blanks ties it to the word before.
    capital : bool
        Whether the word begins with a capital and goes on in small letters.
    """

    start: int
    end: int
    norm: str
    kind: str
    joined: bool = False
    capital: bool = False


def tokenize(text: str) -> list[Token]:
    """Split `text` into tokens.

    >>> [t.norm for t in tokenize("Sumac-y, isnt v. dry")]
    ['sumac', 'y', ',', "isn't", 'very', 'dry']
    """
    tokens: list[Token] = []
    hyphen_at = -1
    for found in _TOKEN.finditer(text):
        kind, raw = found.lastgroup, found[0]
        start, end = found.span()
        if kind == WORD:
            norm, capital = _normalize(raw)
            tokens.append(Token(start, end, norm, kind, hyphen_at == start, capital))
        elif kind == MARK and raw in "-‐‑" and tokens and tokens[-1].end == start and text[end : end + 1].isalpha():
            hyphen_at = end
        elif raw == "." and tokens and tokens[-1].kind == WORD and _shortened(text, tokens[-1], end):
            continue
        else:
            norm = "and" if raw == "&" else raw
            tokens.append(Token(start, end, norm, WORD if raw == "&" else kind or MARK))
    return tokens


@lru_cache(maxsize=65536)
def _normalize(raw: str) -> tuple[str, bool]:
    """Give a word folded, with shorthand and missing apostrophes resolved, and whether it is capitalised."""
    norm = fold(raw)
    norm = ABBREVIATIONS.get(norm, norm)
    if norm.endswith("nt") and _NO_APOSTROPHE.match(norm):
        norm = norm[:-2] + "n't"
    return norm, raw[0].isupper() and not raw.isupper()


def _shortened(text: str, word: Token, end: int) -> bool:
    """Say whether a full stop only closes a shortened word ("v. juicy") and no sentence."""
    raw = fold(text[word.start : word.end])
    return raw in ("v", "w", "med", "gd", "approx") and text[end : end + 2].strip() != ""
