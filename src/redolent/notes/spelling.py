"""A typed word that is no word finds the descriptor it was meant for.

A real word is never touched: "plump" is not plum and "mind" is not mint. What is left is compared by optimal string
alignment (a dropped, doubled, wrong or transposed letter costs one); a first letter is rarely mistyped, so another one
costs one more. Among equals the commonest kind of slip wins: same letters in another order, then a doubled or
dropped letter, then a wrong one.
"""

from functools import lru_cache

from rapidfuzz import process
from rapidfuzz.distance import OSA

from redolent.notes.grammar import list_known
from redolent.notes.words import is_word

SHORTEST = 4
# Below this length one slip is forgiven, from it on two.
TWO_SLIPS_FROM = 7

# Spellings that sound alike: compared on top of the letters.
_SOUNDS = (
    ("ph", "f"),
    ("ck", "k"),
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


class Speller:
    """Corrects words against a fixed vocabulary.

    Parameters
    ----------
    vocabulary : iterable of str
        Folded single words.
    """

    def __init__(self, vocabulary: frozenset[str]) -> None:
        self.known = vocabulary | list_known()
        self._by_length: dict[int, list[str]] = {}
        for word in sorted(self.known):
            if len(word) >= SHORTEST:
                self._by_length.setdefault(len(word), []).append(word)
        self.correct = lru_cache(maxsize=65536)(self._correct)

    def _correct(self, word: str) -> str | None:
        """Give the vocabulary's word that `word` was meant to be, or None."""
        if len(word) < SHORTEST or word in self.known or not word.isalpha() or is_word(word):
            return None
        slips = 1 if len(word) < TWO_SLIPS_FROM else 2
        near = [w for n in range(len(word) - slips, len(word) + slips + 1) for w in self._by_length.get(n, ())]
        hits = process.extract(word, near, scorer=OSA.distance, score_cutoff=slips, limit=None)
        ranked = sorted((self._cost(word, hit, distance), hit) for hit, distance, _ in hits)
        if not ranked or ranked[0][0] > slips + 0.5:
            return None
        return ranked[0][1]

    @staticmethod
    def _cost(word: str, hit: str, distance: float) -> float:
        cost = float(distance)
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
