"""Places: which parts of the lexicon a taster visits, how lately, and where others found what this one did not."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from redolent.lexicon import Lexicon
from redolent.progress import wording
from redolent.progress.mentions import count_mentions, list_servings, only_taster


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """The lexicon as one taster has walked it.

    Attributes
    ----------
    taster : str
    places : DataFrame
        A row a place, in the order of the lexicon: ``node``, ``parent``, ``level``, ``label``, ``times`` (servings
        that named it or something below it), ``last_used`` (a date, None where never), ``others`` (of the
        coffees of the taster's own tastings, names of those in which other tasters named it) and
        ``found_by_others`` (servings of those).
    servings : int
    """

    taster: str
    places: pd.DataFrame
    servings: int

    @property
    def families(self) -> pd.DataFrame:
        """The rows of the families."""
        return self.places[self.places["level"] == "family"]

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        visited = int((self.families["times"] > 0).sum())
        return f"{visited} of {len(self.families)} families visited"

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if not self.servings:
            return "No place of the lexicon was visited yet; the first note will be somewhere."
        never = self.families[self.families["times"] == 0]
        if not len(never):
            return f"Every one of the {len(self.families)} families was visited at least once."
        said = f"{len(never)} of {len(self.families)} families were never visited"
        found = never[never["found_by_others"] > 0].sort_values("found_by_others", ascending=False, kind="stable")
        if not len(found):
            return f"{said}, {wording.listing(never['label'].tolist()[:4])}{' among them' if len(never) > 4 else ''}."
        top = found.iloc[0]
        return (
            f"{said}; at the same tables others found something of {top['label']} in {top['others'][0]}, which "
            "does not say that it was there."
        )

    @property
    def numbers(self) -> str:
        """The counts behind the finding."""
        levels = self.places.groupby("level", sort=False)["times"].agg(["size", lambda times: int((times > 0).sum())])
        told = [
            f"{row.iloc[1]} of {row.iloc[0]:,} {'families' if level == 'family' else level + 's'}"
            for level, row in levels.iterrows()
        ]
        return f"Visited in {wording.count(self.servings, 'serving')}: {', '.join(told)}."

    def to_frame(self) -> pd.DataFrame:
        """Give a row a place."""
        return self.places.copy()


def map_places(mentions: pd.DataFrame, others: pd.DataFrame | None = None, *, lexicon: Lexicon | None = None) -> Places:
    """Say of every place of the lexicon how often and when it was used, and in which coffees others found it.

    Parameters
    ----------
    mentions : DataFrame
        As `mention_frame` gives them, of one taster. What counts is picked here, by `count_mentions`.
    others : DataFrame, optional
        The same of other tasters; only tastings of this taster are looked at. That others found something does
        not say that it was there.
    lexicon : Lexicon, optional
    """
    taster, lexicon = only_taster(mentions), lexicon or Lexicon.load()
    chains = {node: (*(above.id for above in lexicon.ancestors(node)), node) for node in lexicon}
    servings = list_servings(mentions)
    counted = count_mentions(mentions)[["serving_id", "node"]].merge(servings[["serving_id", "day"]], on="serving_id")
    walked = _walk(counted, chains)
    times = walked.groupby("node")["serving_id"].nunique()
    last = walked.groupby("node")["day"].max()
    found = _found_by_others(others, taster, servings, chains)
    coffees = found.groupby("node")["coffee"].agg(lambda names: tuple(names.value_counts(sort=True).index))
    rows = [
        (
            node.id,
            node.parent or "",
            node.level,
            node.label,
            int(times.get(node.id, 0)),
            last.get(node.id),
            coffees.get(node.id, ()),
        )
        for node in lexicon.values()
    ]
    columns = ["node", "parent", "level", "label", "times", "last_used", "others"]
    places = pd.DataFrame(rows, columns=columns)
    by_others = found.groupby("node")["serving_id"].nunique()
    places = places.assign(
        last_used=np.array(places["last_used"], dtype=object),
        found_by_others=[int(by_others.get(node, 0)) for node in places["node"]],
    )
    return Places(taster, places, len(servings))


def _walk(counted: pd.DataFrame, chains: dict[str, tuple[str, ...]]) -> pd.DataFrame:
    """Give a row for each place on the way down to each place that was named."""
    return counted.assign(node=counted["node"].map(chains)).explode("node").drop_duplicates(["serving_id", "node"])


def _found_by_others(
    others: pd.DataFrame | None, taster: str, servings: pd.DataFrame, chains: dict[str, tuple[str, ...]]
) -> pd.DataFrame:
    columns = ["serving_id", "node", "coffee"]
    if others is None or not len(others):
        return pd.DataFrame(columns=columns)
    own = servings.dropna(subset=["lot"]).drop_duplicates("serving_id")
    same = others[(others["taster"] != taster) & others["tasting_id"].isin(own["tasting_id"])]
    counted = count_mentions(same)
    return _walk(counted[counted["coffee"].fillna("") != ""][columns], chains)
