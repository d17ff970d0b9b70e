"""Read a note: tokens, matches, what belongs together, what is about the cup, and who governs what."""

from redolent.lexicon import Lexicon
from redolent.notes.compose import Draft, compose
from redolent.notes.context import keep_the_cups
from redolent.notes.match import COMMON, Personal, guess, match, spell, vocabulary
from redolent.notes.memory import Memory
from redolent.notes.reading import Mention, Reading, Reason, Unplaced
from redolent.notes.scope import PLAIN, judge
from redolent.notes.tokens import WORD, tokenize
from redolent.notes.words import flags, is_word

# Raised whenever reading changes: cached readings of an older version are read again.
READER_VERSION = 1


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
    for found in guess(tokens, words, draft.cover, vocab):
        draft.put(found)
    compose(draft)
    keep_the_cups(draft)
    scopes = judge(draft)
    mentions, reasons = [], []
    for f in draft.found:
        start, end, scope = tokens.start(f.first), tokens.end(f.last), scopes.get(id(f), PLAIN)
        mentions.append(
            Mention(start, end, text[start:end], f.node, scope.present, scope.strength, scope.hedged, f.how)
        )
        reasons.append(Reason(f.words, f.rule, tuple(scope.causes)))
    return Reading(text, tuple(mentions), _unplaced(draft), tuple(reasons))


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


_MAY_PLACE = Memory(_may_place)
# Behind these an unknown word is meant as something one smells or tastes: "a hint of gambooge".
_BEFORE_THINGS = frozenset(["of", "like"])


def _unplaced(draft: Draft) -> tuple[Unplaced, ...]:
    """Find content words that look like descriptors and stand nowhere: foods, plants, substances, "-like" words."""
    tokens, words = draft.tokens, draft.words
    likened = {i - 1 for i in tokens.joined if words[i] == "like" and words[i - 1] not in COMMON}
    things = {i + 1 for i, word in enumerate(words[:-1]) if word in _BEFORE_THINGS and not is_word(words[i + 1])}
    out = []
    for i in [i for i, word in enumerate(words) if _MAY_PLACE[word] or i in likened or i in things]:
        if draft.covering(i) or tokens.kinds[i] != WORD or words[i] in draft.vocab.forms:
            continue  # it was matched, whether or not it was said of the cup
        if len(words[i]) > 2 and (i in likened or not tokens.capitals[i]):
            start, end = tokens.start(i), tokens.end(i + (i in likened))
            out.append(Unplaced(start, end, draft.text[start:end]))
    return tuple(out)
