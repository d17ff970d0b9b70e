"""Incidence: in how many servings of each tasting a place was named."""

from dataclasses import dataclass
from typing import Self

import numpy as np
import pandas as pd

from redolent.lexicon import LEVELS, Level, Lexicon
from redolent.progress.mentions import count_mentions, list_servings

MOST_GROUPS = 50
"""Of more tastings than this, neighbours are left out together: the time no longer grows with their number."""


@dataclass(frozen=True, slots=True, eq=False)
class Incidence:
    """Incidence data of servings in tastings.

    Attributes
    ----------
    nodes : tuple of str
    table : ndarray of int, shape (tastings, nodes)
        Servings of each tasting in which a node was named, tastings in the order of time.
    sizes : ndarray of int, shape (tastings,)
        Servings of each tasting.
    """

    nodes: tuple[str, ...]
    table: np.ndarray
    sizes: np.ndarray

    @property
    def counts(self) -> np.ndarray:
        """Servings in which each node was named, shape (nodes,)."""
        return self.table.sum(axis=0)

    @property
    def units(self) -> int:
        """Number of servings."""
        return int(self.sizes.sum())

    @property
    def observed(self) -> int:
        """Number of nodes named."""
        return int((self.counts > 0).sum())

    def window(self, part: slice) -> Self:
        """Give the incidence of some of the tastings."""
        return type(self)(self.nodes, self.table[part], self.sizes[part])

    def left_out(self) -> tuple[np.ndarray, np.ndarray]:
        """Give counts and servings with each tasting left out once.

        Returns
        -------
        counts : ndarray of int, shape (groups, nodes)
        units : ndarray of int, shape (groups,)
            A group is one tasting, or neighbours where there are more than `MOST_GROUPS`.
        """
        groups = min(len(self.sizes), MOST_GROUPS)
        starts = np.arange(groups) * len(self.sizes) // groups if groups else np.arange(0)
        table = np.add.reduceat(self.table, starts, axis=0) if groups else self.table
        sizes = np.add.reduceat(self.sizes, starts) if groups else self.sizes
        return self.counts - table, self.units - sizes


def tabulate(
    mentions: pd.DataFrame, level: Level = "descriptor", *, strict: bool = True, lexicon: Lexicon | None = None
) -> Incidence:
    """Count incidence at one level of the tree.

    Parameters
    ----------
    mentions : DataFrame
        As `mention_frame` gives them.
    level : {"realm", "family", "group", "descriptor"}
        A mention counts at its place of this level; one that is broader does not count.
    strict : bool
        As for `count_mentions`.
    lexicon : Lexicon, optional

    Raises
    ------
    ValueError
        Where there is no such level.
    """
    servings = list_servings(mentions)
    return count(locate(mentions, servings, level, strict=strict, lexicon=lexicon), servings)


def tabulate_levels(mentions: pd.DataFrame, *, strict: bool, lexicon: Lexicon) -> dict[Level, Incidence]:
    """Count incidence at every level."""
    servings = list_servings(mentions)
    at = _counted(mentions, servings, strict)
    return {level: count(_lift(at, level, lexicon), servings) for level in LEVELS}


def count(at: pd.DataFrame, servings: pd.DataFrame) -> Incidence:
    """Count the incidence of places that `locate` found in these servings."""
    tastings = int(servings["tasting"].max()) + 1 if len(servings) else 0
    codes, nodes = pd.factorize(at["node"], sort=True)
    table = np.zeros((tastings, len(nodes)), dtype=int)
    np.add.at(table, (at["tasting"].to_numpy(dtype=int), codes), 1)
    return Incidence(tuple(nodes), table, np.bincount(servings["tasting"], minlength=tastings))


def locate(
    mentions: pd.DataFrame,
    servings: pd.DataFrame,
    level: Level,
    *,
    strict: bool = True,
    lexicon: Lexicon | None = None,
) -> pd.DataFrame:
    """Give the places of one level that each serving named: ``node``, ``tasting``, ``within`` (0 for the first cup)."""
    if level not in LEVELS:
        raise ValueError(f"There is no level {level!r}; choose one of {', '.join(LEVELS)}.")
    return _lift(_counted(mentions, servings, strict), level, lexicon or Lexicon.load())


def _counted(mentions: pd.DataFrame, servings: pd.DataFrame, strict: bool) -> pd.DataFrame:
    place = servings[["serving_id", "tasting"]].assign(within=servings.groupby("tasting").cumcount())
    return count_mentions(mentions, strict=strict)[["serving_id", "node"]].merge(place, on="serving_id")


def _lift(counted: pd.DataFrame, level: Level, lexicon: Lexicon) -> pd.DataFrame:
    """Put each mention at its place of a level; one that is broader is left out."""
    up = {node: lexicon.up_to(node, level) for node in counted["node"].unique()}
    fits = {node for node in up if lexicon[up[node]].level == level}
    counted = counted[counted["node"].isin(fits)]
    return counted.assign(node=counted["node"].map(up)).drop_duplicates(["serving_id", "node"])
