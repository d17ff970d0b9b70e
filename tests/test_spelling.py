"""Which words a slip is compared with: all that are near enough, by a search that takes no short cut."""

import random
import string

import pytest
from rapidfuzz import process
from rapidfuzz.distance import OSA

from redolent.notes.match import vocabulary
from redolent.notes.spelling import SHORTEST, Speller
from redolent.notes.words import list_common

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
    # RapidFuzz's optimal string alignment against every word that is compared.
    rng = random.Random(slips)
    compared = speller.known | list_common()
    known = sorted(word for word in compared if len(word) >= SHORTEST)
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


@pytest.mark.parametrize("word", ["plump", "mind", "pearl", "barely", "floor"])
def test_a_real_word_is_never_corrected(speller: Speller, word: str) -> None:
    assert speller.correct(word) is None


SLIPS = """
rasbery raspberry   tangarine tangerine   vanlila vanilla   bergamott bergamot   juicey juicy   mouldey mouldy
oilly oily   cherrys cherries   berrys berries   fermentted fermented   sulfer sulfur   strawberrys strawberries
"""


@pytest.mark.parametrize(("typed", "meant"), list(zip(SLIPS.split()[::2], SLIPS.split()[1::2], strict=True)))
def test_a_slip_finds_its_word(speller: Speller, typed: str, meant: str) -> None:
    assert speller.correct(typed) == meant


# What people write for receive, religious, apparent, guarantee, achieve, business, misspell and their like; from memory
# of the lists of common misspellings in English usage guides. A descriptor is within two letters of each.
@pytest.mark.parametrize("typed", "recieve religous aparent garantee acheive buisness parliment miniture".split())
def test_a_slip_of_a_common_word_is_none_of_a_descriptor(speller: Speller, typed: str) -> None:
    assert process.extractOne(typed, speller.known, scorer=OSA.distance, score_cutoff=2) is not None
    assert speller.correct(typed) not in vocabulary().words
