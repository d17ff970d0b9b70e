"""Read a note: tokens, matches, what belongs together, what is about the cup, and who governs what."""

from redolent.lexicon import Lexicon
from redolent.notes.compose import Draft, compose
from redolent.notes.context import keep_the_cups
from redolent.notes.infer import guess
from redolent.notes.match import COMMON, Personal, match, spell, vocabulary
from redolent.notes.reading import Mention, Reading, Unplaced
from redolent.notes.scope import PLAIN, judge
from redolent.notes.tokens import WORD, tokenize
from redolent.notes.traits import trait
from redolent.notes.words import flags, is_word

# Raised whenever reading changes: cached readings of an older version are read again.
READER_VERSION = 4


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
    draft = Draft(text, tokens, words, match(tokens, words, corrected, vocab), vocab)
    guess(draft)
    compose(draft)
    keep_the_cups(draft)
    scopes = judge(draft)
    mentions, reasons = [], []
    for f in draft.found:
        (start, end), scope = tokens.span(f.first, f.last), scopes.get(f, PLAIN)
        said = (start, end, text[start:end], f.node, scope.present, scope.strength, scope.hedged, f.how)
        mentions.append(_make(Mention, said))
        reasons.append((f.words, f.rule, scope.causes))
    return Reading(text, tuple(mentions), _unplaced(draft), tuple(reasons))


# Makes a named tuple in half the time that its name takes.
_make = tuple.__new__


def _may_place(word: str) -> bool:
    """Say whether a word looks like a descriptor that stands nowhere yet."""
    return len(word) > 2 and word not in COMMON and (_is_material(word) or _is_coined(word))


def _is_material(word: str) -> bool:
    """Say whether a word names a food, plant or substance."""
    kinds = flags(word)
    return "v" not in kinds and not {"f", "p", "s"}.isdisjoint(kinds)


def _is_coined(word: str) -> bool:
    """Say whether a word is none of the dictionary's and has the shape of an adjective of likeness: "zorblish"."""
    return len(word) > 4 and word.endswith(("ish", "y")) and not word.endswith("ly") and not is_word(word)


_MAY_STAND = trait(_may_place, unless_named=True)
_LIKENED = trait(["like"])
# Behind these an unknown word is meant as something one smells or tastes: "a hint of gambooge".
_BEFORE_THINGS = frozenset(["of", "like"])
_UNKNOWN = trait(lambda word: word.isalpha() and not is_word(word), unless_named=True)
_MAY_BE_UNPLACED = _MAY_STAND | _LIKENED | _UNKNOWN


def _unplaced(draft: Draft) -> tuple[Unplaced, ...]:
    """Find content words that look like descriptors and stand nowhere: foods, plants, substances, "-like" words."""
    tokens, words = draft.tokens, draft.words
    if not draft.said & _MAY_BE_UNPLACED:
        return ()
    likened = {i - 1 for i in draft.where(_LIKENED) if tokens[i].joined and words[i - 1] not in COMMON}
    things = {i for i in draft.where(_UNKNOWN) if draft.word(i - 1) in _BEFORE_THINGS}
    out = []
    for i in sorted({*draft.where(_MAY_STAND), *likened, *things}):
        if draft.covering(i) or tokens[i].kind != WORD or words[i] in draft.vocab.forms:
            continue  # it was matched, whether or not it was said of the cup
        if len(words[i]) > 2 and (i in likened or not tokens[i].capital):
            start, end = tokens.span(i, i + (i in likened))
            out.append(Unplaced(start, end, draft.text[start:end]))
    return tuple(out)
