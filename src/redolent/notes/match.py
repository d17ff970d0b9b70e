"""Find the lexicon's words in a note: the longest wins, spelling forgiven.

A `Found` is a run of tokens that names a node. Nothing here knows of denial, strength or doubt.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from redolent.lexicon import Lexicon, fold
from redolent.lexicon.forms import derive
from redolent.notes.reading import How
from redolent.notes.spelling import Speller
from redolent.notes.tokens import WORD, Token

Personal = Mapping[str, str] | Iterable[tuple[str, str]]


@dataclass(slots=True)
class Found:
    """Tokens ``first`` to ``last`` (inclusive) name ``node``."""

    first: int
    last: int
    node: str
    how: How
    words: str


class Vocabulary:
    """Every surface form of a lexicon (and a taster's own words), ready for look-up.

    Parameters
    ----------
    lexicon : Lexicon
    personal : tuple of (str, str)
        A taster's own words and the nodes where that taster placed them; they beat the lexicon's.
    """

    def __init__(self, lexicon: Lexicon, personal: tuple[tuple[str, str], ...] = ()) -> None:
        self.lexicon = lexicon
        self.written = dict(lexicon.written_index)
        self.forms = dict(lexicon.form_index)
        for word, node in personal:
            for form in derive(" ".join(fold(word).split())):
                self.forms[form] = node
            self.written[next(derive(word))] = node
        self.longest: dict[str, int] = {}
        words: set[str] = set()
        for form in self.forms:
            parts = form.split(" ")
            words.update(parts)
            self.longest[parts[0]] = max(self.longest.get(parts[0], 0), len(parts))
        self.words = frozenset(words)
        self.speller = Speller(self.words)

    def name(self, words: str) -> tuple[str, How] | None:
        """Give the node that folded `words` name, and how, or None."""
        node = self.forms.get(words)
        if node is None:
            return None
        return node, "exact" if words in self.written else "form"


@lru_cache(maxsize=8)
def _vocabulary(lexicon: Lexicon, personal: tuple[tuple[str, str], ...]) -> Vocabulary:
    return Vocabulary(lexicon, personal)


def vocabulary(lexicon: Lexicon | None = None, personal: Personal = ()) -> Vocabulary:
    """Give the vocabulary of a lexicon with a taster's own words; built once for each pair."""
    pairs = personal.items() if isinstance(personal, Mapping) else personal
    return _vocabulary(lexicon or Lexicon.load(), tuple((str(w), str(n)) for w, n in pairs))


def spell(tokens: list[Token], vocab: Vocabulary) -> tuple[list[str], set[int]]:
    """Give the words of a note as the lexicon would spell them, and which of them were corrected.

    Marks and numbers come back as they are.
    """
    words: list[str] = []
    corrected: set[int] = set()
    for i, token in enumerate(tokens):
        word = token.norm
        if token.kind == WORD and word not in vocab.words:
            if word.endswith("'s"):
                word = word[:-2]
            better = vocab.speller.correct(word) if word not in vocab.words else None
            if better is not None:
                word = better
                corrected.add(i)
        words.append(word)
    return words, corrected


def match(tokens: list[Token], words: list[str], corrected: set[int], vocab: Vocabulary) -> list[Found]:
    """Give the lexicon's words from left to right; of those that begin at one place the longest.

    A word corrected in spelling counts as such even inside a longer name.
    """
    found: list[Found] = []
    i, n = 0, len(tokens)
    while i < n:
        reach = vocab.longest.get(words[i], 0) if tokens[i].kind == WORD else 0
        stop = i
        while stop < n and stop - i < reach and tokens[stop].kind == WORD:
            stop += 1
        for end in range(stop, i, -1):
            named = vocab.name(" ".join(words[i:end]))
            if named is not None:
                node, how = named
                if corrected and any(k in corrected for k in range(i, end)):
                    how = "spelling"
                found.append(Found(i, end - 1, node, how, " ".join(words[i:end])))
                i = end
                break
        else:
            i += 1
    return found
