"""Charts: a progress result in, a figure out.

Each figure says its finding in its title and, for those who do not see it, what it shows in
``figure.layout.meta["alt"]``.
"""

from redolent.charts.accumulation import draw_accumulation
from redolent.charts.chance import draw_chance
from redolent.charts.levels import draw_levels
from redolent.charts.months import draw_months
from redolent.charts.power import draw_power
from redolent.charts.repeats import draw_repeats
from redolent.charts.sequential import draw_sequential
from redolent.charts.style import CONFIG
from redolent.charts.triangles import draw_triangles

__all__ = [
    "CONFIG",
    "draw_accumulation",
    "draw_chance",
    "draw_levels",
    "draw_months",
    "draw_power",
    "draw_repeats",
    "draw_sequential",
    "draw_triangles",
]
