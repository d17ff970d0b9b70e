"""Tell apart: pairs that this taster takes for one another, what to prepare, and what to attend to."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from redolent.lexicon import Lexicon
from redolent.notes.similarity import node_similarity
from redolent.practice.household import Household

if TYPE_CHECKING:
    import pandas as pd

LEAST_ALIKE = 0.5
"""On repeats, words of one family or nearer pass for one another; farther ones are two impressions."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two descriptors that were taken for one another.

    Attributes
    ----------
    nodes : tuple of two str
    times : int
        How often.
    source : {"jars", "repeats"}
        Where it showed most.
    """

    nodes: tuple[str, str]
    times: int
    source: str

    def attend(self, lexicon: Lexicon) -> tuple[str, str]:
        """Give what to attend to, in the definition of each."""
        one, other = (lexicon[node] for node in self.nodes)
        return f"{one.label}: {one.definition}", f"{other.label}: {other.definition}"

    def prepare(self, lexicon: Lexicon, household: Household) -> tuple[str, ...] | None:
        """Give the two references to prepare; None where this household should not prepare one of them."""
        nodes = [lexicon[node] for node in self.nodes]
        if any(household.refuses(node) for node in nodes):
            return None
        return tuple(
            f"{node.label}. {node.reference}"
            + (f" Allergens: {', '.join(node.allergens)}." if node.allergens else " Read the label for allergens.")
            for node in nodes
        )


def find_pairs(
    drills: "pd.DataFrame", mentions: "pd.DataFrame", lexicon: Lexicon, *, personal: Mapping[str, str] | None = None
) -> tuple[Pair, ...]:
    """Find the pairs of descriptors that a taster takes for one another, most often first.

    Parameters
    ----------
    drills : DataFrame
        As ``Journal.drills_frame`` gives them: of jars and of pairs, what was in them and what was answered.
    mentions : DataFrame
        As `mention_frame` gives them, of one taster: of two cups of one coffee in one tasting, near words of
        which each stands in one cup only.
    lexicon : Lexicon
    personal : mapping of str to str, optional
    """
    counts: dict[str, Counter[tuple[str, str]]] = {
        "jars": _from_jars(drills, lexicon, personal),
        "repeats": _from_repeats(mentions, lexicon),
    }
    pairs = []
    for nodes in {nodes for counter in counts.values() for nodes in counter}:
        source = max(counts, key=lambda name: counts[name][nodes])
        pairs.append(Pair(nodes, sum(counter[nodes] for counter in counts.values()), source))
    # A jar that is named wrong is surer than two words on two cups, which may both be there.
    return tuple(sorted(pairs, key=lambda pair: (pair.source != "jars", -pair.times, pair.nodes)))


def _from_jars(
    drills: "pd.DataFrame", lexicon: Lexicon, personal: Mapping[str, str] | None
) -> Counter[tuple[str, str]]:
    from redolent.practice.smelled import read_answer

    counts: Counter[tuple[str, str]] = Counter()
    if not len(drills):
        return counts
    asked = drills[drills["drill"].isin(("jars", "apart"))]
    for node, answered in zip(asked["node"].tolist(), asked["answered"].tolist(), strict=True):
        other = read_answer(answered, lexicon, personal=personal) or ""
        if node in lexicon and other in lexicon and other != node and lexicon[other].level == "descriptor":
            counts[_ordered(node, other)] += 1
    return counts


def _from_repeats(mentions: "pd.DataFrame", lexicon: Lexicon) -> Counter[tuple[str, str]]:
    from redolent.progress.mentions import count_mentions, list_servings

    counts: Counter[tuple[str, str]] = Counter()
    if not len(mentions):
        return counts
    counted = count_mentions(mentions)
    counted = counted[counted["level"] == "descriptor"].groupby("serving_id")["node"].agg(set)
    known = list_servings(mentions).dropna(subset=["lot"])
    for _, cups in known.groupby(["tasting", "lot"])["serving_id"]:
        said = [counted[cup] for cup in cups if cup in counted.index]
        for number, one in enumerate(said):
            for other in said[number + 1 :]:
                for a in one - other:
                    for b in other - one:
                        if node_similarity(a, b, lexicon) >= LEAST_ALIKE:
                            counts[_ordered(a, b)] += 1
    return counts


def _ordered(one: str, other: str) -> tuple[str, str]:
    return (one, other) if one < other else (other, one)
