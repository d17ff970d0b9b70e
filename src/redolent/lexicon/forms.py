"""The regular surface forms of a label: what people write when they mean it.

Only the last word of a label is inflected ("orange blossoms"); "-y" and "-ish" are made of single words
only ("figgy", "lemony"). What these rules miss stands in an entry's ``forms``.
"""

import re
import unicodedata
from collections.abc import Iterator

from redolent.lexicon.node import WordClass

# Regular forms that are other words altogether: "tin" gives no "tiny", "quince" no "quincy".
NOT_FORMS = frozenset(
    """apply benny biter bloody business camus cavy chary clammy cody cornish crabby cutoff dally deadly
    duster flourish husky irony limper lingerer livery lofty marines matey mates molder moray moulder names
    number peary piggish piggy plumy pommy puncher quincy rainy rotter rummy salter sheepish shorts slacker
    snapper sparkler spritzer stably stocky sunday swedish tartary timey tiny toothy whinny whiny zipper
    crumby dishy windy""".split()
)


def fold(text: str) -> str:
    """Lower-case `text`, without accents, with plain apostrophes and hyphens: the key of a word.

    >>> fold("Crème Brûlée"), fold("baker’s")
    ('creme brulee', "baker's")
    """
    if text.isascii():
        return text.lower()
    plain = unicodedata.normalize("NFKD", text.translate(_QUOTES))
    plain = "".join(c for c in plain if not unicodedata.combining(c)).casefold()
    return plain.translate(_LETTERS)


_QUOTES = str.maketrans("’‘ʼ", "'''")
# What NFKD leaves whole; it turns the hyphen that never breaks into the first one here.
_LETTERS = str.maketrans({"‐": "-", "ø": "o", "ł": "l", "đ": "d", "æ": "ae", "œ": "oe", "ı": "i"})


VOWELS = frozenset("aeiou")
_BETWEEN_WORDS = re.compile(r"[\s\-]+")
# One vowel before the one last consonant, as in "fig": it is doubled.
_ONE_BEAT = re.compile(r"(y|[^aeiouy]+)[aeiou][bdfglmnprtk]")


def plural(word: str) -> str:
    """Give the regular plural.

    >>> plural("cherry"), plural("peach"), plural("bay"), plural("leaf")
    ('cherries', 'peaches', 'bays', 'leaves')
    """
    if ends_in_bare_y(word):
        return word[:-1] + "ies"
    if word.endswith(("s", "x", "z", "ch", "sh", "tomato", "potato", "mango")):
        return word + "es"
    if word.endswith(("leaf", "loaf", "half")):
        return word[:-1] + "ves"
    return word + "s"


def ends_in_bare_y(word: str) -> bool:
    """Say whether a word ends in a y behind a consonant, which its forms change: "cherry", but not "bay"."""
    return word.endswith("y") and word[-2:-1] not in VOWELS


def stem(word: str) -> str:
    """Give the stem that a vowel suffix is put on: doubled consonant or dropped e.

    >>> stem("fig"), stem("rose"), stem("lemon"), stem("cherry")
    ('figg', 'ros', 'lemon', 'cherr')
    """
    if word.endswith("e") and not word.endswith(("ee", "ye", "oe")):
        return word[:-1]
    if ends_in_bare_y(word):
        return word[:-1]
    if _ONE_BEAT.fullmatch(word):
        return word + word[-1]
    return word


def derive(label: str, word_class: WordClass = "noun") -> Iterator[str]:
    """Yield `label` and its regular forms, folded.

    Parameters
    ----------
    label : str
        One word or several.
    word_class : {"noun", "adjective"}
        Nouns give a plural, "-like", and, where they are one word, "-y" and "-ish"; adjectives give "-er",
        "-est", "-ness" and "-ish".

    >>> list(derive("fig"))
    ['fig', 'figs', 'fig like', 'figgy', 'figgish', 'figlike']
    >>> list(derive("silky", "adjective"))
    ['silky', 'silkier', 'silkiest', 'silkiness', 'silkyish']
    """
    for i, form in enumerate(_derive(label, word_class)):
        if i == 0 or form not in NOT_FORMS:
            yield form


def _derive(label: str, word_class: WordClass) -> Iterator[str]:
    folded = " ".join(_BETWEEN_WORDS.split(fold(label)))
    yield folded
    *front, last = folded.split(" ")
    if len(last) < 3 or not last.isalpha():
        return
    if word_class == "adjective":
        if not front:
            yield from _adjective(last)
        elif len(front) == 1:
            yield front[0] + last  # "mouthwatering"
        return
    before = " ".join(front) + " " if front else ""
    yield before + plural(last)
    yield folded + " like"
    if front:
        # "blackcurrant" is written "black currant" and the other way round; three words stay apart.
        if len(front) == 1:
            yield front[0] + last
            yield front[0] + plural(last)
        return
    if not last.endswith(("y", "i")) and (last.endswith("ss") or not last.endswith("s")):
        yield stem(last) + "y"
        yield stem(last) + "ish"
        if last == stem(last) + "e":  # which some keep: "rosey"
            yield last + "y"
            yield last + "ish"
    yield last + "like"


def _adjective(word: str) -> Iterator[str]:
    base = word[:-1] + "i" if ends_in_bare_y(word) else stem(word)
    if not word.endswith(("ing", "ed", "ous", "ful", "less", "ic", "al", "ive", "ant", "ent")):
        yield base + "er"
        yield base + "est"
    yield (word[:-1] + "i" if word.endswith("y") else word) + "ness"
    yield (stem(word) if not word.endswith("y") else word) + "ish"
