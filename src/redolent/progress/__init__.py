"""Progress: vocabulary, precision, consistency and discrimination, each with its uncertainty and its n.

Frames in, small results out: ``to_frame()`` gives a table, ``.finding`` one computed statement for whoever
tastes, ``.numbers`` the statistics behind it, ``.headline`` the finding in a few words.
"""

from redolent.progress.accumulation import Accumulation, accumulate
from redolent.progress.advice import Advice, Evidence, Suggestion, rules_table, suggest
from redolent.progress.agreement import krippendorff_alpha, scott_interval, scott_pi
from redolent.progress.comparison import Comparison, compare_vocabularies, first_and_last
from redolent.progress.consistency import Repeats, compare_repeats
from redolent.progress.coverage import coverage_at, sample_coverage, size_at
from redolent.progress.discrimination import TriangleHistory, triangle_history
from redolent.progress.icc import Icc, icc, icc_frame
from redolent.progress.incidence import Incidence, tabulate
from redolent.progress.marks import ATTRIBUTES, LineMarks, Repeatability, analyse_marks, repeatability
from redolent.progress.mentions import count_mentions, list_servings, mention_frame
from redolent.progress.places import Places, map_places
from redolent.progress.precision import LevelShares, level_shares, wilson_interval
from redolent.progress.rarefaction import rarefy
from redolent.progress.recognition import Recognition, coffee_pipeline, recognise
from redolent.progress.returning import ReturningWords, returning_words
from redolent.progress.review import Result, Review, review, review_journal
from redolent.progress.richness import chao2, chao2_variance, log_interval
from redolent.progress.trend import Trend, ordinal_trend
from redolent.progress.vague import VagueWords, vague_words
from redolent.progress.vocabulary import Vocabulary, estimate_vocabulary

__all__ = [
    "ATTRIBUTES",
    "Accumulation",
    "Advice",
    "Comparison",
    "Evidence",
    "Icc",
    "Incidence",
    "LevelShares",
    "LineMarks",
    "Places",
    "Recognition",
    "Repeatability",
    "Repeats",
    "Result",
    "ReturningWords",
    "Review",
    "Suggestion",
    "Trend",
    "TriangleHistory",
    "VagueWords",
    "Vocabulary",
    "accumulate",
    "analyse_marks",
    "chao2",
    "chao2_variance",
    "coffee_pipeline",
    "compare_repeats",
    "compare_vocabularies",
    "count_mentions",
    "coverage_at",
    "estimate_vocabulary",
    "first_and_last",
    "icc",
    "icc_frame",
    "krippendorff_alpha",
    "level_shares",
    "list_servings",
    "log_interval",
    "map_places",
    "mention_frame",
    "ordinal_trend",
    "rarefy",
    "recognise",
    "repeatability",
    "returning_words",
    "review",
    "review_journal",
    "rules_table",
    "sample_coverage",
    "scott_interval",
    "scott_pi",
    "size_at",
    "suggest",
    "tabulate",
    "triangle_history",
    "vague_words",
    "wilson_interval",
]
