"""The household: what nobody may meet in a jar, and who takes part. Asked before anything is picked."""

import re
from dataclasses import dataclass

from redolent.lexicon import Node
from redolent.lexicon.check import ALLERGEN_WORDS, UNSAFE
from redolent.lexicon.forms import fold
from redolent.lexicon.node import ALLERGENS

PEOPLE = (
    "adults only",
    "children",
    "somebody who is pregnant or breast-feeding",
    "somebody with asthma or an airway that reacts to scents",
)
# Who avoids the one is wise to avoid its kin: pine nuts are no nuts by the regulation, and yet nobody should find out.
_KIN = {
    "nuts": r"\w*nuts?",
    "peanuts": r"\w*nuts?|lupins?",
    "fish": r"fish\w*|seafood",
    "crustaceans": r"seafood|shellfish",
    "molluscs": r"seafood|shellfish",
    "soybeans": r"soy\w*|bean sprouts?",
}
_SPIRITS = re.compile(
    r"\b(adults only|alcohol|wine(?! glass)|beer|ale|cider(?! vinegar)|spirits?|liqueur|rum|whisky|brandy|vodka|gin"
    r"|tequila|sherry|port|vermouth|tobacco|cigar|smokes?)\b",
    re.IGNORECASE,
)
_AIRWAYS = re.compile(
    r"smok|ammonia|chlorine|vinegar|mustard|horseradish|wasabi|chilli|pepper|menthol|camphor|eucalyptus|detergent"
    r"|soap|polish|washing-up|perfume|incense|powder|asafoetida|onion",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Household:
    """Who takes part, and what they do not tolerate.

    Attributes
    ----------
    people : frozenset of str
        Of `PEOPLE`; never empty: who takes part must have been asked.
    allergens : frozenset of str
        Of the names in ``redolent.lexicon.node.ALLERGENS``; empty says that the answer was none.
    avoided : tuple of str
        Anything else, in the household's own words: "kiwi", "banana".
    """

    people: frozenset[str]
    allergens: frozenset[str] = frozenset()
    avoided: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.people:
            raise ValueError("Say who takes part before anything is picked: adults only, children, or others.")
        if unknown := sorted(self.people - set(PEOPLE)):
            raise ValueError(f"{unknown[0]!r} is none of those who can take part: {'; '.join(PEOPLE)}.")
        if unknown := sorted(self.allergens - set(ALLERGENS)):
            raise ValueError(f"{unknown[0]!r} is none of the allergens known here; write it under what else to avoid.")

    def refuses(self, node: Node) -> str:
        """Say why the reference of a node is not for this household; empty where it is.

        A reference is left out rather than doubted: a word that betrays an allergen is enough, even where the
        lexicon declares none.
        """
        reference = node.reference
        if reference is None:
            return "it has no safe reference"
        said = f"{node.label}, {reference.what}, {reference.present}"
        if any(re.search(pattern, said, re.IGNORECASE) for pattern, _ in UNSAFE.get(reference.use, ())):
            return "its reference is not safe"
        for allergen in sorted(self.allergens):
            words = ALLERGEN_WORDS.get(allergen, (allergen, None))[0]
            words = f"{words}|{_KIN[allergen]}" if allergen in _KIN else words
            if allergen in node.allergens or re.search(rf"\b({words})\b", said, re.IGNORECASE):
                return f"it may hold {allergen}"
        folded = fold(f"{said} {' '.join(node.labels)}")
        for word in self.avoided:
            # Plurals and compounds are refused with the word: "cherries" and "cherry".
            stem = re.sub(r"(ies|es|s|y)$", "", fold(word).strip())
            if stem and re.search(rf"\b{re.escape(stem)}", folded):
                return f"it may hold {word.strip()}"
        if self.people & set(PEOPLE[1:3]) and _SPIRITS.search(said):
            return "it is for adults only"
        if PEOPLE[3] in self.people and _AIRWAYS.search(said):
            return "it may sting an airway that reacts to scents"
        return ""

    @property
    def cautions(self) -> tuple[str, ...]:
        """What everybody should read before the first jar."""
        said = [
            "Smell, never taste: the jars are for the nose. Hold a jar a hand's breadth away and fan the air to you.",
            "Read the labels of what you buy for allergens and traces; where an allergy is severe, leave the jars to "
            "others and ask a doctor.",
            "Use clean jars and fresh food, label them, keep them from small children and animals, and throw all away "
            "the same day.",
            "Let anything hot cool before the lid goes on. Stop if your head aches or your nose or eyes sting.",
        ]
        if PEOPLE[1] in self.people:
            said.append("An adult prepares the jars and stays; small parts can choke a child.")
        if PEOPLE[2] in self.people:
            said.append("While pregnant or breast-feeding, ask a professional about anything you are unsure of.")
        if PEOPLE[3] in self.people:
            said.append("With asthma keep your reliever at hand, air the room, and begin with the faintest jar.")
        return tuple(said)
