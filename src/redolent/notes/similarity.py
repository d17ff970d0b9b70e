"""How alike two places and two readings are, on the tree.

Two places are as alike as what they share of the way down the tree (Wu & Palmer 1994); two readings are as alike as
each of their places finds its best match on the other side, averaged over both sides.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import takewhile
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
        Node ids. A place that is asserted somewhere is not denied: what was there and is gone later was there.
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
        """Make a profile of a reading; what is hedged or inferred says too little to be held against anyone."""
        sure = [mention for mention in reading.mentions if not mention.hedged and mention.how != "inferred"]
        return cls.of((m.node for m in sure if m.present), (m.node for m in sure if not m.present))


def node_similarity(a: str, b: str, lexicon: Lexicon) -> float:
    """Give the Wu–Palmer similarity of two nodes: twice the depth of what they share over the sum of their depths.

    The root above the realms has depth 0, so a realm has 1 and a descriptor 4. With 0 two places of different realms
    share nothing and score 0; with 1, as some write it, lemon and leather would score 0.2 for being words at all.

    Returns
    -------
    float
        0 to 1; 1 for the same node only. Two descriptors: 0.75 in one group, 0.5 in one family, 0.25 in one realm.

    Raises
    ------
    KeyError
        Where the lexicon does not hold a node.

    References
    ----------
    Wu & Palmer (1994), Verb semantics and lexical selection, Proceedings of the 32nd ACL: 133–138.
    """
    return _similarity(_path(a, lexicon), _path(b, lexicon))


def reading_similarity(a: Reading | Profile, b: Reading | Profile, lexicon: Lexicon) -> float | None:
    """Give the best-match average of two readings.

    Each place that one side asserts looks for the most similar place that the other asserts; the similarities found
    from both sides are averaged. A place that the other side denies, itself or by denying a broader place above it,
    finds nothing and is found by nothing: it counts 0.

    Returns
    -------
    float or None
        0 to 1, the same for (a, b) and (b, a); None where neither side asserts anything.
    """
    one, other = _profile(a), _profile(b)
    paths = [_paths(one.present, other.denied, lexicon), _paths(other.present, one.denied, lexicon)]
    places = len(one.present) + len(other.present)
    if not places:
        return None
    best = (max((_similarity(p, q) for q in paths[1 - side]), default=0.0) for side in (0, 1) for p in paths[side])
    return fsum(best) / places


def _profile(reading: Reading | Profile) -> Profile:
    return reading if isinstance(reading, Profile) else Profile.of_reading(reading)


def _path(node: str, lexicon: Lexicon) -> Path:
    return (*(above.id for above in lexicon.ancestors(node)), node)


def _paths(nodes: frozenset[str], denied: frozenset[str], lexicon: Lexicon) -> list[Path]:
    """Give the ways down to `nodes`, without those that lead through a denied place."""
    paths = (_path(node, lexicon) for node in nodes)
    return [path for path in paths if denied.isdisjoint(path)]


@lru_cache(maxsize=1 << 18)
def _similarity(a: Path, b: Path) -> float:
    shared = sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(a, b, strict=False)))
    return 2 * shared / (len(a) + len(b))
