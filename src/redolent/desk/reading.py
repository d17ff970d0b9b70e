"""A reading as the pad shows it: the text in lit and unlit parts, and each word with its place in words."""

from collections.abc import Mapping

from redolent.lexicon import Lexicon
from redolent.notes import Mention, Reading, read

SENSE_WORDS = {"nose": "smelled", "tongue": "tasted", "touch": "felt", "whole": "of the whole cup"}


def showable(text: str) -> str:
    """Replace what no browser or message can carry: NUL and lone surrogates. The journal keeps them as typed."""
    return "".join("\ufffd" if c == "\0" or "\ud800" <= c <= "\udfff" else c for c in text)


def sense_of(node_id: str, lexicon: Lexicon) -> str:
    """Give the sense of a node; a realm has that of its first family."""
    node = lexicon[node_id]
    return node.sense or lexicon.children(node_id)[0].sense or "nose"


def split_text(reading: Reading, lexicon: Lexicon) -> list[dict[str, object]]:
    """Cut the note into parts whose ``shown`` together are the note; a part with a ``sense`` is a mention."""
    parts: list[dict[str, object]] = []
    at = 0
    for mention in reading.mentions:
        if mention.start > at:
            parts.append({"shown": showable(reading.text[at : mention.start]), "sense": "", "present": True})
        parts.append(
            {
                "shown": showable(mention.text),
                "sense": sense_of(mention.node, lexicon),
                "present": mention.present,
            }
        )
        at = mention.end
    if at < len(reading.text):
        parts.append({"shown": showable(reading.text[at:]), "sense": "", "present": True})
    return parts


def tell(mention: Mention, lexicon: Lexicon) -> str:
    """Say in words where a mention stands and how it is said: ``smelled: fire and cellar › hearth › smoke; denied``."""
    said = [f"{SENSE_WORDS[sense_of(mention.node, lexicon)]}: {lexicon.place(mention.node)}"]
    said += mention.qualities
    if mention.how == "spelling":
        said.append("read through its spelling")
    if mention.how == "inferred":
        said.append("place inferred")
    return "; ".join(said)


def list_words(reading: Reading, lexicon: Lexicon) -> list[dict[str, str]]:
    """Give each mention as the pad lists it: the word as written, its sense, and what `tell` says."""
    return [
        {"said": showable(m.text), "sense": sense_of(m.node, lexicon), "tells": tell(m, lexicon)}
        for m in reading.mentions
    ]


def read_for(text: str, words: Mapping[str, str], lexicon: Lexicon) -> Reading:
    """Read a note with a taster's own words; a word whose place the lexicon no longer has is left out."""
    return read(text, lexicon=lexicon, personal={w: n for w, n in words.items() if n in lexicon})
