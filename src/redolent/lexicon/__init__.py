"""The lexicon: a tree of places where a person would go to smell, taste or touch a reference."""

from redolent.lexicon.forms import fold
from redolent.lexicon.lexicon import Lexicon
from redolent.lexicon.node import LEVELS, NO_REFERENCE, SENSES, Level, Node, Reference, Sense

__all__ = ["LEVELS", "NO_REFERENCE", "SENSES", "Level", "Lexicon", "Node", "Reference", "Sense", "fold"]
