"""Two invented tasters: what they notice in a cup, and which words they have for it."""

from dataclasses import dataclass

import numpy as np

from redolent.demo.coffees import ABSENT, BROAD, MOUTH, NOSE, InventedCoffee
from redolent.demo.phrases import FLOWING, TERSE, Hand, of_mouth, write
from redolent.lexicon import Lexicon

WORDS = {**NOSE, **MOUTH}
NOSE_ONLY = ("dry", "crust", "break")
"""Stages at which nothing is in the mouth yet."""


@dataclass(frozen=True, slots=True)
class InventedTaster:
    """A taster who does not exist; each pair is a value at the first tasting and at the last.

    Attributes
    ----------
    name : str
    notices : tuple of float
        Share of what is in the cup that is noticed.
    knows : tuple of float
        Share of all words that the taster has; what is noticed without a word for it gets a broad one.
    imagines : tuple of float
        Words a note, on average, that have nothing to do with the cup.
    finds : tuple of float
        Probability of finding the odd cup of a triad, run by run; guessing gives one third.
    hand : Hand
        How the notes are phrased.
    """

    name: str
    notices: tuple[float, float]
    knows: tuple[float, float]
    imagines: tuple[float, float]
    finds: tuple[float, ...]
    hand: Hand


TASTERS = (
    InventedTaster("Ilse Varga", (0.4, 0.85), (0.1, 0.95), (1.4, 0.4), (0.38, 0.5, 0.72, 0.88), FLOWING),
    InventedTaster("Tomas Lindqvist", (0.2, 0.2), (0.22, 0.22), (3.4, 3.4), (1 / 3,) * 4, TERSE),
)


class Palate:
    """A taster at work.

    Parameters
    ----------
    taster : InventedTaster
    rng : numpy.random.Generator
        Draws the order in which words are learned, and every note.
    """

    def __init__(self, taster: InventedTaster, rng: np.random.Generator) -> None:
        self.taster = taster
        self._rng = rng
        self._learned = [str(word) for word in rng.permutation(sorted(WORDS))]
        self._lexicon = Lexicon.load()

    def taste(self, coffee: InventedCoffee, stage: str, when: float) -> str:
        """Write a note on a cup.

        Parameters
        ----------
        coffee : InventedCoffee
        stage : str
        when : float
            0 at the first tasting, 1 at the last.
        """
        rng = self._rng
        known = set(self._learned[: round(_at(self.taster.knows, when) * len(self._learned))])
        there = [*coffee.nose, *([] if stage in NOSE_ONLY else coffee.mouth)]
        noticed = [word for word in there if rng.random() < _at(self.taster.notices, when)]
        said = [word if word in known else self._broad(word) for word in noticed]
        said += [self._imagine(known) for _ in range(rng.poisson(_at(self.taster.imagines, when)))]
        if stage in NOSE_ONLY:
            said = [word for word in said if not of_mouth(word)]
        said = [str(word) for word in rng.permutation(list(dict.fromkeys(said)))]
        doubted = [said.pop()] if len(said) > 2 and rng.random() < 0.2 else []
        denied = [str(rng.choice(ABSENT))] if rng.random() < 0.15 else []
        return write(said, doubted, denied, self.taster.hand, rng)

    def _broad(self, word: str) -> str:
        """Give a broad word for something that the taster notices and has no word for."""
        above = {node.id for node in self._lexicon.ancestors(WORDS[word])}
        fitting = [broad for broad, node in BROAD.items() if node in above]
        return str(self._rng.choice(fitting or ["sweet"]))

    def _imagine(self, known: set[str]) -> str:
        """Give a word, narrow or broad, that the taster has ready whatever is in the cup."""
        return str(self._rng.choice([*sorted(known), *BROAD]))


def _at(pair: tuple[float, float], when: float) -> float:
    return pair[0] + (pair[1] - pair[0]) * when
