"""Read a note: tokens, matches, what belongs together, what is about the cup, and who governs what."""

from redolent.lexicon import Lexicon
from redolent.notes.aside import ROOM
from redolent.notes.compose import Draft, compose
from redolent.notes.context import keep_the_cups
from redolent.notes.grammar import words
from redolent.notes.match import Personal, guess, match, spell, vocabulary
from redolent.notes.reading import Mention, Reading, Unplaced
from redolent.notes.scope import judge
from redolent.notes.tokens import WORD, tokenize
from redolent.notes.words import FUNCTION_WORDS, flags

# Raised whenever reading changes: cached readings of an older version are read again.
READER_VERSION = 1

# Foods, plants and substances of everyday speech that say nothing of a cup.
_EVERYDAY = ROOM | words("everyday")


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
    found += guess(tokens, words, found, _EVERYDAY | FUNCTION_WORDS, vocab.lexicon)
    draft = Draft(text, tokens, words, found, vocab)
    compose(draft)
    keep_the_cups(draft)
    scopes = judge(draft)
    mentions = []
    for f in draft.found:
        start, end, scope = tokens[f.first].start, tokens[f.last].end, scopes[id(f)]
        mentions.append(
            Mention(start, end, text[start:end], f.node, scope.present, scope.strength, scope.hedged, f.how)
        )
    return Reading(text, tuple(mentions), _unplaced(draft))


def _unplaced(draft: Draft) -> tuple[Unplaced, ...]:
    """Find content words that look like descriptors and stand nowhere: foods, plants, substances, and "-like" words."""
    taken = {i for f in draft.found for i in range(f.first, f.last + 1)}
    out = []
    for i, token in enumerate(draft.tokens):
        word = draft.words[i]
        if i in taken or token.kind != WORD or len(word) < 3 or word in FUNCTION_WORDS or word in _EVERYDAY:
            continue
        if word in draft.vocab.forms:
            continue  # it was matched, and not said of the cup
        marks = flags(word)
        likened = draft.word(i + 1) == "like" and i + 1 < len(draft.tokens) and draft.tokens[i + 1].joined
        material = ("f" in marks or "p" in marks or "s" in marks) and "v" not in marks and not token.capital
        if material or likened:
            end = draft.tokens[i + 1].end if likened else token.end
            out.append(Unplaced(token.start, end, draft.text[token.start : end]))
    return tuple(out)
