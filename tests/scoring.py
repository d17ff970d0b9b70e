"""How far readings agree with labelled notes: strict, whole and denied F1.

*Strict*: a labelled mention is hit where the reading has one that overlaps it and stands at the same place
(realm, family and group; a descriptor counts as its group); each is hit at most once. *Whole* asks for
presence, strength and doubt as well. *Denied* looks only at the mentions with ``present=False``.
"""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from redolent.lexicon import Lexicon
from redolent.notes import Mention

NOTES = Path(__file__).parent / "notes"


@dataclass(frozen=True, slots=True)
class Labelled:
    """A note and what a trained person marked in it."""

    id: str
    style: str
    text: str
    mentions: tuple[Mention, ...]


@dataclass(frozen=True, slots=True)
class Scores:
    """F1 of three measures, each from 0 to 1, and the mentions they rest on."""

    strict: float
    whole: float
    denied: float
    predicted: int
    labelled: int

    def __str__(self) -> str:
        return (
            f"strict {self.strict:.3f}  whole {self.whole:.3f}  denied {self.denied:.3f}"
            f"  ({self.predicted} predicted, {self.labelled} labelled)"
        )


def load(name: str) -> list[Labelled]:
    """Load the labelled notes of ``notes/<name>.jsonl``."""
    lines = (NOTES / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()
    return [_labelled(json.loads(line)) for line in lines if line.strip()]


def _labelled(row: dict) -> Labelled:
    mentions = tuple(Mention(**mention) for mention in row["mentions"])
    return Labelled(row["id"], row["style"], row["text"], mentions)


def score(readings: Iterable[Sequence[Mention]], labels: Iterable[Sequence[Mention]], lexicon: Lexicon) -> Scores:
    """Score the mentions read in each note against those labelled in it, over all notes together."""
    hits: list[tuple[Mention, Mention]] = []
    predicted: list[Mention] = []
    labelled: list[Mention] = []
    for found, marked in zip(readings, labels, strict=True):
        hits += pair(found, marked, lexicon)
        predicted += found
        labelled += marked
    return Scores(
        strict=f1(len(hits), len(predicted), len(labelled)),
        whole=f1(sum(_judged(a) == _judged(b) for a, b in hits), len(predicted), len(labelled)),
        denied=f1(sum(not a.present and not b.present for a, b in hits), _denied(predicted), _denied(labelled)),
        predicted=len(predicted),
        labelled=len(labelled),
    )


def pair(found: Sequence[Mention], marked: Sequence[Mention], lexicon: Lexicon) -> list[tuple[Mention, Mention]]:
    """Pair each labelled mention with the free one at its place that overlaps it most."""
    free, pairs = list(found), []
    for mark in marked:
        near = [m for m in free if _overlap(m, mark) > 0 and place(m, lexicon) == place(mark, lexicon)]
        if near:
            best = max(near, key=lambda m: _overlap(m, mark))
            free.remove(best)
            pairs.append((best, mark))
    return pairs


def place(mention: Mention, lexicon: Lexicon) -> str:
    """Give the node where a mention stands, no narrower than a group."""
    return lexicon.up_to(mention.node, "group")


def f1(hits: int, predicted: int, labelled: int) -> float:
    """Give the harmonic mean of precision and recall, 0 where nothing is hit."""
    return 2 * hits / (predicted + labelled) if hits else 0.0


def _overlap(a: Mention, b: Mention) -> int:
    return min(a.end, b.end) - max(a.start, b.start)


def _judged(mention: Mention) -> tuple:
    return mention.present, mention.strength, mention.hedged


def _denied(mentions: Iterable[Mention]) -> int:
    return sum(not mention.present for mention in mentions)
