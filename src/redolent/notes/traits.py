"""What is known of a word wherever it stands: which of the rules' lists hold it, as bits of one number.

A rule that looks for certain words asks first, with one comparison, whether the note holds any of them. Most don't.
"""

from collections.abc import Callable, Iterable, Mapping

from redolent.notes.memory import Memory

_LISTS: list[tuple[Callable[[str], bool], bool]] = []


def trait(of: Iterable[str] | Callable[[str], bool], *, unless_named: bool = False) -> int:
    """Give the bit of the words that a list holds, or for which a function is true.

    With `unless_named` a word that a vocabulary names does not count.
    """
    if not callable(of):
        listed = of if isinstance(of, Mapping | frozenset) else frozenset(of)
        of = listed.__contains__
    _LISTS.append((of, unless_named))
    return 1 << len(_LISTS) - 1


def recall_traits(names: Mapping[str, object]) -> Memory[int]:
    """Give a memory of words and the bits of all their traits, beside a vocabulary that holds `names`."""

    def look_up(word: str) -> int:
        named = word in names
        return sum(1 << k for k, (holds, unless) in enumerate(_LISTS) if not (unless and named) and holds(word))

    return Memory(look_up)
