"""Find the lexicon's words in a note: the longest wins, spelling forgiven.

A `Found` is a run of tokens that names a node. Nothing here knows of denial, strength or doubt.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from redolent.lexicon import Lexicon, fold
from redolent.lexicon.forms import derive
from redolent.notes.grammar import words
from redolent.notes.infer import infer, reach
from redolent.notes.memory import MOST, Memory
from redolent.notes.reading import How
from redolent.notes.spelling import Speller
from redolent.notes.tokens import MARK, WORD, Tokens
from redolent.notes.words import FUNCTION_WORDS, is_word

# Foods, plants and substances of everyday speech that say nothing of a cup.
COMMON = words("everyday") | words("room") | FUNCTION_WORDS

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
        # By the first word of a name, and by the first two of a longer one, how many words the longest has.
        self.longest: dict[str, int] = {}
        self.longer: dict[tuple[str, str], int] = {}
        words: set[str] = set()
        for form in self.forms:
            parts = form.split(" ")
            words.update(parts)
            self.longest[parts[0]] = max(self.longest.get(parts[0], 0), len(parts))
            if len(parts) > 1:
                self.longer[parts[0], parts[1]] = max(self.longer.get((parts[0], parts[1]), 0), len(parts))
        self.words = frozenset(words)
        self.speller = Speller(self.words)
        # Words that were looked at and stay as they are.
        self.settled: set[str] = set()

    def settle(self, word: str) -> None:
        """Remember that a word stays as it is written."""
        if len(self.settled) > MOST:
            self.settled.clear()
        self.settled.add(word)

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


def spell(text: str, tokens: Tokens, vocab: Vocabulary) -> tuple[list[str], set[int]]:
    """Give the words of a note as the lexicon would spell them, and which of them were corrected.

    Marks and numbers come back as they are, and so do words beside a foreign one: "suszona śliwka" is no slip.
    """
    words = list(tokens.norms)
    corrected: set[int] = set()
    settled = vocab.settled
    for i in [i for i, word in enumerate(words) if word not in settled]:
        word = words[i]
        if tokens.kinds[i] == WORD and word not in vocab.words:
            if word.endswith("'s"):
                words[i] = word = word[:-2]
            better = vocab.speller.correct(word) if word not in vocab.words else None
            if better is not None:
                if not any(_is_foreign(text, k, tokens, vocab) for k in (i - 1, i + 1)):
                    words[i] = better
                    corrected.add(i)
                continue
            if word != tokens.norms[i]:
                continue
        vocab.settle(word)
    return words, corrected


def _is_foreign(text: str, k: int, tokens: Tokens, vocab: Vocabulary) -> bool:
    if not 0 <= k < len(tokens) or tokens.kinds[k] != WORD or text[tokens.start(k) : tokens.end(k)].isascii():
        return False
    return tokens.norms[k] not in vocab.words and not is_word(tokens.norms[k])


def match(tokens: Tokens, words: list[str], corrected: set[int], vocab: Vocabulary) -> list[Found]:
    """Give the lexicon's words from left to right; of those that begin at one place the longest.

    A word corrected in spelling counts as such even inside a longer name.
    """
    found: list[Found] = []
    longest, forms, kinds, free, n = vocab.longest, vocab.forms, tokens.kinds, 0, len(words)
    for i in [i for i, word in enumerate(words) if word in longest]:
        if i < free or kinds[i] != WORD:
            continue
        word, stop = words[i], i + 1
        if longest[word] > 1 and stop < n:
            most = vocab.longer.get((word, words[stop]), 1)
            while stop < n and stop - i < most and kinds[stop] == WORD:
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


def guess(tokens: Tokens, words: list[str], taken: Sequence[object], vocab: Vocabulary) -> list[Found]:
    """Give the foods, plants and materials that the lexicon lacks, at words that are not `taken` yet.

    Names and words of everyday speech are never inferred.
    """
    kinds, n = tokens.kinds, len(words)
    guessed: list[Found] = []
    free = 0
    for i in [i for i, word in enumerate(words) if _MAY_BEGIN[word] and not taken[i]]:
        if i < free or kinds[i] != WORD:
            continue
        if tokens.capitals[i] and i > 0 and kinds[i - 1] != MARK:
            continue  # a name
        for end in range(min(n, i + reach(words[i])), i, -1):
            if any(taken[i:end]) or any(kind != WORD for kind in kinds[i:end]):
                continue
            name = " ".join(words[i:end])
            node = infer(name)
            if node in vocab.lexicon:
                guessed.append(Found(i, end - 1, node, "inferred", name))
                free = end
                break
    return guessed


def _may_begin(word: str) -> bool:
    """Say whether a word may begin a name beyond the lexicon."""
    return word not in COMMON and (reach(word) > 1 or infer(word) is not None)


_MAY_BEGIN = Memory(_may_begin)
