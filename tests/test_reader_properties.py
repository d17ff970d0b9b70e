"""What holds of every reading: it never fails, its spans are sound, and nothing incidental matters.

Notes about case and full stops are generated from the lexicon's labels and a few phrases round them. Left out
are labels with a capital ("Earl Grey"; it may be a name), people and places, headings, back-references ("gone
when cool"), question marks and doubts about a whole note ("not sure about any of this").
"""

import json
import os
import subprocess
import sys
import time
import timeit
import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from redolent.lexicon import Lexicon
from redolent.notes import read

LEXICON = Lexicon.load()


def bounded(examples):
    return settings(max_examples=examples, derandomize=True, deadline=None, database=None)


def phrases(lines):
    return lines.strip("\n").replace("\n", "|").split("|")


# Anything that can be typed or pasted, and much that cannot.
FRAGMENTS = phrases("""
no |not |n't |isn’t|without |a hint of |very |maybe |sort of |?|.|,|, | and | or |/|-|–|(|)|"|“|‘|'|’|&|:|;|!
…|plum|roses|quince-like|dried |jam|black tea|red and black currant|body|finish|long |heavy |sweet|acidity
smoke|velvt|more like pear than apple|rather than |instead of |where the |gone|again|not sure about this one
I wanted more |is absent|Rose poured|she got |ate |18 g|1:16|4:40|w/o |v. |Dry:|FINISH - |açaí|crème brûlée
☕|🫐|é|ﬁg|½|٣|①|İ|ı|ß|Ǆ|Å|ﷺ
""")
ODDITIES = ["\n", "\r\n", "\t", "\x00", "\ud800", "\udfff", "\u0301", "\u200d", "\u00ad", "\u202e", "\u2028"]
CHARACTERS = st.characters(exclude_categories=())
ANYTHING = st.one_of(
    st.text(CHARACTERS, max_size=40),
    st.lists(st.one_of(st.sampled_from(FRAGMENTS), st.sampled_from([" ", *ODDITIES]), CHARACTERS), max_size=24).map(
        "".join
    ),
)

LABELS = sorted({label for node in LEXICON.values() if node.spoken for label in node.labels})
WORDS = [w for w in LABELS if w.isascii() and w.replace(" ", "").isalpha() and w.islower()]
ACCENTED = [w for w in LABELS if not w.isascii()]

OPENINGS = phrases("""
|tastes of|very|a hint of|hints of|lots of|not too|slightly|so much|no|not|without|it lacks|it isn't|maybe
could be|sort of|almost|hardly any|instead of|more like|less|not only|I wanted more|dried|roasted
""")
CLOSINGS = ["", "", "", " is absent", " never arrived", ", I think", " everywhere", " fades", " at the back"]
JOINTS = [", ", " and ", " or ", " but ", ", then ", " rather than ", " with "]


@st.composite
def sentences(draw, words):
    """Draw a sentence without its full stop: an opening, some words of the lexicon, and a closing."""
    parts = [draw(st.sampled_from(OPENINGS)), " ", draw(st.sampled_from(words))]
    for _ in range(draw(st.integers(0, 3))):
        parts += [draw(st.sampled_from(JOINTS)), draw(st.sampled_from(words))]
    return "".join([*parts, draw(st.sampled_from(CLOSINGS))]).strip()


def notes(words=tuple(WORDS)):
    """Draw one to three sentences, the last without its full stop."""
    return st.lists(sentences(words), min_size=1, max_size=3).map(". ".join)


def judged(reading):
    return [(m.node, m.present, m.strength, m.hedged, m.how) for m in reading.mentions]


def spanned(reading, by=0):
    return [(m.start + by, m.end + by, *rest) for m, rest in zip(reading.mentions, judged(reading), strict=True)]


def loose(reading, by=0):
    return [(u.start + by, u.end + by) for u in reading.unplaced]


@bounded(500)
@given(ANYTHING)
def test_any_text_is_read_and_its_spans_are_sound(text):
    reading = read(text)
    assert reading.text == text
    end = 0
    for m in reading.mentions:
        assert end <= m.start < m.end <= len(text)
        assert m.text == text[m.start : m.end]
        assert m.node in LEXICON
        end = m.end
    taken = {i for m in reading.mentions for i in range(m.start, m.end)}
    for u in reading.unplaced:
        assert 0 <= u.start < u.end <= len(text)
        assert u.text == text[u.start : u.end]
        assert taken.isdisjoint(range(u.start, u.end))
        taken.update(range(u.start, u.end))


@bounded(100)
@given(st.one_of(ANYTHING, notes()))
def test_reading_twice_gives_the_same(text):
    assert read(text) == read(text)


def test_reading_does_not_depend_on_the_hash_seed():
    """Read in processes that order their sets differently."""
    script = (
        "import json, sys\n"
        "from redolent.notes import read\n"
        "print(json.dumps([read(t).to_dict() for t in json.load(sys.stdin)]))"
    )
    typed = [
        "blakcurrant, chery or pech",
        "vanila nutmeg caramell toffe",
        "no smke, ahs or rubbr, jst sweeet",
    ]
    texts = json.dumps([*typed, *(f"{word}e and {word[:-1]}" for word in WORDS[::5])])
    printed = {
        subprocess.run(
            [sys.executable, "-c", script],
            input=texts,
            env=os.environ | {"PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(printed) == 1
    assert len(json.loads(printed.pop())) > 300


@bounded(200)
@given(st.one_of(ANYTHING, notes(words=ACCENTED)))
def test_composed_and_decomposed_letters_read_alike(text):
    composed, decomposed = (unicodedata.normalize(form, text) for form in ("NFC", "NFD"))
    assert judged(read(composed)) == judged(read(decomposed))


def test_offsets_are_of_the_text_as_given():
    note = "Crème fraîche, açaí"
    for form, starts in (("NFC", [0, 15]), ("NFD", [0, 17])):
        text = unicodedata.normalize(form, note)
        assert [m.start for m in read(text).mentions] == starts
        assert [m.text for m in read(text).mentions] == text.split(", ")


APOSTROPHES = ["it isn't sour", "baker's chocolate", "there's no smoke", "doesn't taste of plum", "'quince'"]


@pytest.mark.parametrize("quote", ["’", "‘"])
def test_curly_quotes_read_as_straight_ones(quote):
    @bounded(200)
    @given(st.one_of(notes(words=(*APOSTROPHES, *WORDS[::40])), ANYTHING))
    def check(text):
        straight = text.translate({ord(c): "'" for c in "‘’"})
        curly = straight.replace("'", quote)
        assert spanned(read(curly)) == spanned(read(straight))
        assert loose(read(curly)) == loose(read(straight))

    check()


@bounded(200)
@given(notes(), st.sampled_from([str.upper, str.capitalize]))
def test_case_does_not_matter(note, case):
    assert spanned(read(note.lower())) == spanned(read(case(note)))


@bounded(300)
@given(notes(), notes())
def test_two_notes_with_a_full_stop_between_read_as_each_alone(first, second):
    both, shift = read(f"{first}. {second}"), len(first) + 2
    one, other = read(first), read(second)
    assert spanned(both) == [*spanned(one), *spanned(other, shift)]
    assert loose(both) == [*loose(one), *loose(other, shift)]


# Each is repeated until the note is long enough: runs that nest, lists that never end, cues that stay open.
LONG = {
    "one word": ("", "a"),
    "unknown words": ("", "velvt "),
    "no stops": ("", "plum "),
    "a list": ("", "plum, "),
    "pairs": ("", "plum and "),
    "denials": ("", "no smoke, "),
    "one denial": ("No ", "plum, "),
    "one doubt": ("Maybe ", "plum, "),
    "alternatives": ("", "no smoke or "),
    "questions": ("", "plum? "),
    "doubts": ("", "plum making it up "),
    "open cues": ("", "not a hint of maybe very "),
    "comparisons": ("", "more like pear than apple, "),
    "shared heads": ("", "red and black currant, "),
    "dishes": ("", "plum and fig jam, "),
    "treatments": ("", "dried and "),
    "bodies": ("", "body "),
    "finishes": ("", "a long sweet finish that lingers "),
    "others": ("", "Saffron swears she got apple, "),
    "wishes": ("", "plum wanted, "),
    "hyphens": ("", "-a"),
    "apostrophes": ("", "a'"),
    "brackets": ("", "("),
    "blanks": ("", " \n"),
    "combining marks": ("", "e\u0301\u0301"),
    "numbers": ("", "1.1:1/"),
}


def patterns():
    for name, (head, unit) in LONG.items():
        yield pytest.param(head, unit, id=name)


def seconds(text):
    return timeit.timeit(lambda: read(text), timer=time.process_time, number=1)


def growth(head, unit, length, tries=20):
    """Give how many times as long a note of twice the length takes, by the best of a few tries."""
    short, long = ((head + unit * (n // len(unit) + 1))[:n] for n in (length, 2 * length))
    shortest = longest = float("inf")
    for _ in range(tries):
        shortest, longest = min(shortest, seconds(short)), min(longest, seconds(long))
        if longest < 3 * shortest:
            break
    return longest / shortest


@pytest.mark.parametrize(("head", "unit"), list(patterns()))
def test_a_long_note_is_read_in_linear_time(head, unit):
    """Double the note up to 100,000 characters: a quadratic reader is caught before it takes minutes."""
    read(head + unit)
    for length in (3_125, 6_250, 12_500, 25_000, 50_000):
        assert growth(head, unit, length) < 3, f"{2 * length} characters"
