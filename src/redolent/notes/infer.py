"""Where a food, plant or material stands that the lexicon lacks: by its kind, and never as certain.

The list behind it is ``lexicon/wordnet/places.txt``, derived from WordNet 3.1 by ``derive.py`` beside it. It
knows nothing of the lexicon: ask only for words that the lexicon doesn't hold.
"""

from collections.abc import Iterator
from functools import lru_cache

from redolent.lexicon.forms import derive
from redolent.notes.compose import Draft
from redolent.notes.match import COMMON, Found
from redolent.notes.tokens import MARK, WORD
from redolent.notes.traits import trait
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


# The letters by which a second word is known; its end may be inflected.
_KNOWN_BY = 3


@lru_cache(maxsize=1)
def _longer() -> dict[str, dict[str, int]]:
    longer: dict[str, dict[str, int]] = {}
    for name in _places():
        first, *rest = name.split(" ")
        if rest:
            longest = longer.setdefault(first, {})
            longest[rest[0][:_KNOWN_BY]] = max(longest.get(rest[0][:_KNOWN_BY], 0), 1 + len(rest))
    return longer


def reach(word: str, after: str) -> int:
    """Say how many words the longest name may have that begins with folded `word` and `after`; 1 where none does.

    >>> reach("lady", "ferns"), reach("lady", "came"), reach("zorbly", "ferns")
    (2, 1, 1)
    """
    return _longer().get(word, {}).get(after[:_KNOWN_BY], 1)


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


def _may_begin(word: str) -> bool:
    """Say whether a word may begin a name beyond the lexicon; words of everyday speech never do."""
    return word not in COMMON and (word in _longer() or infer(word) is not None)


_MAY_BEGIN = trait(_may_begin, unless_named=True)


def guess(draft: Draft) -> None:
    """Put foods, plants and materials that the lexicon lacks where nothing else is; names are never inferred."""
    tokens, words, cover = draft.tokens, draft.words, draft.cover
    for i in draft.where(_MAY_BEGIN):
        if cover[i] is not None or tokens[i].kind != WORD:
            continue
        if tokens[i].capital and i > 0 and tokens[i - 1].kind != MARK:
            continue  # a name
        for end in range(min(draft.end, i + reach(words[i], draft.word(i + 1))), i, -1):
            if end > i + 1 and (any(cover[i:end]) or any(token.kind != WORD for token in tokens[i:end])):
                continue
            name = " ".join(words[i:end])
            node = infer(name)
            if node is not None and node in draft.vocab.lexicon:
                draft.put(Found(i, end - 1, node, "inferred", name))
                break
