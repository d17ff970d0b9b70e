"""Which words a slip is compared with: all that are near enough, by a search that takes no short cut."""

import random
import string

import pytest
from rapidfuzz import process
from rapidfuzz.distance import OSA

from redolent.notes.match import vocabulary
from redolent.notes.spelling import SHORTEST, Speller

LETTERS = string.ascii_lowercase + "éü"


@pytest.fixture(scope="module")
def speller() -> Speller:
    return vocabulary().speller


def slip(word: str, rng: random.Random) -> str:
    at, kind = rng.randrange(len(word)), rng.choice(("swap", "swap", "drop", "add", "change"))
    if kind == "swap" and at + 1 < len(word):
        return word[:at] + word[at + 1] + word[at] + word[at + 2 :]
    if kind == "drop":
        return word[:at] + word[at + 1 :]
    return word[:at] + rng.choice(LETTERS) + word[at + (kind == "change") :]


@pytest.mark.parametrize("slips", [1, 2])
def test_no_word_within_so_many_slips_is_passed_over(speller: Speller, slips: int) -> None:
    # RapidFuzz's optimal string alignment against every known word.
    rng = random.Random(slips)
    known = sorted(word for word in speller.known if len(word) >= SHORTEST)
    for word in rng.sample([word for word in known if len(word) >= SHORTEST + slips], 400):
        typed = word
        for _ in range(slips):
            typed = slip(typed, rng)
        allowed = 1 if len(typed) < 7 else 2
        near = {
            hit for hit, _, _ in process.extract(typed, known, scorer=OSA.distance, score_cutoff=allowed, limit=None)
        }
        assert near <= speller.find_near(typed, allowed)
    # A swap over the first cut of "rasp-ber-ries" with a letter too few, and one over each cut.
    assert "raspberries" in speller.find_near("rsapberies", 2) & speller.find_near("raspebrries", 2)
    assert "raspberry" in speller.find_near("rapsbrery", 2)


def test_few_words_are_compared(speller: Speller) -> None:
    assert len(speller.known) > 50_000
    assert len(speller.find_near("chocolatte", 2)) < 2_000


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("rasbery", "raspberry"), ("tangarine", "tangerine"), ("vanlila", "vanilla"), ("bergamott", "bergamot")],
)
def test_a_slip_finds_its_word(speller: Speller, typed: str, meant: str) -> None:
    assert speller.correct(typed) == meant


@pytest.mark.parametrize("word", ["plump", "mind", "pearl", "barely", "floor"])
def test_a_real_word_is_never_corrected(speller: Speller, word: str) -> None:
    assert speller.correct(word) is None
