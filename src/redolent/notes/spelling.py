"""A typed word that is no word finds the descriptor it was meant for.

A real word is never touched: "plump" is not plum and "mind" is not mint. What is left is compared by optimal string
alignment (a dropped, doubled, wrong or transposed letter costs one); a first letter is rarely mistyped, so another one
costs one more. Among equals the commonest kind of slip wins: same letters in another order, then a doubled or
dropped letter, then a wrong one; and an English word before a foreign name. Common words compete, at a price:
"recieve" is no resin, and names nothing.

Not every word of the lexicon is compared. A word is cut into three pieces, and two slips leave one of them as it was,
at most two letters from its place; so the words that share such a piece are looked up, however many others there are.
Only a swap over a cut can spoil two pieces, and leave none with another slip: it is undone first.
"""

from functools import cached_property, lru_cache
from itertools import pairwise

from rapidfuzz import process
from rapidfuzz.distance import OSA

from redolent.notes.grammar import list_known
from redolent.notes.words import is_word, list_common

SHORTEST = 4
# Below this length one slip is forgiven, from it on two.
TWO_SLIPS_FROM = 7

# What a common word costs more: who writes of a cup means a descriptor more often.
COMMON_COSTS = 0.3

# Spellings that sound alike: compared on top of the letters.
_SOUNDS = (
    ("ey", "y"),
    ("ph", "f"),
    ("ck", "k"),
    ("ce", "se"),
    ("ci", "si"),
    ("cy", "si"),
    ("c", "k"),
    ("qu", "k"),
    ("z", "s"),
    ("y", "i"),
    ("ie", "i"),
    ("ee", "i"),
    ("ea", "i"),
    ("oo", "u"),
    ("gh", ""),
)

# Words by one of their pieces, with a blank between: a list for each would take twice as long to make.
Pieces = dict[str, str]


class Speller:
    """Corrects words against a fixed vocabulary.

    Parameters
    ----------
    vocabulary : iterable of str
        Folded single words.
    """

    def __init__(self, vocabulary: frozenset[str]) -> None:
        self.known = vocabulary | list_known()
        self._pieces: dict[int, list[tuple[int, int, Pieces]]] = {}
        self.correct = lru_cache(maxsize=65536)(self._correct)

    @cached_property
    def _by_length(self) -> dict[int, list[str]]:
        """Words that a slip is compared with; made for the first slip."""
        by_length: dict[int, list[str]] = {}
        for word in self.known | list_common():
            by_length.setdefault(len(word), []).append(word)
        return by_length

    def _correct(self, word: str) -> str | None:
        """Give the vocabulary's word that `word` was meant to be, or None."""
        if len(word) < SHORTEST or word in self.known or not word.isalpha() or is_word(word):
            return None
        if word.endswith("ys") and f"{word[:-2]}ies" in self.known:
            return f"{word[:-2]}ies"
        slips = 1 if len(word) < TWO_SLIPS_FROM else 2
        hits = process.extract(word, self.find_near(word, slips), scorer=OSA.distance, score_cutoff=slips, limit=None)
        if not hits:
            return None
        cost, _, meant = min((self._cost(word, hit, distance), not is_word(hit), hit) for hit, distance, _ in hits)
        return meant if cost <= slips + 0.5 and meant in self.known else None

    def find_near(self, word: str, slips: int) -> set[str]:
        """Give all known and common words within `slips` of `word`, and others that share a piece with it."""
        near: set[str] = set()
        for length in range(max(SHORTEST, len(word) - slips), len(word) + slips + 1):
            pieces = self._cut_words(length)
            for start, end, words in pieces:
                for shift in range(-min(slips, start), slips + 1):
                    near.update(words.get(word[start + shift : end + shift], "").split())
            if slips > 1:
                for (start, cut, left), (_, end, right) in pairwise(pieces):
                    for at in (cut - 1, cut, cut + 1):
                        shift = at - cut
                        near.update(left.get(word[start + shift : at - 1] + word[at : at + 1], "").split())
                        near.update(right.get(word[at - 1 : at] + word[at + 1 : end + shift], "").split())
        return near

    def _cut_words(self, length: int) -> list[tuple[int, int, Pieces]]:
        """Give where each of the three pieces begins and ends, and the words by it; made when first asked for."""
        if length not in self._pieces:
            cuts = (0, length // 3, 2 * length // 3, length)
            self._pieces[length] = [(start, end, {}) for start, end in pairwise(cuts)]
            for start, end, words in self._pieces[length]:
                for word in self._by_length.get(length, ()):
                    piece = word[start:end]
                    words[piece] = f"{words[piece]} {word}" if piece in words else word
        return self._pieces[length]

    def _cost(self, word: str, hit: str, distance: float) -> float:
        cost = float(distance)
        if hit not in self.known:
            cost += COMMON_COSTS
        if word[0] != hit[0]:
            cost += 1
        if sorted(word) == sorted(hit) or set(word) == set(hit):
            cost -= 0.4
        elif len(hit) > len(word):
            cost -= 0.2
        if _sound(word) == _sound(hit):
            cost -= 0.5
        return cost


def _sound(word: str) -> str:
    for letters, instead in _SOUNDS:
        word = word.replace(letters, instead)
    return "".join(c for i, c in enumerate(word) if i == 0 or c != word[i - 1])
