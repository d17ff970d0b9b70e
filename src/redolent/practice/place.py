"""Find the place: from a word, a definition or a reference down the tree. It teaches our filing, not the palate."""

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from redolent.lexicon import Lexicon

Shown = Literal["word", "definition", "reference"]
STEPS = ("realm", "family", "group")


@dataclass(frozen=True, slots=True)
class PlaceQuestion:
    """What is shown, and where it stands.

    Attributes
    ----------
    node : str
        Id of the descriptor.
    shown : {"word", "definition", "reference"}
    text : str
        What is shown.
    paths : tuple of tuple of str
        Every right way down, as ids of realm, family and group: first the place itself, then those of its
        cross-references.
    """

    node: str
    shown: Shown
    text: str
    paths: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class PlaceAnswer:
    """How far a walk went right.

    Attributes
    ----------
    path : tuple of str
        As it was walked.
    right : int
        Steps from the realm down that lie on a right way.
    credit : float
        0 to 1: `right` of the three steps.
    best : tuple of str
        The right way that shares most with the walk.
    """

    path: tuple[str, ...]
    right: int
    credit: float
    best: tuple[str, ...]

    @property
    def correct(self) -> bool:
        """Whether the walk ended in a right group."""
        return self.right == len(STEPS)


def ask_place(node: str, lexicon: Lexicon, rng: np.random.Generator | int | None = None) -> PlaceQuestion:
    """Show a descriptor by its word, its definition or, where it has one, its reference, drawn at random.

    Raises
    ------
    ValueError
        Where `node` is no descriptor of the lexicon.
    """
    if node not in lexicon or lexicon[node].level != "descriptor":
        raise ValueError(f"{node!r} is no descriptor of the lexicon; ask for one that is.")
    known = lexicon[node]
    texts = {"word": known.label, "definition": known.definition, "reference": str(known.reference or "")}
    kinds: list[Shown] = [kind for kind in get_args(Shown) if texts[kind]]
    shown = kinds[np.random.default_rng(rng).integers(len(kinds))]
    descriptors = (node, *(other for other in known.related if other in lexicon))
    ways = (tuple(above.id for above in lexicon.ancestors(one))[: len(STEPS)] for one in descriptors)
    paths = tuple(dict.fromkeys(way for way in ways if len(way) == len(STEPS)))
    return PlaceQuestion(node, shown, texts[shown], paths)


def judge_place(question: PlaceQuestion, path: tuple[str, ...]) -> PlaceAnswer:
    """Say how far a walk, realm first, went right on the right way that it follows longest.

    Raises
    ------
    ValueError
        Where the walk has no step, or more than three.
    """
    if not 1 <= len(path) <= len(STEPS):
        raise ValueError(f"A walk has 1 to {len(STEPS)} steps ({', '.join(STEPS)}), not {len(path)}.")
    best = max(question.paths, key=lambda way: _shared(way, path))
    right = _shared(best, path)
    return PlaceAnswer(tuple(path), right, right / len(STEPS), best)


def _shared(way: tuple[str, ...], path: tuple[str, ...]) -> int:
    steps = [one == other for one, other in zip(way, path, strict=False)]
    return steps.index(False) if False in steps else len(steps)
