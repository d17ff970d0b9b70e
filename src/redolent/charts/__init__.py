"""Charts: a progress result in, a figure out.

Each figure says its finding in its title and, for those who do not see it, what it shows in
``figure.layout.meta["alt"]``.
"""

from redolent.charts.accumulation import draw_accumulation
from redolent.charts.chance import draw_chance
from redolent.charts.classroom import lay_out_class, lay_out_student
from redolent.charts.completeness import draw_completeness
from redolent.charts.levels import draw_credits, draw_levels
from redolent.charts.marks import draw_marks
from redolent.charts.months import draw_months
from redolent.charts.page import Exhibit, Step, lay_out
from redolent.charts.power import draw_power
from redolent.charts.recognition import draw_recognition
from redolent.charts.repeats import draw_repeats
from redolent.charts.returning import draw_returning
from redolent.charts.sequential import draw_sequential
from redolent.charts.shelves import draw_shelves
from redolent.charts.style import CONFIG
from redolent.charts.triangles import draw_triangles

__all__ = [
    "CONFIG",
    "Exhibit",
    "Step",
    "draw_accumulation",
    "draw_chance",
    "draw_completeness",
    "draw_credits",
    "draw_levels",
    "draw_marks",
    "draw_months",
    "draw_power",
    "draw_recognition",
    "draw_repeats",
    "draw_returning",
    "draw_sequential",
    "draw_shelves",
    "draw_triangles",
    "lay_out",
    "lay_out_class",
    "lay_out_student",
]
