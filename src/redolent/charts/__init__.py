"""Charts: a progress result in, a figure out.

Each figure says its finding in its title and, for those who do not see it, what it shows in
``figure.layout.meta["alt"]``.
"""

from redolent.charts.accumulation import draw_accumulation
from redolent.charts.levels import draw_levels
from redolent.charts.repeats import draw_repeats
from redolent.charts.style import CONFIG
from redolent.charts.triangles import draw_triangles

__all__ = ["CONFIG", "draw_accumulation", "draw_levels", "draw_repeats", "draw_triangles"]
