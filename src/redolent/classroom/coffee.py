"""What a class said of one coffee: its words on their shelves, with how many said them."""

from collections import Counter
from dataclasses import dataclass

import pandas as pd

from redolent.lexicon import Lexicon
from redolent.progress import wilson_interval, wording

MOST_NAMED = 4


@dataclass(frozen=True, slots=True, eq=False)
class CoffeeSaid:
    """A coffee in the words of a class.

    Attributes
    ----------
    coffee : str
    tasters : int
        Who wrote on it.
    words : DataFrame
        A row a place that was said, most said first: ``node``, ``label``, ``family`` (label of its shelf),
        ``said_by`` (tasters), ``share`` with its 95 % interval ``low`` to ``high``, ``only`` (the one who said it, else
        None).
    """

    coffee: str
    tasters: int
    words: pd.DataFrame

    @property
    def alone(self) -> pd.DataFrame:
        """The words that only one used."""
        return self.words[self.words["said_by"] == 1]

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        who = wording.count(self.tasters, "taster")
        common = self.words[self.words["said_by"] > 1].head(MOST_NAMED)
        if not len(common):
            return f"Of {self.coffee}, tasted by {self.tasters}, no two said the same word."
        said = wording.listing([f"{row.label} ({row.said_by})" for row in common.itertuples()])
        alone = wording.count(len(self.alone), "word") if len(self.alone) else "No word"
        return f"{who} met {self.coffee}; most said {said}. {alone} came from one person only."

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if not len(self.words):
            return ""
        top = self.words.iloc[0]
        return (
            f"{top['label']}: {top['said_by']} of {self.tasters} (95 % interval "
            f"{wording.between((top['low'], top['high']))}, Wilson). A word that few said may be right, and one that "
            "many said may be wrong."
        )

    def to_frame(self) -> pd.DataFrame:
        """Give a row a place."""
        return self.words.copy()

    def shelves(self, *, names: bool = False) -> pd.DataFrame:
        """Give a row a shelf, fullest first: ``shelf``, and its ``words`` with how many said each.

        With `names` whoever was alone with a word stands beside it.
        """
        shelves: dict[str, list[str]] = {}
        said: Counter[str] = Counter()
        for row in self.words.itertuples():
            alone = f" ({row.only})" if names and row.only is not None else ""
            shelves.setdefault(row.family, []).append(f"{row.label} {row.said_by}{alone}")
            said[row.family] += row.said_by
        rows = [(shelf, ", ".join(shelves[shelf])) for shelf, _ in said.most_common()]
        return pd.DataFrame(rows, columns=["shelf", "words"])


def hear_coffee(
    said: pd.DataFrame, meetings: pd.DataFrame, coffee: str, *, lexicon: Lexicon | None = None
) -> CoffeeSaid:
    """Say what a class said of a coffee; each taster counts once a word, however often it was met.

    Parameters
    ----------
    said, meetings : DataFrame
        As `list_said` and `list_meetings` give them.
    coffee : str
        Its name; capitals do not matter.

    Raises
    ------
    ValueError
        Where no two met it.
    """
    lexicon = lexicon or Lexicon.load()
    met = meetings[_same(meetings, coffee)]
    if not len(met):
        known = ", ".join(sorted(set(meetings["coffee"]) - {""})[:8]) or "none yet"
        raise ValueError(f"No two tasters met a coffee called {coffee!r}; the class shares {known}.")
    tasters = int(met["taster"].nunique())
    own = said[_same(said, coffee)].drop_duplicates(["taster", "node"])
    by = own.groupby("node", sort=True)["taster"].agg(["size", "first"])
    number = by["size"].to_numpy(dtype=int)
    bounds = [wilson_interval(many, tasters) for many in number.tolist()]
    words = pd.DataFrame(
        {
            "node": by.index,
            "label": [lexicon[node].label for node in by.index],
            "family": [_shelf(node, lexicon) for node in by.index],
            "said_by": number,
            "share": number / tasters,
            "low": [low for low, _ in bounds],
            "high": [high for _, high in bounds],
            "only": pd.Series(
                [who if many == 1 else None for many, who in zip(number, by["first"], strict=True)], dtype=object
            ),
        }
    )
    words = words.sort_values(["said_by", "label"], ascending=[False, True], kind="stable").reset_index(drop=True)
    return CoffeeSaid(met["coffee"].iloc[0], tasters, words)


def shared_coffees(meetings: pd.DataFrame) -> list[str]:
    """Name the coffees that two or more met, the one that most met first."""
    named = meetings[meetings["coffee"] != ""]
    key = named["coffee"].str.strip().str.casefold()
    by = named.groupby(key).agg(tasters=("taster", "nunique"), name=("coffee", "first"))
    return by.sort_values("tasters", ascending=False, kind="stable")["name"].tolist()


def _same(frame: pd.DataFrame, coffee: str) -> pd.Series:
    return frame["coffee"].astype(str).str.strip().str.casefold() == coffee.strip().casefold()


def _shelf(node: str, lexicon: Lexicon) -> str:
    """Name the family of a node, or whatever stands in its place for a word above."""
    line = [*lexicon.ancestors(node), lexicon[node]]
    return next((one.label for one in line if one.level == "family"), lexicon[node].label)
