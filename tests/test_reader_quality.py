"""The reader against notes labelled by hand: those that came with the rulings, and two halves of our own.

``development.jsonl`` was looked at while the reader was written, ``held_out.jsonl`` was not: nothing here
shows which of its notes are misread, and nothing should.
"""

import pytest
from scoring import Labelled, Scores, load, score

from redolent.lexicon import Lexicon
from redolent.notes import Mention, read

STRICT, WHOLE, DENIED = 0.90, 0.82, 0.88
SETS = ("examples", "development", "held_out")
LEXICON = Lexicon.load()


@pytest.mark.parametrize("name", SETS)
def test_the_reader_reaches_its_bars(name, capsys):
    notes = load(name)
    scores = score([read(n.text).mentions for n in notes], [n.mentions for n in notes], LEXICON)
    with capsys.disabled():
        print(f"\n{name:12s} {len(notes):4d} notes  {scores}")
    # Whether, not which: the figures alone are compared, so that a failure shows no note.
    reached = scores.strict >= STRICT, scores.whole >= WHOLE, scores.denied >= DENIED
    assert reached == (True, True, True), f"{name}: {scores}"


@pytest.mark.parametrize("name", SETS)
def test_labels_are_sound(name):
    """Count what is wrong with the labels, without showing a note."""
    notes = load(name)
    assert len({n.id for n in notes}) == len(notes) >= 60
    assert sum(misplaced(note) for note in notes) == 0


def test_no_note_is_in_two_sets():
    texts = [n.text.casefold() for name in SETS for n in load(name)]
    repeated = len(texts) - len(set(texts))
    assert repeated == 0


def misplaced(note: Labelled) -> int:
    """Count the labels of a note whose span, order or place is wrong."""
    ends = [0, *(m.end for m in note.mentions)]
    return sum(
        note.text[m.start : m.end] != m.text
        or not m.text.strip()
        or m.start < end
        or m.node not in LEXICON
        or LEXICON[m.node].level == "descriptor"
        or (not m.present and m.strength is not None)
        for m, end in zip(note.mentions, ends, strict=False)
    )


def mention(start, end, node, present=True, strength=None, hedged=False):
    return Mention(start, end, "x" * (end - start), node, present, strength, hedged)


def test_scores_worked_by_hand():
    """Score five labels: two hit whole, one hit but asserted, one read in another group, one missed."""
    labels = [
        [mention(0, 4, "orchard/stone"), mention(10, 15, "hearth/smoke", present=False)],
        [
            mention(0, 5, "tongue/sour", present=False),
            mention(6, 9, "orchard/pome", strength="slight"),
            mention(12, 16, "fruit"),
        ],
    ]
    found = [
        [mention(0, 8, "orchard/stone/plum"), mention(11, 15, "hearth/smoke", present=False)],
        [mention(0, 5, "tongue/sour"), mention(6, 9, "orchard/stone"), mention(20, 24, "fruit")],
    ]
    assert score(found, labels, LEXICON) == Scores(
        strict=2 * 3 / (5 + 5), whole=2 * 2 / (5 + 5), denied=2 * 1 / (1 + 2), predicted=5, labelled=5
    )


def test_a_label_is_hit_once():
    label = [mention(0, 10, "orchard/stone", hedged=True)]
    found = [mention(0, 3, "orchard/stone"), mention(4, 10, "orchard/stone/plum", hedged=True)]
    assert score([found], [label], LEXICON) == Scores(2 / 3, 2 / 3, 0.0, 2, 1)


def test_nothing_read_scores_nothing():
    assert score([[]], [[mention(0, 4, "fruit")]], LEXICON) == Scores(0.0, 0.0, 0.0, 0, 1)
