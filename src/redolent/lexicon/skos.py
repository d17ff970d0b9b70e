"""The lexicon as SKOS, in Turtle: for thesaurus tools and anyone's triple store.

What SKOS has no word for (the sense, the reference, its allergens) is said in a small vocabulary of our own,
which the file declares. Sources: W3C, SKOS Reference (2009) and RDF 1.1 Turtle (2014).
"""

import re
from collections.abc import Iterable, Iterator
from urllib.parse import quote

from redolent.lexicon.lexicon import Lexicon
from redolent.lexicon.node import Node, Reference

# The project has no address of its own on the web; .example is kept free for such names (RFC 2606).
BASE = "https://redolent.example/lexicon/"
TERMS = "https://redolent.example/terms#"

PREFIXES = {
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "rdfs": "http://www.w3.org/2000/01/rdf-schema#",
    "skos": "http://www.w3.org/2004/02/skos/core#",
    "rd": TERMS,
}

PROPERTIES = {
    "allergen": "An allergen that the reference holds, by its name in EU law, shortened to one word.",
    "amount": "How much of the reference is taken.",
    "fingerprint": "A hash of the files that the lexicon was loaded from.",
    "level": "The kind of node: realm, family, group or descriptor.",
    "position": "Where the node stands in the order of the lexicon, from 0.",
    "present": "How the reference is set before the nose or mouth.",
    "reference": "Something to fetch or prepare at home that teaches the descriptor.",
    "sense": "What perceives it: nose, tongue, touch, or whole for the cup as one.",
    "spoken": "Whether a word of a note can name the node; false for a mere heading.",
    "use": "What the reference is for: smell, taste or touch.",
    "what": "The thing that serves as reference.",
    "wordClass": "Noun or adjective; decides which regular forms the label has.",
}

_IRI = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:[^\x00-\x20<>\"{}|^`\\\ud800-\udfff]*/")
_SURROGATE = re.compile(r"[\ud800-\udfff]")
_ESCAPES = str.maketrans(
    {chr(code): f"\\u{code:04X}" for code in (*range(0x20), *range(0x7F, 0xA0))}
    | {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"}
)

_Said = tuple[str, str]  # predicate, object


def to_turtle(lexicon: Lexicon, *, base: str = BASE) -> str:
    """Write a lexicon as a SKOS concept scheme.

    Parameters
    ----------
    lexicon : Lexicon
    base : str
        The IRI of the scheme, ending in "/"; a node's IRI is this and its id. Give an address of your own to
        publish under it.

    Returns
    -------
    str
        Turtle, to be stored as UTF-8. Nothing is lost but the order of a node's alternative labels, forms,
        allergens and related nodes: these are sets in RDF. Alternatives and forms carry no language, since
        names from many languages stand among them.

    Raises
    ------
    ValueError
        Where `base` is no IRI ending in "/", or a text holds a lone surrogate, which no RDF can.
    """
    if not _IRI.fullmatch(base):
        raise ValueError(f"base is {base!r}; give an absolute IRI that ends in '/'.")
    blocks = [
        "\n".join(f"@prefix {name}: <{iri}> ." for name, iri in PREFIXES.items()) + "\n",
        *(_statement(f"rd:{name}", _property(name, comment)) for name, comment in PROPERTIES.items()),
        _statement(f"<{base}>", _scheme(lexicon, base)),
        *(
            _statement(_iri(node.id, base), _concept(node, position, lexicon, base))
            for position, node in enumerate(lexicon.values())
        ),
    ]
    return "\n".join(blocks)


def _statement(subject: str, said: Iterable[_Said]) -> str:
    return subject + " " + " ;\n    ".join(f"{predicate} {value}" for predicate, value in said) + " .\n"


def _property(name: str, comment: str) -> Iterator[_Said]:
    yield "a", "rdf:Property"
    yield "rdfs:label", _english(name)
    yield "rdfs:comment", _english(comment)


def _scheme(lexicon: Lexicon, base: str) -> Iterator[_Said]:
    yield "a", "skos:ConceptScheme"
    yield "rdfs:label", _english("Redolent lexicon of smells, tastes and textures")
    if lexicon.fingerprint:
        yield "rd:fingerprint", _literal(lexicon.fingerprint)
    yield from _each("skos:hasTopConcept", (_iri(node.id, base) for node in lexicon.children()))


def _concept(node: Node, position: int, lexicon: Lexicon, base: str) -> Iterator[_Said]:
    yield "a", "skos:Concept"
    yield "skos:inScheme", f"<{base}>"
    yield "skos:notation", _literal(node.id)
    yield "skos:prefLabel", _english(node.label)
    yield from _each("skos:altLabel", map(_literal, node.alt_labels))
    yield from _each("skos:hiddenLabel", map(_literal, node.forms))
    yield from _each("skos:definition", map(_english, filter(None, [node.definition])))
    yield from _each("skos:scopeNote", map(_english, filter(None, [node.scope_note])))
    if node.parent is None:
        yield "skos:topConceptOf", f"<{base}>"
    else:
        yield "skos:broader", _iri(node.parent, base)
    yield from _each("skos:narrower", (_iri(child.id, base) for child in lexicon.children(node.id)))
    yield from _each("skos:related", (_iri(other, base) for other in node.related))
    yield "rd:position", str(position)
    yield "rd:level", _literal(node.level)
    yield "rd:wordClass", _literal(node.word_class)
    yield "rd:spoken", "true" if node.spoken else "false"
    if node.sense is not None:
        yield "rd:sense", _literal(node.sense)
    if node.reference is not None:
        yield "rd:reference", _reference(node.reference)
    yield from _each("rd:allergen", map(_literal, node.allergens))


def _reference(reference: Reference) -> str:
    said = [
        ("rd:use", _literal(reference.use)),
        ("rd:what", _english(reference.what)),
        ("rd:amount", _english(reference.amount)),
        ("rd:present", _english(reference.present)),
    ]
    return "[ " + " ; ".join(f"{predicate} {value}" for predicate, value in said) + " ]"


def _each(predicate: str, values: Iterable[str]) -> Iterator[_Said]:
    """Say one predicate of several objects, or nothing where there are none."""
    listed = ", ".join(values)
    if listed:
        yield predicate, listed


def _iri(node_id: str, base: str) -> str:
    return f"<{base}{quote(node_id, safe='/')}>"


def _english(text: str) -> str:
    return _literal(text) + "@en"


def _literal(text: str) -> str:
    if _SURROGATE.search(text):
        raise ValueError(f"{text!r} holds a lone surrogate, which RDF forbids; take it out of the lexicon.")
    return '"' + text.translate(_ESCAPES) + '"'
