"""A tasting, stage by stage, and the cups on its table."""

from redolent.tasting.sitting import day_name, find_coffee, find_cup, find_tasting, name_cup, tidy_cup
from redolent.tasting.stages import GUIDE, STAGES, Stage

__all__ = ["GUIDE", "STAGES", "Stage", "day_name", "find_coffee", "find_cup", "find_tasting", "name_cup", "tidy_cup"]
