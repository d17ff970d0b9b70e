"""What the lexicon lacks is placed by its kind; words of everyday speech and unknown words never are."""

import csv
from collections import Counter

import pytest

from redolent.lexicon import Lexicon
from redolent.notes.infer import infer, reach
from redolent.shipped import shipped

WORDNET = shipped("lexicon") / "wordnet"
LEXICON = Lexicon.load()
PLACES = [line.split("\t") for line in (WORDNET / "places.txt").read_text(encoding="ascii").splitlines()]
JUDGEMENTS = list(csv.DictReader((WORDNET / "judgements.tsv").open(encoding="ascii"), delimiter="\t"))

EVERYDAY = """
    cup cups morning mornings table water day date time plant bank case bar bag bean beans tree dog body
    finish roast crop ground season sand steam spoon smelt teatime monday lisbon maria timothy veronica
"""
PHRASES = (
    "old-fashioned",
    "cup and saucer",
    "four o'clock",
    "heavy metal",
    "top round",
    "meeting-house",
    "a b c",
)
INVENTED = "zorbly zorblies blenforia velonta quasterly nespro kelvita"


def family(node: str) -> str:
    return node.split("/")[0]


def test_the_list_is_wide_sorted_and_stands_in_the_lexicon():
    lemmas = [lemma for lemma, _ in PLACES]
    assert lemmas == sorted(set(lemmas))
    assert sum(lemma not in LEXICON.form_index for lemma in lemmas) >= 4000
    assert {LEXICON[node].level for _, node in PLACES} == {"family", "group"}
    assert all(LEXICON[node].sense == "nose" for _, node in PLACES)


@pytest.mark.parametrize(
    ("word", "place"),
    [
        ("rambutan", "tropical-stall"),
        ("tallow", "stockpot"),
        ("marigold", "flower-border"),
        ("sarsaparilla", "sugar-pan"),
        ("mackerel", "stockpot"),
        ("rutabaga plant", "vegetable-plot"),
        ("chanterelle", "open-ground"),
        ("zinfandel", "cellar"),
        ("vermicelli", "bakehouse"),
        ("benzene", "workshop"),
        ("larch", "workshop"),
        ("schist", "open-ground"),
        ("lady's slipper", "flower-border"),
        ("bearnaise", "stockpot"),
    ],
)
def test_a_food_plant_or_material_is_placed(word, place):
    assert family(infer(word)) == place


@pytest.mark.parametrize(
    ("form", "name"),
    [
        ("rambutans", "rambutan"),
        ("elm-like", "elm"),
        ("beech like", "beech"),
        ("larchlike", "larch"),
        ("firry", "fir"),
        ("salmony", "salmon"),
        ("poppies", "poppy"),
        ("balsam firs", "balsam fir"),
    ],
)
def test_a_regular_form_stands_where_its_name_does(form, name):
    assert infer(form) == infer(name) is not None


@pytest.mark.parametrize("word", [*EVERYDAY.split(), *PHRASES, *INVENTED.split(), "", " "])
def test_everyday_and_unknown_words_are_not(word):
    assert infer(word) is None


def test_a_word_of_its_own_is_no_form():
    # A shad is a fish and a tamarack a tree.
    assert infer("shad") == "stockpot/meat"
    assert infer("shady") is None
    assert infer("tamaracky") == infer("tamarack") == "workshop/wood"


def test_names_with_a_capital_are_not_there():
    # Genera and trade names, which WordNet writes with a capital only.
    assert not {"abies", "abies alba", "velveeta", "plexiglas", "teflon", "pernod"} & {w for w, _ in PLACES}


def test_reach_covers_every_name():
    assert all(reach(*(lemma + " ").split(" ")[:2]) >= len(lemma.split(" ")) for lemma, _ in PLACES)
    assert max(Counter(len(lemma.split(" ")) for lemma, _ in PLACES)) <= 6
    assert reach("zorbly", "things") == 1


def test_the_list_agrees_with_the_lexicon_where_both_know_a_word():
    both = [(family(node), LEXICON.form_index[lemma]) for lemma, node in PLACES if lemma in LEXICON.form_index]
    assert len(both) > 1000
    assert sum(place == LEXICON.up_to(node, "family") for place, node in both) / len(both) >= 0.9


@pytest.mark.parametrize("judge", ["judge_a", "judge_b"])
def test_judged_precision_is_at_least_nine_in_ten(judge):
    verdicts = [row[judge] for row in JUDGEMENTS if row[judge]]
    if not verdicts:
        pytest.skip(f"{judge} has not judged yet")
    assert len(verdicts) == len(JUDGEMENTS) == 300
    assert set(verdicts) <= {"y", "n"}
    assert verdicts.count("y") / len(verdicts) >= 0.9


def test_what_was_judged_is_what_is_shipped():
    assert {(row["lemma"], row["node"]) for row in JUDGEMENTS} <= {(lemma, node) for lemma, node in PLACES}
