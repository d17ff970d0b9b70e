"""A simulated taster: servings in tastings, tastings in seasons; who learns, and who does not.

Words are drawn, not written: what is simulated is the mention frame, so that thousands of histories take minutes.
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from redolent.lexicon import Lexicon
from redolent.progress.mentions import COLUMNS

DESCRIPTORS = np.array([node.id for node in Lexicon.load().at("descriptor")])
START = pd.Timestamp("2021-01-02T10:00Z")
WORDS, CUPS = 120, 4
SEASON, TASTING, COFFEE = 0.8, 0.6, 0.8
"""Standard deviations of the log odds of a word by quarter of the year, by tasting, and by cup."""


@dataclass(frozen=True)
class Life:
    """A history: in which servings which words were named, and with which probability in any serving at all."""

    named: np.ndarray  # servings by words
    tasting: np.ndarray  # of each serving
    days: np.ndarray  # of each tasting

    def frame(self, taster="Ada"):
        """Give the history as `mention_frame` would."""
        serving, word = np.nonzero(self.named)
        silent = np.flatnonzero(~self.named.any(axis=1))
        rows = np.concatenate([serving, silent])
        nodes = np.concatenate([DESCRIPTORS[word], np.full(len(silent), None)])
        said = np.arange(len(rows)) < len(serving)
        tasting = self.tasting[rows]
        ids = [f"s{row:05d}" for row in rows]
        at = START + pd.to_timedelta(self.days[tasting], unit="D") + pd.to_timedelta(rows % 997, unit="min")
        return pd.DataFrame(
            {
                "note_id": ids,
                "taster": taster,
                "tasting_id": [f"t{number:04d}" for number in tasting],
                "serving_id": ids,
                "coffee": "K",
                "coffee_id": "K",
                "stage": "warm",
                "written_at": at,
                "node": nodes,
                "level": np.where(said, "descriptor", None),
                "present": said,
                "strength": None,
                "hedged": False,
                "how": np.where(said, "exact", None),
                "coached": False,
                "own": None,
            }
        )[COLUMNS]


def live(rng, tastings=12, *, days_between=14.0, learns=0.0, words=WORDS, swaps=False):
    """Draw a history.

    Parameters
    ----------
    rng : numpy.random.Generator
    tastings : int
        Of `CUPS` cups.
    days_between : float
        Between two tastings; a quarter of the year is a season.
    learns : float
        Share of the words that is learned between the first tasting and the last; 0 for who does not learn.
    swaps : bool
        Whether an old word is dropped for every new one.
    """
    days = np.floor(np.arange(tastings) * days_between + rng.uniform(0, days_between / 2, tastings))
    quarter = pd.factorize((START + pd.to_timedelta(days, unit="D")).tz_localize(None).to_period("Q"))[0]
    tasting = np.repeat(np.arange(tastings), CUPS)
    odds = np.log(0.25) - 0.9 * np.log(np.arange(1, words + 1))[rng.permutation(words)]
    odds = odds + rng.normal(0, SEASON, (quarter.max() + 1, words))[quarter[tasting]]
    odds = odds + rng.normal(0, TASTING, (tastings, words))[tasting] + rng.normal(0, TASTING, (tastings, 1))[tasting]
    odds = odds + rng.normal(0, COFFEE, (len(tasting), words))
    when = tasting / max(tastings - 1, 1)
    rank = rng.permutation(words) / words
    knows = rank < (1 - learns) + learns * when[:, np.newaxis]
    if swaps:
        knows &= rank >= learns * when[:, np.newaxis]
    named = (rng.random(odds.shape) < 1 / (1 + np.exp(-odds))) & knows
    return Life(named, tasting, days)
