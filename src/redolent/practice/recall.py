"""Name it: a place is given; as many of its descriptors as come to mind in a minute."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from redolent.lexicon import Lexicon
from redolent.notes import read

SECONDS = 60


@dataclass(frozen=True, slots=True)
class RecallQuestion:
    """A place to name things of.

    Attributes
    ----------
    node : str
        Id of a family or group.
    place : str
        Where it stands, in words.
    seconds : int
        Time for the answer.
    """

    node: str
    place: str
    seconds: int = SECONDS


@dataclass(frozen=True, slots=True)
class Recall:
    """What came to mind. Each is a tuple of ids, in the order in which they were said.

    Attributes
    ----------
    named : tuple of str
        Descriptors of the place.
    elsewhere : tuple of str
        Places that were read and stand elsewhere, or above.
    new : tuple of str
        Of `named`, what was never used in a note.
    unused : tuple of str
        Descriptors of the place that were used in no note and did not come to mind, in the lexicon's order.
    unread : tuple of str
        Words that no place was found for.
    """

    named: tuple[str, ...]
    elsewhere: tuple[str, ...]
    new: tuple[str, ...]
    unused: tuple[str, ...]
    unread: tuple[str, ...]


def ask_recall(node: str, lexicon: Lexicon) -> RecallQuestion:
    """Ask for the descriptors of a family or group.

    Raises
    ------
    ValueError
        Where the place is neither.
    """
    if node not in lexicon or lexicon[node].level not in ("family", "group"):
        raise ValueError(f"{node!r} is no family or group of the lexicon; ask for one that is.")
    return RecallQuestion(node, lexicon.place(node))


def judge_recall(
    question: RecallQuestion,
    text: str,
    lexicon: Lexicon,
    *,
    used: Collection[str] = (),
    personal: Mapping[str, str] | None = None,
) -> Recall:
    """Read what was written, spelling forgiven, and sort it.

    Parameters
    ----------
    question : RecallQuestion
    text : str
        Words or sentences; what it denies does not count.
    lexicon : Lexicon
    used : collection of str
        Ids that the taster has used in notes.
    personal : mapping of str to str, optional
        The taster's own words.
    """
    reading = read(_apart(text), lexicon=lexicon, personal=dict(personal or {}))
    said = tuple(dict.fromkeys(m.node for m in reading.mentions if m.present))
    here = [node.id for node in lexicon.at("descriptor") if _under(node.id, question.node, lexicon)]
    named = tuple(node for node in said if node in set(here))
    return Recall(
        named,
        elsewhere=tuple(node for node in said if node not in named),
        new=tuple(node for node in named if node not in used),
        unused=tuple(node for node in here if node not in named and node not in used),
        unread=tuple(word.text for word in reading.unplaced),
    )


def _apart(text: str) -> str:
    # Each line is a word of its own: "rose" over "hip" is no rose hip.
    return ", ".join(line.strip() for line in text.splitlines() if line.strip())


def _under(node: str, place: str, lexicon: Lexicon) -> bool:
    return any(above.id == place for above in lexicon.ancestors(node))
