"""Triangle tests: three cups, two of them alike, which one is odd? After ISO 4120; and the siblings of the test."""

from redolent.triangle.a_not_a import ANotA, judge_a_not_a
from redolent.triangle.anytime import ConfidenceSequence, anytime_interval, evidence, follow
from redolent.triangle.binomial import GUESSING, maximum_correct, minimum_correct, p_value, proportion_interval
from redolent.triangle.design import RunDesign, design_run, run_key
from redolent.triangle.orders import ORDERS, draw_orders, draw_panel_orders, odd_position
from redolent.triangle.pairs import REFERENCE_PAIRS, ReferencePair, dilution_pair, sugar_pair
from redolent.triangle.plan import Plan, PlanningTable, find_power, plan, planning_table
from redolent.triangle.preparation import Preparation
from redolent.triangle.psychometric import DUO_TRIO, METHODS, TETRAD, THREE_AFC, TRIANGLE, TWO_AFC, Method
from redolent.triangle.sequential import SequentialPlan, SequentialRun, plan_sequential
from redolent.triangle.several import Tasters, judge_tasters
from redolent.triangle.sheet import CAUTIONS, pourer_sheet, solo_instructions, table_sheet
from redolent.triangle.sittings import Sittings, split_sittings
from redolent.triangle.threshold import (
    TASTES,
    Series,
    Threshold,
    dilution_series,
    estimate_threshold,
    group_threshold,
)
from redolent.triangle.trend import Trend, fit_trend
from redolent.triangle.verdict import Verdict, judge

__all__ = [
    "CAUTIONS",
    "DUO_TRIO",
    "GUESSING",
    "METHODS",
    "ORDERS",
    "REFERENCE_PAIRS",
    "TASTES",
    "TETRAD",
    "THREE_AFC",
    "TRIANGLE",
    "TWO_AFC",
    "ANotA",
    "ConfidenceSequence",
    "Method",
    "Plan",
    "PlanningTable",
    "Preparation",
    "ReferencePair",
    "RunDesign",
    "SequentialPlan",
    "SequentialRun",
    "Series",
    "Sittings",
    "Tasters",
    "Threshold",
    "Trend",
    "Verdict",
    "anytime_interval",
    "design_run",
    "dilution_pair",
    "dilution_series",
    "draw_orders",
    "draw_panel_orders",
    "estimate_threshold",
    "evidence",
    "find_power",
    "fit_trend",
    "follow",
    "group_threshold",
    "judge",
    "judge_a_not_a",
    "judge_tasters",
    "maximum_correct",
    "minimum_correct",
    "odd_position",
    "p_value",
    "plan",
    "plan_sequential",
    "planning_table",
    "pourer_sheet",
    "proportion_interval",
    "run_key",
    "solo_instructions",
    "split_sittings",
    "sugar_pair",
    "table_sheet",
]
