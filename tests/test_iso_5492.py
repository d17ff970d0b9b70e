"""The mouth and whole-cup terms of ISO 5492 (Sensory analysis: Vocabulary) have their place in the lexicon.

The terms are listed from memory, by name alone: the standard was not at hand, and no wording of it is used here.
"""

from collections import Counter

import pytest

from redolent.lexicon import Lexicon, fold

LEXICON = Lexicon.load()
RUN = 5  # words that two definitions may not share in a row

# A row: the term of the standard; the word of a note that says it, where the term itself is not the one; its node.
PLACED = """
sweetness        | sweet         | tongue/sweet
sourness         | sour          | tongue/sour
acidity          | acid          | tongue/sour
bitterness       | bitter        | tongue/bitter
saltiness        | salty         | tongue/salty
alkalinity       | alkaline      | tongue/salty/alkaline
umami            |               | tongue/umami
astringency      | astringent    | touch/drying/astringent
pungent          |               | touch/tingle/pungent
burning          |               | touch/tingle/burning
cooling          |               | touch/tingle/cooling
warming          |               | touch/tingle/warming
tingling         |               | touch/tingle
effervescent     |               | touch/tingle/effervescent
metallic         |               | open-ground/mineral/metal
viscosity        | viscous       | touch/weight/viscous
fluidity         | thin          | touch/weight/thin
thick            |               | touch/weight/thick
denseness        | dense         | touch/weight/dense
heavy            |               | touch/weight/heavy
light            |               | touch/weight/light
aerated          | airy          | touch/weight/airy
adhesiveness     | sticky        | touch/texture/sticky
chewiness        | chewy         | touch/texture/chewy
gumminess        |               | touch/texture/stodgy
softness         | soft          | touch/texture/soft
granularity      | grainy        | touch/texture/grainy
smooth           |               | touch/texture/smooth
powdery          |               | touch/texture/powdery
chalky           |               | touch/texture/chalky
gritty           |               | touch/texture/gritty
sandy            |               | touch/texture/sandy
coarse           |               | touch/drying/coarse
moisture         | watery        | touch/weight/watery
dry              |               | touch/drying/dry
juicy            |               | touch/texture/juicy
oily             |               | touch/texture/oily
greasy           |               | touch/texture/greasy
creamy           |               | touch/texture/creamy
body             | full-bodied   | touch/weight/full-bodied
persistence      | persistent    | passage/finish/persistent
residual taste   | lingering     | passage/finish/lingering
balance          | balanced      | whole-cup/balance/balanced
clear            |               | whole-cup/clarity/transparent
transparent      |               | whole-cup/clarity/transparent
translucent      |               | whole-cup/clarity/transparent
opaque           |               | whole-cup/clarity/murky
cloudy           |               | whole-cup/clarity/murky
bright           |               | whole-cup/liveliness/bright
dull             |               | whole-cup/liveliness/dull
flat             |               | whole-cup/liveliness/flat
bland            |               | whole-cup/liveliness/bland
insipid          |               | whole-cup/liveliness/bland
crispness        | crisp         | whole-cup/liveliness/crisp
taint            | tainted       | whole-cup/clarity/tainted
off-flavour      |               | whole-cup/clarity/tainted
"""

# The terms that name no descriptor, each with the reason.
UNPLACED = {
    "taste": "general: the sense, or any of its sensations",
    "flavour": "general: all that nose and mouth tell together",
    "aroma": "general: any smell",
    "odour": "general: any smell",
    "off-odour": "general: any smell that does not belong",
    "note": "general: any part of a smell or flavour",
    "bouquet": "general: the smells of a drink together",
    "texture": "general: all that touch tells",
    "mouthfeel": "general: all that the mouth feels",
    "trigeminal": "general: the nerve, or any of its sensations",
    "kinaesthetic": "general: the sense of movement",
    "appearance": "of the eye: a note is on smell, taste and touch",
    "colour": "of the eye: a note is on smell, taste and touch",
    "gloss": "of the eye: a note is on smell, taste and touch",
    "shiny": "of the eye: a note is on smell, taste and touch",
    "matt": "of the eye: a note is on smell, taste and touch",
    "aftertaste": "a part of the tasting; a mention only with what it is like or how long it stays",
    "hardness": "of solids: no drink resists a bite",
    "fracturability": "of solids: no drink breaks",
    "crunchy": "of solids: no drink breaks",
    "tough": "of solids: no drink is chewed",
    "tender": "of solids: no drink is chewed",
    "springiness": "of solids: no drink comes back into shape",
    "elastic": "of solids: no drink comes back into shape",
    "firm": "of solids: no drink resists a bite",
    "fibrous": "of solids: the particles of a drink have no direction",
    "flaky": "of solids: the particles of a drink have no direction",
    "cellular": "of solids: a drink has no cells",
    "moist": "of solids: every drink is wet",
    "wet": "of solids: every drink is wet",
    "fatness": "of foods with fat: a cup feels oily, greasy or creamy, which are placed",
    "still": "of drinks that might fizz: the lack of a sensation, and an everyday word besides",
}

# Terms whose word names something else in the lexicon, and so says nothing here of what the standard means.
OTHERWISE = {
    "cohesiveness": (
        "whole-cup/balance/integrated",
        "of solids; of a cup it says that its parts hold together",
    ),
    "crystalline": (
        "whole-cup/clarity/crystalline",
        "of the grain of solids; of a cup it says how clear it is",
    ),
}

ROWS = [[cell.strip() for cell in row.split("|")] for row in PLACED.strip().splitlines()]
TERMS = [(term, word or term, node) for term, word, node in ROWS]


def runs(definition: str) -> set[tuple[str, ...]]:
    """Give every run of `RUN` words."""
    words = "".join(c if c.isalnum() or c == "'" else " " for c in fold(definition)).split()
    return set(zip(*(words[start:] for start in range(RUN)), strict=False))


HOLDERS = Counter(run for node in LEXICON.values() for run in runs(node.definition))


@pytest.mark.parametrize(("term", "word", "place"), TERMS, ids=[term for term, *_ in TERMS])
def test_a_term_is_found_where_it_belongs(term: str, word: str, place: str) -> None:
    found = LEXICON.find(word)
    assert found is not None, f"{term}: the lexicon does not know {word!r}"
    assert found.id == place


@pytest.mark.parametrize("place", sorted({place for *_, place in TERMS}))
def test_the_definition_of_a_term_is_its_own(place: str) -> None:
    definition = LEXICON[place].definition
    assert definition.strip()
    assert [" ".join(run) for run in sorted(runs(definition)) if HOLDERS[run] > 1] == []


@pytest.mark.parametrize("term", UNPLACED)
def test_a_term_that_says_nothing_of_a_cup_names_no_node(term: str) -> None:
    assert LEXICON.find(term) is None


@pytest.mark.parametrize("term", OTHERWISE)
def test_a_term_of_another_meaning_names_another_thing(term: str) -> None:
    found = LEXICON.find(term)
    assert found is not None
    assert found.id == OTHERWISE[term][0]


def test_no_term_is_listed_twice() -> None:
    listed = [*(term for term, *_ in TERMS), *UNPLACED, *OTHERWISE]
    assert len(listed) == len(set(listed))
