"""The desk: the panels that people use in a notebook. Each is loaded when it is first used."""

from importlib import import_module
from typing import Any

_HOME = {
    "ClassPanel": "classroom",
    "ExercisePanel": "exercise",
    "NotesPanel": "notes",
    "OddCupPanel": "odd_cup",
    "Pad": "pad",
    "PracticePanel": "practice",
    "ProgressPanel": "progress",
    "TastingPanel": "tasting",
}

__all__ = [
    "ClassPanel",
    "ExercisePanel",
    "NotesPanel",
    "OddCupPanel",
    "Pad",
    "PracticePanel",
    "ProgressPanel",
    "TastingPanel",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'redolent.desk' has no attribute {name!r}")
    return getattr(import_module(f"redolent.desk.{_HOME[name]}"), name)
