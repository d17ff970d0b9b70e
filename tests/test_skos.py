"""The lexicon as SKOS Turtle, parsed back by rdflib: nothing lost, and good SKOS."""

from collections import Counter, defaultdict
from dataclasses import fields, replace
from urllib.parse import unquote

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from redolent.lexicon import LEVELS, Lexicon, Node, Reference
from redolent.lexicon.skos import BASE, PROPERTIES, TERMS, to_turtle

rdflib = pytest.importorskip("rdflib")
from rdflib.namespace import RDF, RDFS, SKOS  # noqa: E402

RD = rdflib.Namespace(TERMS)
SETS = ("alt_labels", "forms", "allergens", "related")


def parse(text):
    return rdflib.Graph().parse(data=text, format="turtle")


def from_graph(graph, base=BASE):
    """Build the lexicon that a graph holds, by the graph alone."""

    def one(subject, predicate, default=None):
        found = [value.toPython() for value in graph.objects(subject, predicate)]
        assert len(found) <= 1, (subject, predicate)
        return found[0] if found else default

    def many(subject, predicate):
        return tuple(sorted(value.toPython() for value in graph.objects(subject, predicate)))

    def id_of(iri):
        return unquote(str(iri).removeprefix(base))

    def reference(concept):
        at = graph.value(concept, RD.reference)
        return at and Reference(**{name: one(at, RD[name]) for name in ("use", "what", "amount", "present")})

    placed = []
    for concept in graph.subjects(RDF.type, SKOS.Concept):
        assert one(concept, SKOS.notation) == id_of(concept)
        parents = list(graph.objects(concept, SKOS.broader))
        node = Node(
            id=id_of(concept),
            level=one(concept, RD.level),
            label=one(concept, SKOS.prefLabel),
            parent=id_of(parents[0]) if parents else None,
            sense=one(concept, RD.sense),
            definition=one(concept, SKOS.definition, ""),
            alt_labels=many(concept, SKOS.altLabel),
            forms=many(concept, SKOS.hiddenLabel),
            word_class=one(concept, RD.wordClass),
            reference=reference(concept),
            allergens=many(concept, RD.allergen),
            scope_note=one(concept, SKOS.scopeNote, ""),
            related=tuple(sorted(id_of(other) for other in graph.objects(concept, SKOS.related))),
            spoken=one(concept, RD.spoken),
        )
        placed.append((one(concept, RD.position), node))
    (scheme,) = graph.subjects(RDF.type, SKOS.ConceptScheme)
    placed.sort(key=lambda pair: pair[0])
    assert [position for position, _ in placed] == list(range(len(placed)))
    return Lexicon([node for _, node in placed], one(scheme, RD.fingerprint, ""))


def in_sets(node):
    """Put what RDF keeps as a set in one order."""
    return replace(node, **{name: tuple(sorted(getattr(node, name))) for name in SETS})


@pytest.fixture(scope="module")
def lexicon():
    return Lexicon.load()


@pytest.fixture(scope="module")
def graph(lexicon):
    return parse(to_turtle(lexicon))


# ---------------------------------------------------------------- nothing is lost


def test_every_field_comes_back(lexicon, graph):
    back = from_graph(graph)
    assert list(back) == list(lexicon)  # ids, in the order of the lexicon
    assert back.fingerprint == lexicon.fingerprint != ""
    for field in fields(Node):
        for node in lexicon.values():
            assert getattr(back[node.id], field.name) == getattr(in_sets(node), field.name), (
                node.id,
                field.name,
            )


def test_the_fields_are_worth_comparing(lexicon):
    # A field that is the same everywhere could be lost unseen.
    for field in fields(Node):
        assert len({str(getattr(node, field.name)) for node in lexicon.values()}) > 1, field.name
    for name in SETS:
        for node in lexicon.values():
            assert len(set(getattr(node, name))) == len(getattr(node, name)), (node.id, name)


def test_surface_forms_come_back(lexicon, graph):
    assert from_graph(graph).form_index == lexicon.form_index


def test_an_entry_by_hand():
    quince = Node(
        id="orchard/pome/quince", level="descriptor", label="quince", parent="orchard/pome", sense="nose",
        definition='Says "quince"\\ twice.', alt_labels=("membrillo", "coing"), forms=("quincey",),
        reference=Reference("smell", "ripe fruit", "1 fruit", "cut, in a lidded jar"),
        allergens=("nuts", "milk"),
        scope_note="Not\napple.", related=("orchard/pome",), spoken=True,
    )  # fmt: skip
    pome = Node("orchard/pome", "group", "pome fruit", None, None, "", word_class="adjective", spoken=False)
    graph = parse(to_turtle(Lexicon([pome, quince]), base="https://a.example/v/"))
    a = rdflib.Namespace("https://a.example/v/")
    en = {"lang": "en"}
    at = graph.value(a["orchard/pome/quince"], RD.reference)
    said = {(s, p, o) for s, p, o in graph if str(s).startswith(str(a)) or s == at}
    assert said == {
        (a[""], RDF.type, SKOS.ConceptScheme),
        (a[""], RDFS.label, rdflib.Literal("Redolent lexicon of smells, tastes and textures", **en)),
        (a[""], SKOS.hasTopConcept, a["orchard/pome"]),
        (a["orchard/pome"], RDF.type, SKOS.Concept),
        (a["orchard/pome"], SKOS.inScheme, a[""]),
        (a["orchard/pome"], SKOS.topConceptOf, a[""]),
        (a["orchard/pome"], SKOS.notation, rdflib.Literal("orchard/pome")),
        (a["orchard/pome"], SKOS.prefLabel, rdflib.Literal("pome fruit", **en)),
        (a["orchard/pome"], SKOS.narrower, a["orchard/pome/quince"]),
        (a["orchard/pome"], RD.position, rdflib.Literal(0)),
        (a["orchard/pome"], RD.level, rdflib.Literal("group")),
        (a["orchard/pome"], RD.wordClass, rdflib.Literal("adjective")),
        (a["orchard/pome"], RD.spoken, rdflib.Literal(False)),
        (a["orchard/pome/quince"], RDF.type, SKOS.Concept),
        (a["orchard/pome/quince"], SKOS.inScheme, a[""]),
        (a["orchard/pome/quince"], SKOS.notation, rdflib.Literal("orchard/pome/quince")),
        (a["orchard/pome/quince"], SKOS.prefLabel, rdflib.Literal("quince", **en)),
        (a["orchard/pome/quince"], SKOS.altLabel, rdflib.Literal("membrillo")),
        (a["orchard/pome/quince"], SKOS.altLabel, rdflib.Literal("coing")),
        (a["orchard/pome/quince"], SKOS.hiddenLabel, rdflib.Literal("quincey")),
        (a["orchard/pome/quince"], SKOS.definition, rdflib.Literal('Says "quince"\\ twice.', **en)),
        (a["orchard/pome/quince"], SKOS.scopeNote, rdflib.Literal("Not\napple.", **en)),
        (a["orchard/pome/quince"], SKOS.broader, a["orchard/pome"]),
        (a["orchard/pome/quince"], SKOS.related, a["orchard/pome"]),
        (a["orchard/pome/quince"], RD.position, rdflib.Literal(1)),
        (a["orchard/pome/quince"], RD.level, rdflib.Literal("descriptor")),
        (a["orchard/pome/quince"], RD.wordClass, rdflib.Literal("noun")),
        (a["orchard/pome/quince"], RD.spoken, rdflib.Literal(True)),
        (a["orchard/pome/quince"], RD.sense, rdflib.Literal("nose")),
        (a["orchard/pome/quince"], RD.allergen, rdflib.Literal("nuts")),
        (a["orchard/pome/quince"], RD.allergen, rdflib.Literal("milk")),
        (a["orchard/pome/quince"], RD.reference, at),
        (at, RD.use, rdflib.Literal("smell")),
        (at, RD.what, rdflib.Literal("ripe fruit", **en)),
        (at, RD.amount, rdflib.Literal("1 fruit", **en)),
        (at, RD.present, rdflib.Literal("cut, in a lidded jar", **en)),
    }  # fmt: skip


texts = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    node_id=texts, label=texts, other=texts, definition=texts, note=texts, what=texts,
    labels=st.sets(texts, max_size=4),
)  # fmt: skip
def test_any_text_comes_back(node_id, label, other, definition, note, what, labels):
    node = Node(
        id=node_id, level="descriptor", label=label, parent=None, sense="tongue", definition=definition,
        alt_labels=tuple(sorted(labels)), forms=(other,), scope_note=note,
        reference=Reference("taste", what, "1 cup", "\t'''\"\"\"\\"),
    )  # fmt: skip
    back = from_graph(parse(to_turtle(Lexicon([node]))))
    assert list(back.values()) == [node]


def test_every_control_character_comes_back():
    controls = "".join(map(chr, [*range(0x20), *range(0x7F, 0xA1), 0x2028, 0x2029, 0xFEFF, 0xFFFF, 0x1F375]))
    text = to_turtle(Lexicon([Node("a", "realm", "x" + controls, None, None, controls)]))
    assert from_graph(parse(text))["a"].definition == controls
    assert from_graph(parse(text.encode()))["a"].label == "x" + controls


def test_an_empty_lexicon():
    assert list(from_graph(parse(to_turtle(Lexicon([]))))) == []


def test_the_same_lexicon_gives_the_same_text(lexicon):
    assert to_turtle(lexicon) == to_turtle(Lexicon(list(lexicon.values()), lexicon.fingerprint))


# ---------------------------------------------------------------- good SKOS
# Numbers of conditions: W3C, SKOS Simple Knowledge Organization System Reference, 18 August 2009.


def test_only_skos_and_declared_terms(graph):
    used = set(graph.predicates())
    declared = set(graph.subjects(RDF.type, RDF.Property))
    assert {term for term in used if term in RD} == declared == {RD[name] for name in PROPERTIES}
    assert all(graph.value(term, RDFS.comment) for term in declared)
    # rdflib's SKOS is a closed namespace: it knows the terms of the recommendation only.
    assert all(term in SKOS for term in used if str(term).startswith(str(SKOS)))
    assert {term for term in used if not str(term).startswith((TERMS, str(SKOS)))} == {
        RDF.type,
        RDFS.label,
        RDFS.comment,
    }


def test_typed_values(graph):
    types = defaultdict(set)
    for _, predicate, value in graph:
        if isinstance(value, rdflib.Literal):
            types[predicate].add(value.language or value.datatype)
    assert types[RD.spoken] == {rdflib.XSD.boolean}
    assert types[RD.position] == {rdflib.XSD.integer}
    for predicate in (SKOS.prefLabel, SKOS.definition, SKOS.scopeNote, RD.what, RD.amount, RD.present):
        assert types[predicate] == {"en"}
    for predicate in (
        SKOS.altLabel,
        SKOS.hiddenLabel,
        SKOS.notation,
        RD.use,
        RD.allergen,
        RD.level,
        RD.sense,
    ):
        assert types[predicate] == {None}


def test_concepts_hang_together(lexicon, graph):
    scheme = rdflib.URIRef(BASE)
    concepts = set(graph.subjects(RDF.type, SKOS.Concept))
    assert len(concepts) == len(lexicon)
    assert set(graph.subjects(SKOS.inScheme, scheme)) == concepts
    realms = {rdflib.URIRef(BASE + node.id) for node in lexicon.at(LEVELS[0])}
    assert (
        set(graph.subjects(SKOS.topConceptOf, scheme)) == set(graph.objects(scheme, SKOS.hasTopConcept)) == realms
    )  # S8
    broader = set(graph.subject_objects(SKOS.broader))
    assert {(above, below) for below, above in broader} == set(graph.subject_objects(SKOS.narrower))  # S25
    assert {below for below, _ in broader} == concepts - realms
    assert {end for pair in graph.subject_objects(SKOS.related) for end in pair} <= concepts


def test_labels_do_not_clash(graph):
    for concept in graph.subjects(RDF.type, SKOS.Concept):
        labels = [
            str(label)
            for kind in (SKOS.prefLabel, SKOS.altLabel, SKOS.hiddenLabel)
            for label in graph.objects(concept, kind)
        ]
        assert max(Counter(labels).values()) == 1, concept  # S13
        assert len(list(graph.objects(concept, SKOS.prefLabel))) == 1  # S14


def test_related_is_not_broader(graph):
    for one, other in graph.subject_objects(SKOS.related):
        assert one != other
        assert other not in set(graph.transitive_objects(one, SKOS.broader))  # S27
        assert one not in set(graph.transitive_objects(other, SKOS.broader))


# ---------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    "base", ["", "lexicon/", "https://a.example/v", "https://a.example/v#", "https://a b/", "x:<>/"]
)
def test_wrong_base_is_refused(base):
    with pytest.raises(ValueError, match=r"base is .+; give an absolute IRI that ends in '/'"):
        to_turtle(Lexicon([]), base=base)


def test_lone_surrogates_are_refused():
    with pytest.raises(ValueError, match="holds a lone surrogate, which RDF forbids"):
        to_turtle(Lexicon([Node("a", "realm", "half \ud83c", None, None, "")]))
