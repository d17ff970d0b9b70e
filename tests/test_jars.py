"""Jars: picked safely, printed under codes, answered in words, and judged against guessing."""

import re
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest
from scipy.stats import binomtest
from sklearn.metrics import accuracy_score, confusion_matrix

from redolent.blind import seal, verify
from redolent.lexicon import Lexicon
from redolent.lexicon.node import ALLERGENS
from redolent.practice import (
    Household,
    Jar,
    JarSet,
    clopper_pearson,
    judge_jars,
    key_page,
    label_page,
    pick_jars,
    read_answer,
    shopping_page,
)
from redolent.practice.household import PEOPLE

ADULTS = Household(frozenset({PEOPLE[0]}))
QUINCE, PEAR = "orchard/pome/quince", "orchard/pome/pear"
NODES = (QUINCE, PEAR, "orchard/pome/apple", "orchard/stone/cherry", "flower-border/blossom/jasmine",
         "hearth/smoke/campfire")  # fmt: skip
SET = JarSet("balanced", tuple(map(Jar, ("217", "538", "846", "392", "684", "751"), NODES)))
TEXTS = ("quince", "quince, or so", "green apple", "plum", "no idea", "smoky")


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    return Lexicon.load()


# --- who is asked before anything is picked


def test_who_takes_part_must_be_said() -> None:
    with pytest.raises(ValueError, match="who takes part"):
        Household(frozenset())
    with pytest.raises(ValueError, match="'moon' is none of the allergens"):
        Household(frozenset({PEOPLE[0]}), frozenset({"moon"}))


@pytest.mark.parametrize("allergen", ALLERGENS)
def test_no_jar_holds_a_stated_allergen(lexicon, allergen) -> None:
    household = Household(frozenset({PEOPLE[0]}), frozenset({allergen}))
    for seed in range(10):
        for jar in pick_jars("balanced", 12, household, lexicon, seed).jars:
            assert allergen not in lexicon[jar.node].allergens


def test_pairs_of_allergens_leave_none_of_either(lexicon) -> None:
    for pair in pairwise(ALLERGENS):
        household = Household(frozenset({PEOPLE[0]}), frozenset(pair))
        left = [node for node in lexicon.at("descriptor") if not household.refuses(node)]
        assert not any(set(pair) & set(node.allergens) for node in left)


def test_what_else_is_avoided_is_left_out_with_its_plural(lexicon) -> None:
    household = Household(frozenset({PEOPLE[0]}), avoided=("Cherries",))
    assert household.refuses(lexicon["orchard/stone/cherry"]) == "it may hold Cherries"
    assert household.refuses(lexicon[QUINCE]) == ""


def test_kin_of_an_allergen_is_left_out_too(lexicon) -> None:
    pine_nut = next(node for node in lexicon.at("descriptor") if node.label == "pine nut")
    assert "nuts" not in pine_nut.allergens
    for allergen in ("nuts", "peanuts"):
        assert Household(frozenset({PEOPLE[0]}), frozenset({allergen})).refuses(pine_nut) == f"it may hold {allergen}"
    assert ADULTS.refuses(pine_nut) == ""


def test_what_is_smelled_over_heat_or_on_the_skin_is_in_no_jar(lexicon) -> None:
    for seed in range(20):
        for jar in pick_jars("balanced", 12, ADULTS, lexicon, seed).jars:
            assert not re.search(r"over the pan|wrist|simmer|steam", lexicon[jar.node].reference.present)


def test_no_alcohol_where_children_or_pregnant_take_part(lexicon) -> None:
    for who in PEOPLE[1:3]:
        household = Household(frozenset({who}))
        assert household.refuses(lexicon["cellar/wine-and-spirit/rum"]) == "it is for adults only"
        left = [node for node in lexicon.at("descriptor") if not household.refuses(node)]
        said = " ".join(f"{node.reference}" for node in left)
        assert not re.search(r"adults only|\b(whisky|liqueur|rum|vodka|brandy)\b", said)
    assert ADULTS.refuses(lexicon["cellar/wine-and-spirit/rum"]) == ""


def test_a_place_without_a_safe_reference_is_never_in_a_jar(lexicon) -> None:
    without = [node for node in lexicon.at("descriptor") if node.reference is None]
    assert len(without) > 50
    assert {ADULTS.refuses(node) for node in without} == {"it has no safe reference"}


# --- what is picked


def test_a_set_is_smelled_unlike_and_drawn_by_the_seed(lexicon) -> None:
    jars = pick_jars("balanced", 12, ADULTS, lexicon, 4)
    nodes = [lexicon[jar.node] for jar in jars.jars]
    assert {node.reference.use for node in nodes} == {"smell"}
    assert len({node.reference.what for node in nodes}) == len(set(jars.codes)) == 12
    assert jars == pick_jars("balanced", 12, ADULTS, lexicon, 4) != pick_jars("balanced", 12, ADULTS, lexicon, 5)


def test_goals_choose_what_they_say(lexicon) -> None:
    def families(jars: JarSet) -> Counter[str]:
        return Counter(lexicon.up_to(jar.node, "family") for jar in jars.jars)

    assert set(families(pick_jars("balanced", 12, ADULTS, lexicon, 1)).values()) == {1}
    assert set(families(pick_jars("family", 6, ADULTS, lexicon, 1, family="orchard"))) == {"orchard"}
    weak = pick_jars("weak spots", 6, ADULTS, lexicon, 1, weak=[PEAR, "flower-border/blossom/jasmine"])
    assert PEAR in weak.key.values()
    assert set(families(weak)) <= {"orchard", "flower-border"}


def test_a_set_that_cannot_be_is_refused_in_a_sentence(lexicon) -> None:
    for number in (5, 13):
        with pytest.raises(ValueError, match="6 to 12 jars"):
            pick_jars("balanced", number, ADULTS, lexicon)
    with pytest.raises(ValueError, match=r"Only \d+ references fit"):
        pick_jars("family", 6, ADULTS, lexicon, family="nowhere")
    with pytest.raises(ValueError, match="no goal 'best'"):
        pick_jars("best", 6, ADULTS, lexicon)


# --- what is printed


def test_the_labels_show_codes_only_and_the_key_opens_the_seal(lexicon) -> None:
    sealed = seal(SET.key)
    labels, key = label_page(SET, sealed.commitment), key_page(SET, sealed, lexicon)
    assert verify(SET.key, sealed)
    for jar in SET.jars:
        assert jar.code in labels
        assert lexicon[jar.node].label not in labels
        assert lexicon[jar.node].label in key
    assert sealed.nonce in key
    assert sealed.nonce not in labels


def test_the_shopping_list_says_how_to_prepare_and_no_code(lexicon) -> None:
    page = shopping_page(SET, Household(frozenset(PEOPLE[1:2])), lexicon)
    for jar in SET.jars:
        assert jar.code not in page
        assert lexicon[jar.node].reference.amount in page
    for said in ("10 minutes", "Cover each jar", "Allergens", "never taste", "choke a child"):
        assert said in page
    at = [page.index(lexicon[node].reference.what) for node in sorted(NODES, key=list(lexicon).index)]
    assert at == sorted(at)


# --- what was smelled


def test_the_first_asserted_word_of_an_answer_counts(lexicon) -> None:
    assert read_answer("no pear, rather quinse, or lemon", lexicon) == QUINCE
    assert read_answer("no idea at all", lexicon) is None


@pytest.mark.parametrize("level", ["realm", "family", "group", "descriptor"])
def test_confusion_statistics_are_those_of_scikit_learn(lexicon, level) -> None:
    # The reference: sklearn.metrics on the same labels, put together here by hand from the ids.
    answers = [QUINCE, QUINCE, "orchard/pome/green-apple", "orchard/stone/plum", "no word read", "hearth/smoke"]
    depth = ["realm", "family", "group", "descriptor"].index(level)
    realms = {"orchard": "fruit", "flower-border": "garden", "hearth": "fire-and-cellar"}

    def cut(node: str) -> str:
        if node == "no word read":
            return node
        parts = node.split("/")
        if depth == 0:
            return realms[parts[0]]
        return "/".join(parts[:depth]) if len(parts) >= depth else "a broader word"

    truth, told = [cut(node) for node in NODES], [cut(node) for node in answers]
    smelled = judge_jars(SET, dict(zip(SET.codes, TEXTS, strict=True)), lexicon, level=level)
    assert smelled.rate == pytest.approx(accuracy_score(truth, told))
    labels = sorted({*truth, *told})
    ours = smelled.matrix.reindex(index=labels, columns=labels, fill_value=0).to_numpy()
    np.testing.assert_array_equal(ours, confusion_matrix(truth, told, labels=labels))
    exact = binomtest(smelled.hits, 6).proportion_ci(method="exact")
    assert (smelled.low, smelled.high) == pytest.approx((exact.low, exact.high))


def test_the_guessing_rate_is_that_of_the_most_frequent_place(lexicon) -> None:
    texts = dict(zip(SET.codes, TEXTS, strict=True))
    assert judge_jars(SET, texts, lexicon).guessing == pytest.approx(1 / 6)
    assert judge_jars(SET, texts, lexicon, level="group").guessing == pytest.approx(3 / 6)
    one = JarSet("family", tuple(Jar(code, QUINCE) for code in SET.codes))
    assert "tells nothing" in judge_jars(one, texts, lexicon, level="realm").finding


def test_near_misses_are_told_by_the_tree(lexicon) -> None:
    smelled = judge_jars(SET, dict(zip(SET.codes, TEXTS, strict=True)), lexicon)
    # Wu–Palmer by hand: one group 2·3/8, one family 2·2/8; a group above its descriptor 2·3/7.
    assert smelled.near == (
        ("hearth/smoke/campfire", "hearth/smoke", pytest.approx(6 / 7)),
        (PEAR, QUINCE, 0.75),
        ("orchard/pome/apple", "orchard/pome/green-apple", 0.75),
        ("orchard/stone/cherry", "orchard/stone/plum", 0.75),
    )
    assert smelled.hits == 1
    assert "1 of 6 jars were named right to the descriptor" in smelled.finding
    assert "cannot tell it from guessing" in smelled.finding


def test_an_unanswered_jar_is_asked_for(lexicon) -> None:
    with pytest.raises(ValueError, match="Jar 217 has no answer"):
        judge_jars(SET, {}, lexicon)


@pytest.mark.parametrize(("count", "of"), [(0, 6), (6, 6), (3, 12), (1, 7)])
def test_the_interval_is_that_of_scipy(count, of) -> None:
    exact = binomtest(count, of).proportion_ci(method="exact")
    assert clopper_pearson(count, of) == pytest.approx((exact.low, exact.high))


def test_what_is_no_proportion_is_refused() -> None:
    with pytest.raises(ValueError, match="no proportion"):
        clopper_pearson(3, 2)
