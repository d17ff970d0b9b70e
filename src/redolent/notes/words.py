"""The wide word list: which words are real, and which name something one could smell or taste.

Derived from WordNet 3.1 by ``lexicon/wordnet/derive.py``; its licence stands beside it.
"""

from functools import lru_cache

from redolent.lexicon.forms import VOWELS, ends_in_bare_y
from redolent.shipped import shipped

# Words that grammar needs and that no dictionary of nouns, verbs, adjectives and adverbs lists.
FUNCTION_WORDS = frozenset(
    """a an and any anybody anyone anything are aren't as at be because been being but by can can't cannot
    could couldn't did didn't do does doesn't doing don't down each either else ever every everybody
    everyone everything few for from had hadn't has hasn't have haven't having he her here hers herself him
    himself his how i if in into is isn't it its itself just like many me might mine more most much must my
    myself neither never no nobody none nor not nothing of off on once one only onto or other ours ourselves
    out over own per quite rather same shall she should shouldn't since so some somebody someone something
    such than that the their theirs them themselves then there these they this those though through till to
    too toward towards under unless until up upon us very was wasn't we were weren't what whatever when
    where whereas whether which while who whom whose why will with within without won't would wouldn't yes
    yet you your yours yourself although amid among around before behind below beneath beside besides
    between beyond despite during except following including inside near outside plus regarding underneath
    unlike versus via worth i'm i've i'll i'd it's that's there's he's she's we're they're you're let's
    what's who's where's here's ain't mustn't okay ok hmm mmm oh ah wow yum yuck lol haha hey nope yeah yep um uh
    whoa""".split()
)

# Irregular forms of common words: WordNet's lemma lists leave them out.
_IRREGULAR = frozenset(
    """arose arisen ate awoke awoken beaten became been befell began begun beheld bent bereft besought beset
    bet betrayed bidden bit bitten bled blew blown bore born borne bought bound bred broke broken brought
    built burnt burst came cast caught chose chosen clung cost crept cut dealt did done drank drawn dreamt
    drew driven drove drunk dug dwelt eaten fallen fed fell felt fled flew flown flung forbade forbidden
    forgave forgiven forgot forgotten forsaken fought found froze frozen gave given goes gone got gotten
    grew ground grown had has heard held hewn hid hidden hit hung hurt kept knelt knew known laid lain lay
    leant leapt learnt led left lent let lit lost made meant met mislaid mistaken mistook mown overcame
    overcome overdid overdone overheard overtaken overtook overthrew paid pled proven put quit ran rang read
    rebuilt redone remade rent repaid reread rewritten rid ridden risen rode rose rung sang sank sat saw
    sawn sealt seen sent set sewn shaken shaven shed shod shone shook shorn shot shown shrank shrunk shut
    slain slept slew slid slit slung smelt sold sought sown span sped spelt spent spilt spit split spoilt
    spoke spoken sprang spread sprung spun stank stole stolen stood stridden strode strove struck strung
    stuck stung stunk sung sunk swam swelled swept swollen swore sworn swum swung taken taught thought threw
    thrived thrown thrust told took tore torn trod trodden undergone understood undertook underwent undid
    undone unwound upheld upset went wept were wet withdrawn withdrew withheld withstood woke woken won wore
    worn wound wove woven wrote written wrung better best worse worst further farther elder eldest less
    least more most latter children men women people feet teeth mice geese lice oxen knives leaves lives
    halves loaves shelves wolves thieves wives calves hooves themselves memories criteria
    phenomena""".split()
)

_ENDINGS = (
    ("ies", "y"), ("es", ""), ("es", "e"), ("s", ""), ("ied", "y"), ("ed", ""), ("ed", "e"), ("ing", ""),
    ("ing", "e"), ("ier", "y"), ("iest", "y"), ("er", ""), ("er", "e"), ("est", ""), ("est", "e"),
    ("ly", ""), ("ily", "y"), ("ness", ""), ("iness", "y"),
)  # fmt: skip


@lru_cache(maxsize=1)
def _words() -> dict[str, str]:
    text = (shipped("lexicon") / "wordnet" / "words.txt").read_text(encoding="ascii")
    return dict(line.split(" ", 1) for line in text.splitlines())


@lru_cache(maxsize=65536)
def lemma(word: str) -> str | None:
    """Give the dictionary form of a folded `word`, or None where it is no real word.

    >>> lemma("plump"), lemma("dries"), lemma("sipped"), lemma("velvetty")
    ('plump', 'dry', 'sip', None)
    """
    words = _words()
    if word.endswith("'s"):
        word = word[:-2]
    if word in words or word in FUNCTION_WORDS or word in _IRREGULAR:
        return word
    for ending, instead in _ENDINGS:
        if word.endswith(ending) and len(word) > len(ending) + 1:
            base = word[: len(word) - len(ending)] + instead
            if ending == "es" and not instead and not base.endswith(("s", "x", "z", "ch", "sh", "o")):
                continue  # "bitternes" is no bittern
            if ending == "s" and ends_in_bare_y(base):
                continue  # "cherrys" is a slip
            if ending == "ly" and "a" not in words.get(base, ""):
                continue  # "oilly" is a slip
            if base in words:
                return base
            doubled = not instead and ending in ("ed", "ing", "er", "est") and base[-1:] == base[-2:-1]
            if doubled and base[-3:-2] in VOWELS and base[:-1] in words:
                return base[:-1]  # but "fermentted" is a slip
    return None


def is_word(word: str) -> bool:
    """Say whether `word` is a WordNet lemma, an inflection of one, or a listed function word."""
    return lemma(word) is not None


@lru_cache(maxsize=1)
def list_common() -> frozenset[str]:
    """Give the words that every writer uses: WordNet's common lemmas, and function words without an apostrophe."""
    common = (word for word, said in _words().items() if said.endswith("c"))
    return frozenset(filter(str.isalpha, FUNCTION_WORDS)).union(common)


def flags(word: str) -> str:
    """Give the parts of speech (``n v a r``) and kinds (``f`` food, ``p`` plant, ``s`` stuff) of `word`.

    At the end of a common word stands a ``c``.
    """
    base = lemma(word)
    return _words().get(base, "") if base else ""
