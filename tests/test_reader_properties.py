"""What holds of every reading, whatever the note: it never fails, its spans are sound, and nothing incidental matters.

Notes are generated from the lexicon's own words. Left out of them: labels with capitals, which may be names; words
that are also brewing data, a scene or everyday speech, whose reading rests on their neighbours, as all mouth and whole-cup
words do but for a few; headings, back-references ("gone later") and hedges of a whole note ("not sure about any of it").
"""

import json
import os
import subprocess
import sys
import time
import unicodedata

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from redolent.lexicon import Lexicon
from redolent.notes import Mention, read

LEXICON = Lexicon.load()


def bounded(n):
    return settings(max_examples=n, derandomize=True, deadline=None, database=None)


FRAGMENTS = """no|not |n't |isn’t|without |a hint of |very |maybe |sort of |?|.|,|, | and | or |/|-|–|(|)|"|“|‘|'|’|&|:|;|!|…|\n|\t
|plum|roses|quince-like|dried |jam|black tea|red and black currant|body|finish|long |heavy |sweet|acidity|smoke|velvt|
more like pear than apple|rather than |instead of |where the |gone|again|not sure about this one|I wanted more |is absent
|Rose poured|she got |ate |18 g|1:16|4:40|w/o |v. |Dry:|FINISH - |☕|🫐|é|açaí|crème brûlée|ﬁg|½|٣|①|İ|ı|ß|Ǆ|Å|ﷺ|\u0301|\u200d|\u00ad|\u202e|\x00|\ud800|\udfff|\U0010ffff""".split("|")
ANY_CHARACTER = st.characters(exclude_categories=())
ANY_TEXT = st.one_of(
    st.text(ANY_CHARACTER, max_size=40),
    st.lists(st.one_of(st.sampled_from(FRAGMENTS), ANY_CHARACTER, st.just(" ")), max_size=24).map("".join),
)

EVERYDAY = frozenset()


def label_words():
    for node in LEXICON.values():
        if node.spoken and node.sense == "nose" and node.level == "descriptor":
            yield node.label


SMELLS = sorted({w for w in label_words() if w.isascii() and w.replace(" ", "").isalpha() and w.islower()})
