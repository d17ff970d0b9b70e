"""Triangle tests: three cups, two of them alike, which one is odd? After ISO 4120; and the siblings of the test."""

from redolent.triangle.anytime import ConfidenceSequence, anytime_interval, evidence, follow
from redolent.triangle.binomial import GUESSING, maximum_correct, minimum_correct, p_value, proportion_interval
from redolent.triangle.design import RunDesign, design_run, run_key
from redolent.triangle.orders import ORDERS, draw_orders, odd_position
from redolent.triangle.plan import Plan, PlanningTable, find_power, plan, planning_table
from redolent.triangle.psychometric import DUO_TRIO, METHODS, TETRAD, THREE_AFC, TRIANGLE, TWO_AFC, Method
from redolent.triangle.sequential import SequentialPlan, SequentialRun, plan_sequential
from redolent.triangle.sheet import CAUTIONS, pourer_sheet, solo_instructions, table_sheet
from redolent.triangle.sittings import Sittings, split_sittings
from redolent.triangle.verdict import Verdict, judge

__all__ = [
    "CAUTIONS",
    "DUO_TRIO",
    "GUESSING",
    "METHODS",
    "ORDERS",
    "TETRAD",
    "THREE_AFC",
    "TRIANGLE",
    "TWO_AFC",
    "ConfidenceSequence",
    "Method",
    "Plan",
    "PlanningTable",
    "RunDesign",
    "SequentialPlan",
    "SequentialRun",
    "Sittings",
    "Verdict",
    "anytime_interval",
    "design_run",
    "draw_orders",
    "evidence",
    "find_power",
    "follow",
    "judge",
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
    "table_sheet",
]
