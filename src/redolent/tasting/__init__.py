"""A tasting, from the kettle to the reveal: dose, water, order and codes, stages, and the cups on its table."""

from importlib import import_module
from typing import Any

_HOME = {
    name: module
    for module, names in {
        "cautions": "estimate_caffeine caution_caffeine WHO",
        "cooling": "Cooling fit_cooling",
        "design": "TableDesign design_tasting",
        "dose": "Dose dose_cup table_total",
        "orders": "draw_order next_row williams",
        "reveal": "Reveal TastedCup lay_open reveal_sheet tell_reveal",
        "setting": "list_equipment roast_note",
        "sheet": "pourer_sheet solo_steps table_sheet",
        "sitting": "day_name find_coffee find_cup find_tasting name_cup tidy_cup",
        "stages": "GUIDE STAGES STEPS Stage Step",
        "units": "parse_altitude parse_mass parse_volume",
        "water": "Water boiling_point plan_water",
    }.items()
    for name in names.split()
}

__all__ = sorted(_HOME)


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'redolent.tasting' has no attribute {name!r}")
    return getattr(import_module(f"redolent.tasting.{_HOME[name]}"), name)
