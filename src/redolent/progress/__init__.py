"""Progress: vocabulary, precision, consistency and discrimination, each with its uncertainty and its n.

Frames in, small results out: ``to_frame()`` gives the numbers, ``.finding`` one computed statement,
``.headline`` the same in a few words.
"""

from redolent.progress.consistency import Repeats, compare_repeats
from redolent.progress.discrimination import TriangleHistory, triangle_history
from redolent.progress.mentions import count_mentions, list_servings, mention_frame
from redolent.progress.precision import LevelShares, level_shares, wilson_interval
from redolent.progress.vocabulary import Accumulation, accumulate

__all__ = [
    "Accumulation",
    "LevelShares",
    "Repeats",
    "TriangleHistory",
    "accumulate",
    "compare_repeats",
    "count_mentions",
    "level_shares",
    "list_servings",
    "mention_frame",
    "triangle_history",
    "wilson_interval",
]
