"""A narrowing question: from a word that stands high in the tree to what lies under it."""

from collections.abc import Mapping
from dataclasses import dataclass

from redolent.lexicon import LEVELS, Lexicon, Node
from redolent.notes import Mention, Reading

MOST_REFERENCES = 3
_FEW_WORDS = 7  # choices that a person can hold in mind at once

_START = {
    "nose": "Where would you go to smell it again",
    "tongue": "What does it do on the tongue",
    "touch": "How does it feel in the mouth",
    "whole": "What about the whole cup",
}


@dataclass(frozen=True, slots=True)
class Question:
    """What the coach asks about a note.

    Attributes
    ----------
    node : str
        Id of the place to be narrowed; empty where the note named none.
    asks : str
        One sentence with a question mark.
    references : tuple of str
        Up to three things to fetch and compare, each with its allergens.
    why : str
        Why this question.
    """

    node: str
    asks: str
    references: tuple[str, ...]
    why: str


def ask(reading: Reading, lexicon: Lexicon, *, confused: Mapping[str, str] | None = None) -> Question | None:
    """Ask about the vaguest word of a note.

    The vaguest is the one highest in the tree; of several, one above a place that this taster confuses, else the
    first. A word is left alone where the note itself names something below it, and so is what it denies.

    Parameters
    ----------
    reading : Reading
        Of a note that is locked.
    lexicon : Lexicon
    confused : mapping of str to str, optional
        Node ids that this taster takes for one another.

    Returns
    -------
    Question or None
        None where every word is a descriptor already. There is no wrong note, only a vaguer one: the question
        never says what is right, and offers every place below the word.
    """
    confused = {node: taken for node, taken in (confused or {}).items() if node in lexicon and taken in lexicon}
    present = [mention for mention in reading.mentions if mention.present]
    if not present:
        return _begin(reading, lexicon)
    above = {node.id for mention in present for node in lexicon.ancestors(mention.node)}
    vague = [m for m in present if m.node not in above and len(lexicon.children(m.node)) > 1]
    if not vague:
        return None
    mention = min(vague, key=lambda m: (LEVELS.index(lexicon[m.node].level), not _below(m.node, confused, lexicon)))
    return _narrow(mention, lexicon, confused)


def _narrow(mention: Mention, lexicon: Lexicon, confused: Mapping[str, str]) -> Question:
    node = lexicon[mention.node]
    children = lexicon.children(node.id)
    choices = [child.label for child in children]
    listed = choices if len(choices) <= _FEW_WORDS else choices[: _FEW_WORDS - 1]
    more = "" if len(choices) == len(listed) else ", something else there"
    start = _START[node.sense or children[0].sense or "nose"]
    mixed = _below(node.id, confused, lexicon)
    why = (
        f"“{mention.text}” stands at {lexicon.place(node.id)}, a {node.level}; one step down there are "
        f"{len(children)} places, named here in the lexicon's order. Any answer is right, and so is none."
    )
    if mixed:
        pairs = "; ".join(f"{lexicon[one].label} and {lexicon[two].label}" for one, two in mixed.items())
        why += f" You have taken these for one another before: {pairs}."
    return Question(
        node.id,
        f"You wrote “{mention.text}”. {start}: {_or(listed)}{more}?",
        tuple(_fetch(node, lexicon, mixed)),
        why,
    )


def _begin(reading: Reading, lexicon: Lexicon) -> Question | None:
    if not reading.text.strip():
        return None
    places = [realm.label for realm in lexicon.children()]
    return Question(
        "",
        f"What does this remind you of, first of all: {_or(places)}?",
        (),
        "No word of this note has a place in the lexicon yet. The realms are the widest places there are.",
    )


def _fetch(node: Node, lexicon: Lexicon, mixed: Mapping[str, str]) -> list[str]:
    """Choose references: what is confused first, then the first of each child in turn, so that they differ."""
    wanted = [lexicon[one] for pair in mixed.items() for one in pair]
    for child in lexicon.children(node.id):
        wanted += [found for found in _descriptors(child, lexicon) if found.reference][:1]
    kept = list(dict.fromkeys(found.id for found in wanted if found.reference))[:MOST_REFERENCES]
    return [_tell(lexicon[one]) for one in kept]


def _tell(node: Node) -> str:
    allergens = f" Allergens: {', '.join(node.allergens)}." if node.allergens else ""
    return f"{node.label}. {node.reference}{allergens}"


def _descriptors(node: Node, lexicon: Lexicon) -> list[Node]:
    children = lexicon.children(node.id)
    return [below for child in children for below in _descriptors(child, lexicon)] if children else [node]


def _below(node_id: str, confused: Mapping[str, str], lexicon: Lexicon) -> dict[str, str]:
    """Keep the confusions of which both sides stand below a node."""

    def under(one: str) -> bool:
        return any(node.id == node_id for node in lexicon.ancestors(one))

    return {one: other for one, other in confused.items() if under(one) and under(other)}


def _or(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"
