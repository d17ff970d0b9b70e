"""How alike two places and two readings are, on the tree.

Two places are as alike as what they share of the way down the tree (Wu & Palmer 1994); two readings are as
alike as each of their places finds its best match on the other side, averaged over both sides.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum
from typing import Self

from redolent.lexicon import Lexicon
from redolent.notes.reading import Reading

Path = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Profile:
    """What a reading, or a whole serving, asserts and denies.

    Attributes
    ----------
    present, denied : frozenset of str
        Node ids. A place that is asserted somewhere is not denied: what was there and is gone later was
        there.
    """

    present: frozenset[str] = frozenset()
    denied: frozenset[str] = frozenset()

    @classmethod
    def of(cls, present: Iterable[str], denied: Iterable[str] = ()) -> Self:
        """Make a profile of any two collections of node ids."""
        asserted = frozenset(present)
        return cls(asserted, frozenset(denied) - asserted)

    @classmethod
    def of_reading(cls, reading: Reading) -> Self:
        """Make a profile of a reading, without what is hedged or inferred: it says too little either way."""
        sure = [mention for mention in reading.mentions if not mention.hedged and mention.how != "inferred"]
        return cls.of((m.node for m in sure if m.present), (m.node for m in sure if not m.present))


def node_similarity(a: str, b: str, lexicon: Lexicon) -> float:
    """Give the Wu–Palmer similarity of two nodes.

    Twice the depth of what the two share over the sum of their depths. The root above the realms has depth
    0, so a realm has 1 and a descriptor 4. With 0 two places of different realms share nothing and score 0;
    with 1, as some write it, lemon and leather would score 0.2 for being words at all.

    Returns
    -------
    float
        0 to 1; 1 for the same node only. Two descriptors have 0.75 in one group, 0.5 in one family, 0.25 in
        one realm.

    Raises
    ------
    KeyError
        Where the lexicon does not hold a node.

    References
    ----------
    Wu & Palmer (1994), Verb semantics and lexical selection, Proceedings of the 32nd ACL: 133–138.
    """
    (similarity,) = _best_matches([_path(a, lexicon)], [_path(b, lexicon)])
    return similarity


def reading_similarity(a: Reading | Profile, b: Reading | Profile, lexicon: Lexicon) -> float | None:
    """Give the best-match average of two readings.

    Each place that one side asserts looks for the most similar place that the other asserts; the
    similarities found from both sides are averaged. A place that the other side denies, itself or by denying
    a broader place above it ("no fruit", unless it was "no fruit but quince"), finds nothing and is found by
    nothing: it counts 0.

    Returns
    -------
    float or None
        0 to 1, the same for (a, b) and (b, a); None where neither side asserts anything.
    """
    a, b = _profile(a), _profile(b)
    places = len(a.present) + len(b.present)
    if not places:
        return None
    one, other = _undenied(a, b, lexicon), _undenied(b, a, lexicon)
    return fsum(_best_matches(one, other) + _best_matches(other, one)) / places


def _profile(reading: Reading | Profile) -> Profile:
    return reading if isinstance(reading, Profile) else Profile.of_reading(reading)


def _path(node: str, lexicon: Lexicon) -> Path:
    return (*(above.id for above in lexicon.ancestors(node)), node)


def _undenied(profile: Profile, other: Profile, lexicon: Lexicon) -> list[Path]:
    """Give the ways down to what `profile` asserts, without those that lead through what `other` denies."""
    paths = (_path(node, lexicon) for node in profile.present)
    return [path for path in paths if path[-1] in other.present or other.denied.isdisjoint(path)]


def _best_matches(paths: list[Path], others: list[Path]) -> list[float]:
    """Give the similarity of each path to the most similar one of `others`.

    For each place on its way down, the most similar path that leads through there is the shortest one.
    """
    shortest: dict[str, int] = {}
    for path in others:
        for node in path:
            shortest[node] = min(len(path), shortest.get(node, len(path)))
    best = []
    for path in paths:
        down = ((depth, node) for depth, node in enumerate(path, 1) if node in shortest)
        best.append(max((2 * depth / (len(path) + shortest[node]) for depth, node in down), default=0.0))
    return best
