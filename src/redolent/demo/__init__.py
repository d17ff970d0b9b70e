"""The demo: an invented journal in which one taster improves and one does not."""

from redolent.demo.simulator import SEED, Story, invent, open_demo, simulate
from redolent.demo.tasters import TASTERS

__all__ = ["SEED", "TASTERS", "Story", "invent", "open_demo", "simulate"]
