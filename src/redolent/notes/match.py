"""Find the lexicon's words in a note: the longest wins, spelling forgiven.

A `Found` is a run of tokens that names a node. Nothing here knows of denial, strength or doubt.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from redolent.lexicon import Lexicon, fold
from redolent.lexicon.forms import derive
from redolent.notes.infer import infer, reach
from redolent.notes.reading import How
from redolent.notes.spelling import Speller
from redolent.notes.tokens import MARK, WORD, Token
from redolent.notes.words import is_word

Personal = Mapping[str, str] | Iterable[tuple[str, str]]


@dataclass(slots=True)
class Found:
    """Tokens ``first`` to ``last`` (inclusive) name ``node``; `rule` says what put it there, besides the lexicon."""

    first: int
    last: int
    node: str
    how: How
    words: str
    rule: str = ""

    def move(self, node: str, rule: str) -> None:
        """Let it name another node, by a rule."""
        self.node, self.rule = node, rule


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


def spell(text: str, tokens: list[Token], vocab: Vocabulary) -> tuple[list[str], set[int]]:
    """Give the words of a note as the lexicon would spell them, and which of them were corrected.

    Marks and numbers come back as they are, and so do words beside a foreign one: "suszona śliwka" is no slip.
    """
    words = [token.norm for token in tokens]
    corrected: set[int] = set()
    for i, word in enumerate(words):
        if word in vocab.words or tokens[i].kind != WORD:
            continue
        if word.endswith("'s"):
            words[i] = word = word[:-2]
        better = vocab.speller.correct(word) if word not in vocab.words else None
        if better is not None and not any(_is_foreign(text, tokens[k], vocab) for k in _beside(i, tokens)):
            words[i] = better
            corrected.add(i)
    return words, corrected


def _beside(i: int, tokens: list[Token]) -> list[int]:
    return [k for k in (i - 1, i + 1) if 0 <= k < len(tokens)]


def _is_foreign(text: str, token: Token, vocab: Vocabulary) -> bool:
    raw = text[token.start : token.end]
    return token.kind == WORD and not raw.isascii() and token.norm not in vocab.words and not is_word(token.norm)


def match(tokens: list[Token], words: list[str], corrected: set[int], vocab: Vocabulary) -> list[Found]:
    """Give the lexicon's words from left to right; of those that begin at one place the longest.

    A word corrected in spelling counts as such even inside a longer name.
    """
    found: list[Found] = []
    longest, forms, free, n = vocab.longest, vocab.forms, 0, len(tokens)
    for i, word in enumerate(words):
        reach = longest.get(word)
        if reach is None or i < free or tokens[i].kind != WORD:
            continue
        stop = i + 1
        while stop < n and stop - i < reach and tokens[stop].kind == WORD:
            stop += 1
        for end in range(stop, i, -1):
            name = " ".join(words[i:end]) if end - i > 1 else word
            if name in forms:
                how: How = "exact" if name in vocab.written else "form"
                if corrected and not corrected.isdisjoint(range(i, end)):
                    how = "spelling"
                found.append(Found(i, end - 1, forms[name], how, name))
                free = end
                break
    return found


def guess(
    tokens: list[Token], words: list[str], found: list[Found], known: frozenset[str], lexicon: Lexicon
) -> list[Found]:
    """Give the foods, plants and materials that the lexicon lacks, where nothing else was found.

    Parameters
    ----------
    tokens, words : list
        The note.
    found : list of Found
        What the lexicon holds; it is never overlapped.
    known : frozenset of str
        Words of everyday speech, which are never inferred; nor are names and corrected words.
    lexicon : Lexicon
        Nothing is placed where it has no node.
    """
    taken = {i for f in found for i in range(f.first, f.last + 1)}
    guessed: list[Found] = []
    free, n = 0, len(tokens)
    for i, word in enumerate(words):
        if word in known or i in taken or i < free or tokens[i].kind != WORD:
            continue
        longest = reach(word)
        if longest == 1 and infer(word) is None:
            continue
        if tokens[i].capital and i > 0 and tokens[i - 1].kind != MARK:
            continue  # a name
        for end in range(min(n, i + longest), i, -1):
            if any(k in taken or tokens[k].kind != WORD for k in range(i, end)):
                continue
            name = " ".join(words[i:end])
            node = infer(name)
            if node in lexicon:
                guessed.append(Found(i, end - 1, node, "inferred", name))
                free = end
                break
    return guessed
