"""How alike two places and two readings are: values worked by hand on the shipped tree."""

from itertools import pairwise

import numpy as np
import pytest

from redolent.lexicon import Lexicon
from redolent.notes.reading import Mention, Reading
from redolent.notes.similarity import Profile, node_similarity, reading_similarity

LEXICON = Lexicon.load()
QUINCE, PEAR, PEACH = "orchard/pome/quince", "orchard/pome/pear", "orchard/stone/peach"
RASPBERRY, JASMINE = "berry-patch/bramble/raspberry", "flower-border/blossom/jasmine"


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        (QUINCE, QUINCE, 1),
        (QUINCE, PEAR, 2 * 3 / 8),  # realm, family and group shared; 4 + 4 steps down
        (QUINCE, PEACH, 2 * 2 / 8),
        (QUINCE, RASPBERRY, 2 * 1 / 8),
        (QUINCE, JASMINE, 0),  # only the root shared, and the root has depth 0
        (QUINCE, "orchard/pome", 2 * 3 / 7),
        (QUINCE, "orchard", 2 * 2 / 6),
        (QUINCE, "fruit", 2 * 1 / 5),
        ("fruit", "garden", 0),
        ("orchard", "berry-patch", 2 * 1 / 4),
    ],
)
def test_two_places(a, b, expected):
    assert node_similarity(a, b, LEXICON) == pytest.approx(expected)
    assert node_similarity(b, a, LEXICON) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        (([QUINCE, JASMINE], []), ([PEAR], []), (0.75 + 0 + 0.75) / 3),
        (([QUINCE, PEAR], []), ([PEAR], []), (0.75 + 1 + 1) / 3),
        (([QUINCE, PEAR], []), ([PEAR], [QUINCE]), (0 + 1 + 1) / 3),
        (([QUINCE], []), ([PEAR], [QUINCE]), 0),  # the denied one is not found by the other side either
        (([QUINCE, JASMINE], []), ([JASMINE], ["fruit"]), (0 + 1 + 1) / 3),
        (([QUINCE], []), ([PEAR], [JASMINE]), 0.75),
        (([QUINCE], []), ([], []), 0),
        (([QUINCE], []), ([], [JASMINE]), 0),
        (([QUINCE, PEAR], []), ([PEAR], ["fruit"]), (0 + 1 + 1) / 3),  # "no fruit but pear"
        (([QUINCE], [QUINCE]), ([QUINCE], [QUINCE]), 1),  # said to be there at one stage: it was there
    ],
)
def test_two_profiles(a, b, expected):
    a, b = Profile.of(*a), Profile.of(*b)
    assert reading_similarity(a, b, LEXICON) == pytest.approx(expected)
    assert reading_similarity(b, a, LEXICON) == pytest.approx(expected)


@pytest.mark.parametrize("denied", [[], [QUINCE]])
def test_two_that_assert_nothing_have_no_similarity(denied):
    assert reading_similarity(Profile.of([], denied), Profile.of([]), LEXICON) is None


def test_readings_leave_out_doubts_and_inferred_places():
    sure = Mention(0, 6, "quince", QUINCE)
    doubt = Mention(8, 12, "pear", PEAR, hedged=True)
    wide = Mention(14, 20, "medlar", PEACH, how="inferred")
    gone = Mention(22, 29, "jasmine", JASMINE, present=False)
    reading = Reading("quince, pear?, medlar, no jasmine", (sure, doubt, wide, gone))
    assert Profile.of_reading(reading) == Profile.of([QUINCE], [JASMINE])
    assert reading_similarity(reading, Reading("pear", (Mention(0, 4, "pear", PEAR),)), LEXICON) == 0.75


def test_any_two_profiles_are_alike_by_the_same_share_in_either_order():
    rng = np.random.default_rng(1)
    nodes = list(LEXICON)
    drawn = [Profile.of(rng.choice(nodes, 6), rng.choice(nodes, 3)) for _ in range(60)]
    for a, b in pairwise(drawn):
        alike = reading_similarity(a, b, LEXICON)
        assert alike == reading_similarity(b, a, LEXICON)
        assert 0 <= alike < 1
        assert reading_similarity(a, a, LEXICON) == 1


def test_the_best_match_as_trying_all_gives_it():
    rng = np.random.default_rng(2)
    nodes = [node for node in LEXICON if node.split("/")[0] in ("fruit", "orchard", "berry-patch", "citrus-grove")]
    for _ in range(30):
        a, b = set(rng.choice(nodes, 5)), set(rng.choice(nodes, 7))
        best = [max(node_similarity(x, y, LEXICON) for y in b) for x in a]
        best += [max(node_similarity(x, y, LEXICON) for x in a) for y in b]
        expected = pytest.approx(sum(best) / len(best))
        assert reading_similarity(Profile.of(a), Profile.of(b), LEXICON) == expected


def test_a_node_that_is_not_in_the_lexicon():
    with pytest.raises(KeyError):
        node_similarity(QUINCE, "orchard/pome/nowhere", LEXICON)
