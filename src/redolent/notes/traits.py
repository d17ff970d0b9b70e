"""What is known of a word wherever it stands: which of the rules' lists hold it, as bits of one number.

A rule that looks for certain words asks first, with one comparison, whether the note holds any of them. Most don't.
"""

from collections.abc import Callable, Iterable, Mapping
from itertools import compress

from redolent.notes.memory import Memory

_LISTS: list[tuple[Callable[[str], bool], bool]] = []
_SOUGHT: list[int] = []


def trait(of: Iterable[str] | Callable[[str], bool], *, unless_named: bool = False, sought: bool = True) -> int:
    """Give the bit of the words that a list holds, or for which a function is true.

    With `unless_named` a word that a vocabulary names does not count. Without `sought` the words are only known where
    one comes upon them: `find_traits` does not look for them.
    """
    if not callable(of):
        listed = of if isinstance(of, Mapping | frozenset) else frozenset(of)
        of = listed.__contains__
    _LISTS.append((of, unless_named))
    bit = 1 << len(_LISTS) - 1
    if sought:
        _SOUGHT.append(bit)
    return bit


class _Sought(dict[int, list[int]]):
    """The traits that are looked for, of all that a word holds; words differ in many ways, but not in very many."""

    def __missing__(self, traits: int) -> list[int]:
        self[traits] = [bit for bit in _SOUGHT if traits & bit]
        return self[traits]


_sought = _Sought()


def find_traits(traits: list[int]) -> dict[int, list[int]]:
    """Say by trait which of a row of words hold it."""
    places: dict[int, list[int]] = {}
    for i in compress(range(len(traits)), traits):
        for bit in _sought[traits[i]]:
            if bit in places:
                places[bit].append(i)
            else:
                places[bit] = [i]
    return places


def recall_traits(names: Mapping[str, object]) -> Memory[int]:
    """Give a memory of words and the bits of all their traits, beside a vocabulary that holds `names`."""

    alike: dict[int, int] = {}

    def look_up(word: str) -> int:
        named = word in names
        bits = sum(1 << k for k, (holds, unless) in enumerate(_LISTS) if not (unless and named) and holds(word))
        return alike.setdefault(bits, bits)  # one object for all the words that are alike

    return Memory(look_up)
