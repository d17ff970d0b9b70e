"""The demo: an invented journal in which one taster improves and one does not, and an invented class of twelve."""

from redolent.demo.classroom import CLASS, invent_class, simulate_class
from redolent.demo.simulator import SEED, Story, invent, open_demo, simulate
from redolent.demo.tasters import TASTERS

__all__ = ["CLASS", "SEED", "TASTERS", "Story", "invent", "invent_class", "open_demo", "simulate", "simulate_class"]
