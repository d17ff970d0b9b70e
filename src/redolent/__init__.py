"""Redolent: a trainer for people who learn to put words to what they smell and taste in coffee.

The names below are loaded when they are first used, so that ``import redolent`` and reading a note stay light.
"""

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

_HOME = {
    "Journal": "redolent.journal",
    "Lexicon": "redolent.lexicon",
    "LexiconVectorizer": "redolent.notes.vectorizer",
    "Reading": "redolent.notes",
    "read": "redolent.notes",
    "read_many": "redolent.notes.many",
}

__all__ = [*_HOME, "__version__"]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'redolent' has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
