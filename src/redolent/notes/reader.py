"""Read a note: tokens, matches, what belongs together, what is about the cup, and who governs what."""

from functools import lru_cache

from redolent.lexicon import Lexicon
from redolent.notes.aside import ROOM
from redolent.notes.compose import Draft, compose
from redolent.notes.context import keep_the_cups
from redolent.notes.grammar import words
from redolent.notes.match import Personal, guess, match, spell, vocabulary
from redolent.notes.reading import Mention, Reading, Reason, Unplaced
from redolent.notes.scope import judge
from redolent.notes.tokens import WORD, tokenize
from redolent.notes.words import FUNCTION_WORDS, flags

# Raised whenever reading changes: cached readings of an older version are read again.
READER_VERSION = 1

# Foods, plants and substances of everyday speech that say nothing of a cup.
_EVERYDAY = ROOM | words("everyday")


_COMMON = _EVERYDAY | FUNCTION_WORDS


def read(text: str, *, lexicon: Lexicon | None = None, personal: Personal = ()) -> Reading:
    """Read a free-text note into mentions of the lexicon's places.

    Parameters
    ----------
    text : str
        The note, any Unicode string.
    lexicon : Lexicon, optional
        The one that ships with the package where none is given.
    personal : mapping or iterable of (str, str), optional
        A taster's own words and the ids of the nodes where that taster placed them.

    Returns
    -------
    Reading
        Spans are code points of `text` as given.

    >>> [(m.text, m.node, m.present) for m in read("No smoke, but a hint of quince").mentions]
    [('smoke', 'hearth/smoke', False), ('quince', 'orchard/pome/quince', True)]
    """
    vocab = vocabulary(lexicon, personal)
    tokens = tokenize(text)
    words, corrected = spell(text, tokens, vocab)
    found = match(tokens, words, corrected, vocab)
    found += guess(tokens, words, found, _COMMON, vocab.lexicon)
    draft = Draft(text, tokens, words, found, vocab)
    compose(draft)
    keep_the_cups(draft)
    scopes = judge(draft)
    mentions, reasons = [], []
    for f in draft.found:
        start, end, scope = tokens[f.first].start, tokens[f.last].end, scopes[id(f)]
        mentions.append(
            Mention(start, end, text[start:end], f.node, scope.present, scope.strength, scope.hedged, f.how)
        )
        reasons.append(Reason(f.words, f.rule, tuple(scope.causes)))
    return Reading(text, tuple(mentions), _unplaced(draft), tuple(reasons))


@lru_cache(maxsize=65536)
def _is_material(word: str) -> bool:
    """Say whether a word names a food, plant or substance, and is no word of everyday speech."""
    kinds = flags(word)
    return len(word) > 2 and word not in _COMMON and "v" not in kinds and not {"f", "p", "s"}.isdisjoint(kinds)


def _unplaced(draft: Draft) -> tuple[Unplaced, ...]:
    """Find content words that look like descriptors and stand nowhere: foods, plants, substances, "-like" words."""
    out = []
    words, forms, last = draft.words, draft.vocab.forms, len(draft.words) - 1
    for i, word in enumerate(words):
        likened = i < last and words[i + 1] == "like" and draft.tokens[i + 1].joined and word not in _COMMON
        if not likened and (word in _COMMON or not _is_material(word) or draft.tokens[i].capital):
            continue
        if word in forms or draft.covering(i) or draft.tokens[i].kind != WORD:
            continue  # it was matched, whether or not it was said of the cup
        start, end = draft.tokens[i].start, draft.tokens[i + likened].end
        out.append(Unplaced(start, end, draft.text[start:end]))
    return tuple(out)
