"""Find the lexicon's words in a note: the longest wins, spelling forgiven.

A `Found` is a run of tokens that names a node. Nothing here knows of denial, strength or doubt.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import compress
from operator import attrgetter, is_not
from sys import intern

from redolent.lexicon import Lexicon, fold
from redolent.lexicon.forms import derive
from redolent.notes.grammar import words
from redolent.notes.memory import Memory
from redolent.notes.reading import How
from redolent.notes.spelling import Speller
from redolent.notes.tokens import WORD, Tokens
from redolent.notes.traits import recall_traits
from redolent.notes.words import FUNCTION_WORDS, is_word, lemma

# Foods, plants and substances of everyday speech that say nothing of a cup.
COMMON = words("everyday") | words("room") | FUNCTION_WORDS

Personal = Mapping[str, str] | Iterable[tuple[str, str]]


@dataclass(slots=True, eq=False)
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


# A node, and how a name names it.
Named = tuple[str, How]
# What begins with a word: the name it is alone, and by the second word how long the names are, the longest first.
Begin = tuple[Named | None, dict[str, list[int]]]


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
        self._longer: dict[str, dict[str, list[int]]] = {}
        words: set[str] = set()
        for form in self.forms:
            first, *more = form.split(" ")
            words.update((first, *more))
            if more:
                lengths = self._longer.setdefault(first, {}).setdefault(more[0], [])
                if 1 + len(more) not in lengths:
                    lengths.append(1 + len(more))
                    lengths.sort(reverse=True)
        self.words = frozenset(words)
        # What begins with a word, and what several name; a note's are few, and looked up faster than among all names.
        self.begins = Memory(self._begin)
        self.named = Memory(self.name)
        self.speller = Speller(self.words)
        self.spelled = Memory(self._spell)
        self.traits = recall_traits(self.forms)

    def _spell(self, norm: str) -> str:
        """Give a word of the lexicon for one that is a slip of it, or else the word, without a genitive."""
        if norm in self.words or norm in FUNCTION_WORDS:
            return norm
        bare = norm.removesuffix("'s")
        if bare in self.words:
            return bare
        return intern(self.ungrade(bare) or self.speller.correct(bare) or bare)

    def ungrade(self, word: str) -> str | None:
        """Give the lexicon's adjective that `word` is a grade of ("nuttier", "fruitiest"), or None."""
        if not word.endswith(("ier", "iest")):
            return None
        adjective = word.removesuffix("er").removesuffix("est")[:-1] + "y"
        return adjective if adjective in self.words and lemma(word) != word else None  # a terrier is no grade

    def _begin(self, word: str) -> Begin | None:
        if not word[:1].isalpha():
            return None  # marks and numbers begin no name
        alone, longer = self.name(word), self._longer.get(word)
        return (alone, longer or {}) if alone or longer else None

    def name(self, words: str) -> Named | None:
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
    if not personal:
        return _vocabulary(Lexicon.load() if lexicon is None else lexicon, ())
    pairs = personal.items() if isinstance(personal, Mapping) else personal
    own = tuple((str(w), str(n)) for w, n in pairs)
    return _vocabulary(Lexicon.load() if lexicon is None else lexicon, own)


_NORM = attrgetter("norm")


def spell(text: str, tokens: Tokens, vocab: Vocabulary) -> tuple[list[str], set[int]]:
    """Give the words of a note as the lexicon would spell them, and which of them were corrected.

    One word for nothing stands behind the last, and so before the first (at -1): rules look there without asking.
    Marks and numbers come back as they are, and so do words beside a foreign one: "suszona śliwka" is no slip.
    """
    norms = list(map(_NORM, tokens))
    words = list(map(vocab.spelled.__getitem__, norms))
    corrected: set[int] = set()
    if words != norms:
        for i in list(compress(range(len(words)), map(is_not, words, norms))):
            bare = norms[i].removesuffix("'s")
            if words[i] == bare or words[i] == vocab.ungrade(bare):
                continue
            if any(_is_foreign(text, k, tokens, vocab) for k in (i - 1, i + 1)):
                words[i] = bare
            else:
                corrected.add(i)
    return [*words, ""], corrected


def _is_foreign(text: str, k: int, tokens: Tokens, vocab: Vocabulary) -> bool:
    if not 0 <= k < len(tokens) or tokens[k].kind != WORD or text[slice(*tokens.span(k, k))].isascii():
        return False
    return tokens[k].norm not in vocab.words and not is_word(tokens[k].norm)


def match(tokens: Tokens, words: list[str], corrected: set[int], vocab: Vocabulary) -> list[Found]:
    """Give the lexicon's words from left to right; of those that begin at one place the longest.

    A word corrected in spelling counts as such even inside a longer name.
    """
    found: list[Found] = []
    free = 0
    begins = list(map(vocab.begins.__getitem__, words))
    for i in compress(range(len(words)), begins):
        begin = begins[i]
        if begin is None or i < free:
            continue
        named, longer = begin
        last, name = i, words[i]
        if longer and words[i + 1] in longer:
            for length in longer[words[i + 1]]:
                several = " ".join(words[i : i + length])
                whole = vocab.named[several]
                if whole is not None and all(token.kind == WORD for token in tokens[i : i + length]):
                    last, name, named = i + length - 1, several, whole
                    break
        if named is not None:
            node, how = named
            if corrected and not corrected.isdisjoint(range(i, last + 1)):
                how = "spelling"
            found.append(Found(i, last, node, how, name))
            free = last + 1
    return found
