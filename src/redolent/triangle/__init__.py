"""Triangle tests: three cups, two of them alike, which one is odd? After ISO 4120."""

from redolent.triangle.binomial import GUESSING, minimum_correct, p_value, proportion_interval
from redolent.triangle.design import RunDesign, design_run, run_key
from redolent.triangle.orders import ORDERS, draw_orders, odd_position
from redolent.triangle.sheet import CAUTIONS, pourer_sheet, solo_instructions, table_sheet
from redolent.triangle.verdict import Verdict, judge

__all__ = [
    "CAUTIONS",
    "GUESSING",
    "ORDERS",
    "RunDesign",
    "Verdict",
    "design_run",
    "draw_orders",
    "judge",
    "minimum_correct",
    "odd_position",
    "p_value",
    "pourer_sheet",
    "proportion_interval",
    "run_key",
    "solo_instructions",
    "table_sheet",
]
