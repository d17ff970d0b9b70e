"""Where a food, plant or material stands that the lexicon lacks: by its kind, and never as certain.

The list behind it is ``lexicon/wordnet/places.txt``, derived from WordNet 3.1 by ``derive.py`` beside it. It
knows nothing of the lexicon: ask only for words that the lexicon doesn't hold.
"""

from collections.abc import Iterator
from functools import lru_cache

from redolent.lexicon.forms import derive
from redolent.notes.words import lemma
from redolent.shipped import shipped

# What the regular forms end in, and what the name they come from may end in.
_ENDINGS = (
    ("ies", "y"),
    ("ves", "f"),
    ("es", ""),
    ("s", ""),
    (" like", ""),
    ("like", ""),
    ("y", ""),
    ("y", "e"),
    ("ish", ""),
    ("ish", "e"),
)


@lru_cache(maxsize=1)
def _places() -> dict[str, str]:
    text = (shipped("lexicon") / "wordnet" / "places.txt").read_text(encoding="ascii")
    return dict(line.split("\t") for line in text.splitlines())


@lru_cache(maxsize=1)
def _reach() -> dict[str, int]:
    longest: dict[str, int] = {}
    for name in _places():
        first, *rest = name.split(" ")
        longest[first] = max(longest.get(first, 0), 1 + len(rest))
    return longest


def reach(word: str) -> int:
    """Say how many words the longest name has that begins with folded `word`; 1 for a word that begins none.

    >>> reach("lady"), reach("zorbly")
    (2, 1)
    """
    return _reach().get(word, 1)


@lru_cache(maxsize=65536)
def infer(words: str) -> str | None:
    """Give the family or group where a food, plant or material stands, or None where nothing is known of it.

    Parameters
    ----------
    words : str
        A name or a regular form of one ("tallows", "rowan-like", "balsam firs"), folded.

    Returns
    -------
    str or None
        The id of a family or a group, never of a descriptor.

    >>> infer("rambutans"), infer("tallow"), infer("cup")
    ('tropical-stall', 'stockpot/meat', None)
    """
    words = " ".join(words.replace("-", " ").split())
    places = _places()
    if words in places:
        return places[words]
    if lemma(words) == words:
        return None  # "sooty", "briny": a word of its own
    return next((places[name] for name in _names(words) if name in places and words in derive(name)), None)


def _names(form: str) -> Iterator[str]:
    """Yield what `form` could be a regular form of; not every one of them is."""
    for ending, instead in _ENDINGS:
        if form.endswith(ending):
            stem = form[: -len(ending)]
            yield stem + instead
            if not instead and stem[-1:] == stem[-2:-1]:
                yield stem[:-1]
