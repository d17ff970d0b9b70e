"""The coach narrows, and never says what is right."""

import pytest

from redolent.coach import ask
from redolent.lexicon import Lexicon
from redolent.notes import read

LEXICON = Lexicon.load()


def test_a_vague_word_gets_the_places_below_it():
    question = ask(read("fruity"), LEXICON)
    assert question.node == "fruit"
    assert all(child.label in question.asks for child in LEXICON.children("fruit"))
    assert question.asks.endswith("?")
    assert "a realm" in question.why


@pytest.mark.parametrize("text", ["lemon", "fruity, lemon to be exact", "", "quince and cedar"])
def test_a_note_with_no_vague_word_is_left_alone(text: str):
    assert ask(read(text), LEXICON) is None


def test_the_vaguest_word_is_asked_about_and_a_denied_one_is_not():
    assert ask(read("citrus peel, floral, fruity"), LEXICON).node == "flower-border"
    assert ask(read("no fruit, but floral"), LEXICON).node == "flower-border"


def test_a_note_without_a_place_is_asked_where_to_begin():
    question = ask(read("hmm zorbly"), LEXICON)
    assert question.node == ""
    assert all(realm.label in question.asks for realm in LEXICON.children())


def test_up_to_three_references_are_offered_with_their_allergens():
    for node in LEXICON.values():
        question = ask(read(node.label), LEXICON) if node.level != "descriptor" and node.spoken else None
        if question is None or question.node != node.id:
            continue
        assert len(question.references) <= 3
        for told in question.references:
            named = next(n for n in LEXICON.values() if n.level == "descriptor" and told.startswith(f"{n.label}. "))
            assert all(allergen in told for allergen in named.allergens)


def test_what_this_taster_confuses_comes_first():
    lemon, lime = (LEXICON.find(word).id for word in ("lemon", "lime"))
    question = ask(read("floral and citrus"), LEXICON, confused={lemon: lime})
    assert question.node == "citrus-grove"
    assert question.references[0].startswith("lemon. ")
    assert question.references[1].startswith("lime. ")
    assert "lemon and lime" in question.why
    # A confusion of nodes that a later lexicon no longer has is passed over.
    assert ask(read("citrus"), LEXICON, confused={"no/such/place": lemon}).node == "citrus-grove"
