"""Turn words into a note that somebody could have scribbled beside a cup."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from redolent.demo.coffees import BROAD, MOUTH, NOSE, NOUNS, SLIPS


@dataclass(frozen=True, slots=True)
class Hand:
    """How somebody writes: sentences with a gap for the words, and what stands between these.

    Attributes
    ----------
    things, airs, mouth : tuple of str
        For nouns of the nose, adjectives of the nose, and words of the mouth and the whole cup.
    doubts, denials : tuple of str
    fillers : tuple of str
        Sentences that say nothing of the cup's smell or taste.
    last : tuple of str
        What stands before the last word of a list.
    capital : float
        How often a sentence begins with a capital.
    """

    things: tuple[str, ...]
    airs: tuple[str, ...]
    mouth: tuple[str, ...]
    doubts: tuple[str, ...]
    denials: tuple[str, ...]
    fillers: tuple[str, ...]
    last: tuple[str, ...]
    capital: float


FLOWING = Hand(
    things=(
        "{}.",
        "Smells of {}.",
        "I get {}.",
        "Mostly {}.",
        "{} on the nose.",
        "Reminds me of {}.",
        "There is {}.",
        "First {}.",
    ),
    airs=(
        "{}.",
        "It is {}.",
        "{} from start to end.",
        "A {} cup.",
        "{} once more.",
        "{}, that much is sure.",
    ),
    mouth=("{}.", "{} in the mouth.", "Then {}.", "{} as it cools.", "And {}.", "On the tongue {}."),
    doubts=("Maybe {}.", "Could be {}, not sure.", "{}?", "Perhaps {}."),
    denials=("No {}.", "No {} this time.", "Without {}.", "I find no {}."),
    fillers=(
        "Went back to it twice.",
        "I know this one from somewhere.",
        "Hard to say more.",
        "I would order it again.",
        "Need to try this once more.",
        "Not my favourite, but I see why others like it.",
        "My spoon was too hot at first.",
        "Wrote this before I looked at the others.",
    ),
    last=(" and ", " and ", ", ", ", then "),
    capital=0.9,
)

TERSE = Hand(
    things=("{}.", "{}", "{}, that's it.", "mostly {}.", "{} again."),
    airs=("{}.", "{}.", "{}", "just {}.", "{} as ever.", "all {}."),
    mouth=("{}.", "{}", "and {}.", "{} too."),
    doubts=("{}?", "maybe {}", "{} perhaps"),
    denials=("no {}.", "no {} here"),
    fillers=("ok.", "fine.", "next.", "good one!", "same as before.", "long day.", "would drink.", "meh"),
    last=(" and ", ", ", " + ", " / "),
    capital=0.25,
)


def write(
    said: Sequence[str], doubted: Sequence[str], denied: Sequence[str], hand: Hand, rng: np.random.Generator
) -> str:
    """Write a note.

    Parameters
    ----------
    said, doubted, denied : sequence of str
        Words of `NOSE`, `MOUTH` and `BROAD` that are asserted and hedged, and any nouns that are denied.
    hand : Hand
    rng : numpy.random.Generator

    Returns
    -------
    str
        At least one sentence, also where there is nothing to say.
    """
    mouth = [word for word in said if of_mouth(word)]
    things = [_slip(word, rng) for word in said if word not in mouth and (word in NOSE or word in NOUNS)]
    airs = [word for word in said if word not in mouth and word in BROAD and word not in NOUNS]
    sentences = []
    for words, templates in ((airs, hand.airs), (things, hand.things), (mouth, hand.mouth)):
        if words:
            sentences.append(_fill(templates, _list(words, hand, rng), hand, rng))
    sentences.extend(_fill(hand.doubts, word, hand, rng) for word in doubted)
    sentences.extend(_fill(hand.denials, word, hand, rng) for word in denied)
    if not sentences or rng.random() < 0.25:
        sentences.append(_pick(hand.fillers, rng))
    return _join(sentences)


def of_mouth(word: str) -> bool:
    """Say whether a word speaks of the mouth or the whole cup, which nobody has before the first sip."""
    return word in MOUTH or BROAD.get(word, "").startswith(("tongue", "touch"))


def _list(words: Sequence[str], hand: Hand, rng: np.random.Generator) -> str:
    *most, last = words
    if most:
        return f"{', '.join(most)}{_pick(hand.last, rng)}{last}"
    return f"a hint of {last}" if last in NOSE and rng.random() < 0.2 else last


def _slip(word: str, rng: np.random.Generator) -> str:
    return SLIPS[word] if word in SLIPS and rng.random() < 0.15 else word


def _fill(templates: Sequence[str], words: str, hand: Hand, rng: np.random.Generator) -> str:
    sentence = _pick(templates, rng).format(words)
    return sentence[0].upper() + sentence[1:] if rng.random() < hand.capital else sentence


def _join(sentences: Sequence[str]) -> str:
    """Put sentences together; one that ends without a stop gets a dash before the next."""
    text = sentences[0]
    for sentence in sentences[1:]:
        text += f"{' ' if text[-1] in '.?!' else ' - '}{sentence}"
    return text


def _pick(choices: Sequence[str], rng: np.random.Generator) -> str:
    return choices[int(rng.integers(len(choices)))]
