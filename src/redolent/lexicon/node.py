"""What stands in the lexicon: a node of the tree and the kitchen reference that teaches it."""

from dataclasses import dataclass
from typing import Literal

Level = Literal["realm", "family", "group", "descriptor"]
Sense = Literal["nose", "tongue", "touch", "whole"]
WordClass = Literal["noun", "adjective"]

LEVELS: tuple[Level, ...] = ("realm", "family", "group", "descriptor")
SENSES: tuple[Sense, ...] = ("nose", "tongue", "touch", "whole")
USES = ("smell", "taste", "touch")

# Annex II of Regulation (EU) No 1169/2011, shortened to one word each.
ALLERGENS = (
    "gluten",
    "crustaceans",
    "eggs",
    "fish",
    "peanuts",
    "soybeans",
    "milk",
    "nuts",
    "celery",
    "mustard",
    "sesame",
    "sulphites",
    "lupin",
    "molluscs",
)

# The sentence of an entry whose only honest references would be unsafe to smell or taste.
NO_REFERENCE = "no reference; learn it from a cup that shows it"


@dataclass(frozen=True, slots=True)
class Reference:
    """Something a person can fetch or prepare at home.

    Attributes
    ----------
    use : {"smell", "taste", "touch"}
        The sense it is for.
    what, amount, present : str
        The thing, how much of it (number and unit), and how it is set before the nose or mouth.
    """

    use: str
    what: str
    amount: str
    present: str

    def __str__(self) -> str:
        return f"To {self.use}: {self.what}, {self.amount}, {self.present}."


@dataclass(frozen=True, slots=True)
class Node:
    """One place in the lexicon: a realm, family, group or descriptor.

    Attributes
    ----------
    id : str
        Stable id: ``fruit``, ``orchard``, ``orchard/pome``, ``orchard/pome/quince``.
    level : {"realm", "family", "group", "descriptor"}
    label, alt_labels, definition, scope_note : str or tuple of str
        As SKOS prefLabel, altLabel, definition and scopeNote.
    parent : str or None
        Id of the broader node (SKOS broader); None for a realm.
    sense : {"nose", "tongue", "touch", "whole"} or None
        Inherited from the family; None for a realm, which may hold several.
    forms : tuple of str
        Surface forms that the regular derivation misses.
    word_class : {"noun", "adjective"}
        Decides which regular forms are derived.
    reference : Reference or None
        None where no safe one exists.
    allergens : tuple of str
        Those that the reference holds, by the names in `ALLERGENS`.
    related : tuple of str
        Ids of true cross-references (SKOS related).
    spoken : bool
        False where the label is only a heading ("outdoors") and no word of a note names the node.
    """

    id: str
    level: Level
    label: str
    parent: str | None
    sense: Sense | None
    definition: str
    alt_labels: tuple[str, ...] = ()
    forms: tuple[str, ...] = ()
    word_class: WordClass = "noun"
    reference: Reference | None = None
    allergens: tuple[str, ...] = ()
    scope_note: str = ""
    related: tuple[str, ...] = ()
    spoken: bool = True

    @property
    def labels(self) -> tuple[str, ...]:
        """The label, the alternative labels and the irregular forms, in that order."""
        return (self.label, *self.alt_labels, *self.forms)
