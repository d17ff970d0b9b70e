"""The reveal: repeats side by side, strangers as the reference, hot to cool, new words."""

import pytest

from redolent.lexicon import Lexicon
from redolent.tasting import TastedCup, lay_open, reveal_sheet, tell_reveal

LEXICON = Lexicon.load()
CUPS = [
    TastedCup("417", "Lot 3", {"hot": "lemon and honey, maybe fig", "cool": "honey, rose"}),
    TastedCup("538", "Lot <b>4</b>", {"hot": "tobacco, cedar"}),
    TastedCup("846", "Lot 3", {"dry": "lemon", "hot": "cedar"}),
]
LEMON, HONEY, ROSE, CEDAR = (LEXICON.find(word).id for word in ("lemon", "honey", "rose", "cedar"))


def test_a_repeat_is_laid_beside_its_like():
    (pair,) = lay_open(CUPS, LEXICON).pairs
    assert (pair.coffee, pair.codes) == ("Lot 3", ("417", "846"))
    assert pair.shared == (LEMON,)
    assert pair.only == ((HONEY, ROSE), (CEDAR,))


def test_similarity_is_that_of_wu_and_palmer_and_strangers_are_the_reference():
    cups = [TastedCup("417", "A", {"hot": "lemon"}), TastedCup("538", "A", {"hot": "lime"})]
    cups.append(TastedCup("846", "B", {"hot": "cedar"}))
    result = lay_open(cups, LEXICON)
    # Wu & Palmer (1994), depths by hand: lemon and lime share realm, family and group, so 2 · 3 / (4 + 4);
    # cedar stands in another realm and shares nothing.
    assert result.pairs[0].similarity == pytest.approx(0.75)
    assert result.strangers == 0
    assert result.stranger_pairs == 2


def test_what_changed_from_hot_to_cool_and_what_is_new_today():
    result = lay_open(CUPS, LEXICON, known=[LEMON, CEDAR])
    (change,) = result.changes
    assert (change.code, change.gained, change.lost) == ("417", (ROSE,), (LEMON,))
    assert HONEY in result.new_words
    assert LEMON not in result.new_words
    assert LEXICON.find("fig").id not in result.new_words  # hedged


def test_the_reveal_is_told_with_all_text_escaped():
    result = lay_open(CUPS, LEXICON)
    told = tell_reveal(result, LEXICON)
    assert "Lot &lt;b&gt;4&lt;/b&gt;" in told
    assert "<b>4" not in told
    assert "<mark><bdi>lemon</bdi></mark>" in told
    assert "similarity" in told
    assert "mean of 2 pairs" in told
    page = reveal_sheet(result, LEXICON, taster="<i>Ilse</i>")
    assert "&lt;i&gt;Ilse" in page
    assert "default-src 'none'" in page


def test_a_table_without_a_repeat_or_a_word_says_so():
    told = tell_reveal(lay_open([TastedCup("417", "A", {}), TastedCup("538", "B", {})], LEXICON), LEXICON)
    assert "No coffee stood on the table twice" in told
    told = tell_reveal(lay_open([TastedCup("417", "A", {}), TastedCup("538", "A", {})], LEXICON), LEXICON)
    assert "no words to compare" in told
