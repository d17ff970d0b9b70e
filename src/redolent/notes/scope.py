"""Who governs what: denial, strength, doubt and comparison over the mentions of a note.

The note is walked once, left to right, sentence by sentence. A cue that looks forward stays open until its reach ends:

- ``next``: the next mention, and one joined to it by "and" ("very sweet and juicy");
- ``list``: every mention of the list that follows ("hints of rose, clove and cedar");
- ``clause``: every mention up to a turn ("but"), a new clause or a stop ("no smoke, ash or rubber");

and a cue that looks back takes the mention that ends just before it (``back``: "acidity is absent", "clove?"), the one
named last (``last``: "fennel, he says; I don't find it"), the one whose place the next takes (``replaced``: "peach, no,
apricot") or all of its sentence (``sentence``). Strength, doubt and denial never cross a stop or a heading.
"""

from bisect import bisect_left
from dataclasses import dataclass, field
from operator import attrgetter

from redolent.notes.aside import STOPS, TOLD, find_told
from redolent.notes.compose import MOUTH_AND_WHOLE, Draft
from redolent.notes.grammar import Cue, Effect, Phrase, Row, index_cues, words
from redolent.notes.match import Found
from redolent.notes.memory import Memory
from redolent.notes.reading import Cause, Strength
from redolent.notes.traits import trait

_SENTENCE_END = frozenset([".", "!", ";", "\n", "?"])
_BEFORE_SENTENCE = _SENTENCE_END | {":", "(", ""}
# Words between a cue and the mention it governs.
_FILLERS = words("fillers")
# A list goes on over these; anything else ends it.
_JOINTS = frozenset([",", "and", "or", "nor", "/", "+", "plus", "with"])
# Words that may stand before a member of a list and leave it bare.
_BARE = words("bare")
# Where a denial that has reached a mention ends.
_DENIAL_ENDS = words("denial_ends")
# A denial or a doubt ends here, besides at a stop.
_TURNS = words("turns")
_CLAUSE_SUBJECTS = words("clause_subjects")
_COPULA = words("linking")
# "very nice plum": what is very so is not the plum.
_VALUES = words("values")


_FIRST = attrgetter("first")

# One cue replaces another of its kind: a strength a strength.
_KIND = {"deny": "denial", "slight": "strength", "strong": "strength", "hedge": "doubt"}
_KIND_OF = frozenset("some any the this that proper same other".split())
_LIST_END = _SENTENCE_END | {"but", "just", "and", "only", ":", "though"}
_BETWEEN = _FILLERS | {"like", "to", "towards", "or", ",", "of", "from"}
# A cue that begins so never looks back over a comma, nor does a single adjective of strength.
_BOUND = frozenset(["n't", "not", "no", "it"]) | words("grades_after")
# Before what is said of a mention: "acidity: low", "honey (faint)", "honey - strong".
_POINTS = frozenset([":", "(", "-", "–", "—"])
# A doubt between things joined by or: "lemon or lime, can't decide".
_WHICH = frozenset(["which", "decide"])
_NO = frozenset(
    [("no",), ("nope",), ("nah",), ("not", "really"), ("not", "at"), ("not", "here"), ("none",), ("zero",), ("nil",)]
)
_MUCH = frozenset([("loads",), ("lots",), ("plenty",), ("tons",), ("heaps",)])
_YES = frozenset([("yes",), ("yep",), ("yeah",), ("yup",), ("definitely",), ("absolutely",)])
# "have gone", "vanished": they stand behind a subject and whatever is said of it.
_WENT = frozenset(["has", "have", "had", "vanished", "disappeared", "gone"])
_PARTS = frozenset(["that", "which", "from", "of", "in", "i", "we"])
_FARTHEST_SUBJECT = 12
# No list of one note is longer than this many tokens; it keeps reading linear.
_FARTHEST = 60


@dataclass(slots=True)
class Scope:
    """What holds of one mention, and why."""

    present: bool = True
    strength: Strength | None = None
    hedged: bool = False
    causes: list[Cause] = field(default_factory=list)

    def take(self, cause: Cause) -> None:
        """Take an effect; what is denied has no strength."""
        if cause.effect == "deny":
            self.present, self.strength = False, None
        elif cause.effect == "hedge":
            self.hedged = True
        elif not self.present:
            return
        elif cause.effect == "slight" or cause.effect == "strong":
            self.strength = cause.effect
        self.causes.append(cause)


# What holds of a mention that nothing turns. It is read, never changed.
PLAIN = Scope()


@dataclass(slots=True)
class _Open:
    """A cue that looks forward and is still open."""

    cue: Cue
    at: int
    why: Cause
    used: int = 0
    last: Found | None = None


_CUES = index_cues()


def _key(word: str) -> str:
    """Give a word as cues are written with it: "n't" for any that ends so."""
    return "n't" if word.endswith("n't") or word in ("cannot", "cant") else word


_KEYS = Memory(_key)
_CUE = trait(lambda word: _key(word) in _CUES.single)
_OPENS_CUE = trait(lambda word: _key(word) in _CUES.longer)
_NEGATED = trait(lambda word: _key(word) != word)
_ENDS = trait(_SENTENCE_END | {":"}, sought=False)
_THAN = trait(["than"])


class _Walk:
    """One pass over a draft."""

    def __init__(self, draft: Draft) -> None:
        self.draft, self.cover = draft, draft.cover
        self.keys = list(map(_KEYS.__getitem__, draft.words)) if draft.said & _NEGATED else draft.words
        self.scopes: dict[Found, Scope] = {}
        self.since = 0  # where the last cue that reaches over its whole sentence stands
        self.open: list[_Open] = []
        self.told = find_told(draft) if draft.said & TOLD else ()

    def scope(self, f: Found) -> Scope:
        """Give what holds of `f`; most mentions are plain and have nothing of their own."""
        scope = self.scopes.get(f)
        if scope is None:
            scope = self.scopes[f] = Scope()
        return scope

    def run(self) -> dict[Found, Scope]:
        """Give the scopes; where nothing is open, only the tokens at which a cue may begin are looked at."""
        draft, keys, cover = self.draft, self.keys, self.cover
        longer = {i for i in draft.where(_OPENS_CUE) if keys[i + 1] in _CUES.longer[keys[i]]}
        cues = longer.union(draft.where(_CUE))
        ahead = sorted(cues)
        i, n = 0, draft.end
        while i < n:
            if not self.open and not self.told:
                k = bisect_left(ahead, i)
                if k == len(ahead):
                    break
                i = ahead[k]
            f = cover[i]
            if f is not None:
                self._meet(f)
                i = f.last + 1
                continue
            step = (self._cue(i) if i in cues else 0) or 1
            if self.open:
                self._close(i, step)
            i += step
        return self.scopes

    def _named(self, start: int, stop: int) -> list[Found]:
        """Give the mentions that begin from token `start` up to `stop`."""
        found = self.draft.found
        return found[bisect_left(found, start, key=_FIRST) : bisect_left(found, stop, key=_FIRST)]

    def _cue(self, i: int) -> int:
        """Take the cue that begins at token `i`; give how many tokens it is, 0 where none begins."""
        back, forward = _CUES.find(self.keys, i, self.cover)
        if back is not None and back[1].reach == "last":
            if not self._reaches(i + len(back[0])):
                return self._take_back(back, i)
            back = None  # "couldn't find any fruit"
        elif back is not None and back[1].reach == "replaced":
            if self._replaces(i, i + len(back[0])):
                return self._take_back(back, i)
            back = None  # "no, no smoke"
        if back is not None:
            if back[0] == ("gone",) and self.draft.starting(i + 1):
                back = None  # "sugar gone sticky"
            elif back[0][-1] in ("not", "no", "nope") and self.keys[i + len(back[0])] not in STOPS | {""}:
                back = None  # "sweet it is not what I'd call"
            elif self.keys[i + len(back[0]) : i + len(back[0]) + 1] == ["of"]:
                back = None  # "coconut and a touch of salt"
            elif _KIND.get(back[1].effect) == "strength" and self.draft.starting(i + len(back[0])):
                forward, back = (back[0], Cue(back[1].effect, "next")), None  # "very soft acidity"
        if back is not None and (
            forward is None or len(back[0]) > len(forward[0]) or not self._reaches(i + len(forward[0]))
        ):
            far = back[0][-1] in _WHICH or (back[1].effect != "hedge" and back[0][0] not in _BOUND)
            f = self._before(i, far)
            if f is None and back[0] == ("none",) and "there" in (self.draft.word(i - 2), self.draft.word(i - 1)[:5]):
                return self._take_back(back, i)  # "some spice, but there is none"
            if f is None and back[1].effect == "deny" and back[0][0] in _WENT:
                f = self._subject(i)
            if f is not None or back[1].reach == "sentence":
                self._look_back(back[0], back[1], f, i)
                return len(back[0])
        if forward is None:
            return 0
        phrase, cue = forward
        if cue.effect == "nothing":
            return len(phrase)
        if cue.effect == "deny" and phrase[0] in ("where", "where's") and not self._missing_place(i):
            return 0
        if cue.reach == "next" and not self._reaches(i + len(phrase)):
            return len(phrase) if len(phrase) > 1 else 0
        if phrase in (("so",), ("really",), ("too",)) and not self.draft.starting(i + 1):
            return 1
        if cue.effect == "strong" and self.draft.word(i + len(phrase)) in _VALUES:
            return len(phrase)  # "a very nice citron"
        if cue.effect == "hedge" and phrase[0] in ("sort", "kind") and self._plain_kind(i):
            return len(phrase)
        if phrase == ("not", "so", "much") and self._rather(i + len(phrase)):
            cue = Cue("deny", "next")  # "not so much apple as quince"
        if self.open:
            aside = cue.effect == "hedge" and self.keys[i - 1] == ","  # "nothing, maybe nuts"
            ended = {_KIND[cue.effect], "denial"} if aside else {_KIND[cue.effect]}
            self.open = [o for o in self.open if _KIND[o.cue.effect] not in ended]
        self.open.append(_Open(cue, i, self._cause(cue.effect, phrase, i, cue.reach)))
        return len(phrase)

    def _cause(self, effect: Effect, phrase: Phrase, i: int, reach: str) -> Cause:
        """Note which words of the text have an effect, and how far they reach."""
        return Cause(effect, i, i + len(phrase) - 1, reach)

    def _take_back(self, back: Row, i: int) -> int:
        """Deny the mention named last, however far back: "fennel, he says; I don't find it"."""
        phrase, cue = back
        found = self.draft.found
        k = bisect_left(found, i, key=_FIRST)
        if k:
            scope = self.scope(found[k - 1])
            scope.take(self._cause("deny", phrase, i, cue.reach))
            scope.hedged = False  # "Mango? Not that I could find."
        return len(phrase)

    def _replaces(self, i: int, after: int) -> bool:
        """Ask whether a mention stands before token `i`, and another from token `after` on: "peach. No, apricot"."""
        before = i - 1
        while before > 0 and self.keys[before] in STOPS:
            before -= 1
        while after < self.draft.end and self.keys[after] in STOPS:
            after += 1
        return self.draft.ending(before) is not None and self._reaches(after)

    def _rather(self, i: int) -> bool:
        """Ask whether "as" and another mention follow: "not so much apple as quince"."""
        ahead = self.keys[i : i + 5]
        return "as" in ahead and self.draft.starting(i + ahead.index("as") + 1) is not None

    def _reaches(self, i: int) -> bool:
        """Ask whether a mention follows token `i` with nothing but fillers between."""
        for k in range(i, min(i + 5, self.draft.end)):
            f = self.cover[k]
            if f is not None and f.first == k:
                return True
            if self.keys[k] not in _FILLERS:
                return False
        return False

    def _before(self, i: int, far: bool = False) -> Found | None:
        """Give the mention that ends before token `i`, with nothing but a copula between."""
        for k in range(i - 1, max(i - 6, -1), -1):
            named = self.cover[k]
            if named is not None and named.last == k:
                return named
            if k == i - 1 and (self.keys[k] in _POINTS or (self.keys[k] == "," and far)):
                continue  # "the mulberry, gone", "blackcurrant, in your face", "acidity: low", "honey (faint)"
            if self.keys[k] not in _COPULA and not (
                self.keys[i] in ("?", "i")
                and self.keys[k] in ("?", ",", "!", '"', "”", "'", "note", "notes", "thing", "flavour", "(")
            ):
                return None
        return None

    def _subject(self, i: int) -> Found | None:
        """Give the mention that a phrase parts from what became of it: "the florals of last week have gone"."""
        for k in range(i - 1, max(i - _FARTHEST_SUBJECT, -1), -1):
            if self.keys[k] in _SENTENCE_END or self.keys[k] in (",", ":") or self.keys[k] in _TURNS:
                return None
            f = self.cover[k]
            if f is not None:
                return f if self.keys[f.last + 1] in _PARTS and self.keys[i - 1] not in _PARTS else None
        return None

    def _missing_place(self, i: int) -> bool:
        """Ask whether "where the fruit ..." goes on with "ought to be" or "should be"."""
        ahead = self.keys[i : i + 8]
        return "should" in ahead or "ought" in ahead or ("did" in ahead and "go" in ahead) or ahead[:1] == ["where's"]

    def _plain_kind(self, i: int) -> bool:
        """Ask whether "sort of" is the noun: "a tingling sort of acidity", "some kind of stone fruit"."""
        if self.draft.covering(i - 1):
            return self.keys[i - 2 : i - 1] in (["a"], ["an"], ["the"])
        return self.keys[i - 1] in _KIND_OF

    def _look_back(self, phrase: Phrase, cue: Cue, f: Found | None, i: int) -> None:
        targets = self._named(self._sentence(i), i) if cue.reach == "sentence" else [f] if f is not None else []
        if (cue.reach == "back" and cue.effect != "hedge") or self.keys[i] == "?" or phrase[-1] in _WHICH:
            targets += self._joined_before(targets[0]) if targets else []
        why = self._cause(cue.effect, phrase, i, cue.reach)
        for g in targets:
            scope = self.scope(g)
            if self.keys[i] == "?" and self._answers(i + 1, _NO):
                scope.take(self._cause("deny", ("?", "no"), i, "back"))  # "Passion fruit? No."
            elif self.keys[i] == "?" and self._answers(i + 1, _MUCH):
                scope.take(self._cause("strong", ("?", "loads"), i, "back"))  # "Sweetness? Loads."
            elif self.keys[i] == "?" and self._answers(i + 1, _YES):
                continue  # "Sweet? Yes."
            elif cue.effect in ("deny", "hedge") or not scope.strength:
                scope.take(why)
        if cue.reach == "sentence":
            self.since = i
            self.open = [o for o in self.open if o.cue.effect != "hedge"]
            self.open.append(_Open(Cue("hedge", "sentence"), i, why))

    def _sentence(self, i: int) -> int:
        """Give where the sentence of token `i` begins, or the cue that took what stands before."""
        k = i - 1
        while k > self.since and not self.draft.traits[k] & _ENDS:
            k -= 1
        return max(k, self.since)

    def _answers(self, i: int, answers: frozenset[tuple[str, ...]]) -> bool:
        """Ask whether a question is answered so behind its mark."""
        return tuple(self.keys[i : i + 1]) in answers or tuple(self.keys[i : i + 2]) in answers

    def _joined_before(self, f: Found) -> list[Found]:
        """Give the mentions joined to `f` by or before it."""
        out = []
        before = self.draft.ending(f.first - 2)
        while before is not None and self.keys[f.first - 1] == "or":
            out.append(before)
            f, before = before, self.draft.ending(before.first - 2)
        return out

    def _meet(self, f: Found) -> None:
        """Give a mention what is open over it."""
        for o in self.open:
            o.used += 1
            o.last = f
            self.scope(f).take(o.why)
        if self.told and f.first in self.told:
            self.scope(f).take(self._cause("deny", ("",), f.first, "told"))

    def _close(self, i: int, step: int) -> None:
        """End what does not reach past token `i`."""
        if self.draft.traits[i] & _ENDS:
            self.open = [o for o in self.open if o.cue.reach == "sentence" and self.keys[i] == ":"]
            return
        self.open = [o for o in self.open if i <= o.at < i + step or self._goes_on(o, i)]

    def _goes_on(self, o: _Open, i: int) -> bool:
        word = self.keys[i]
        if o.cue.reach == "sentence":
            return True
        if word in ("(", ")", "—", "–", "…") or (word == "-" and o.cue.effect != "hedge"):
            return False
        if word in _TURNS:
            # "not so fruity" and "not more sour" are denials still, "not something I'd say, more orange" is none
            still = o.cue.effect == "deny" and word in ("so", "more", "mostly") and not o.used
            return still and self.keys[i - 1] != ","
        if not o.used:
            if o.cue.effect == "hedge" and word == "," and i - o.at < 3:
                return True  # "and, possibly, ginger"
            if word in _CLAUSE_SUBJECTS and self.keys[i - 1] in (",", "and"):
                return False
            if word in ("it", "it's") and self.keys[o.at] == "without":
                return False  # "without milk it is quite bitter"
            if word == "," and self.draft.starting(i + 1) and (i - o.at > 2 or self.keys[i - 1] not in _FILLERS):
                return False  # "lost its bubbles, sticky on the lips", "no defects, clean"
            return not (word == "," and o.cue.reach != "clause") and (o.cue.reach != "next" or i - o.at < 6)
        joined = word in _JOINTS and self._list_goes_on(o, i)
        if o.cue.reach == "next":
            return word == "and" and joined and o.used == 1
        if o.cue.effect in ("slight", "strong", "hedge"):
            return joined or (word in _FILLERS and word not in ("a", "an", "its") and self.keys[i - 1] in _JOINTS)
        return self._denial_goes_on(o, i, word)

    def _list_goes_on(self, o: _Open, i: int) -> bool:
        """Ask whether a joint is followed by another bare member of the list."""
        k = i + 1
        if self.keys[i] == "with":
            return False
        if k < self.draft.end and self.keys[k] in ("and", "or", "nor", "of"):
            k += 1
        steps = 0
        while k < self.draft.end and not self.draft.starting(k) and steps < 3:
            if self.keys[k] not in _BARE or (self.keys[k] == "some" and o.cue.effect == "strong"):
                return False
            k, steps = k + 1, steps + 1
        nxt = self.draft.starting(k)
        if nxt is None:
            return False
        if self.keys[i] == "," and o.last is not None:
            kinds = [self.draft.family(f.node) in MOUTH_AND_WHOLE for f in (o.last, nxt)]
            if o.cue.effect in ("slight", "strong") and kinds[0] != kinds[1]:
                return False
        return True

    def _denial_goes_on(self, o: _Open, i: int, word: str) -> bool:
        """Follow a denial over its list: or, nor, commas, and a bare "and"."""
        if word in ("or", "nor", "/"):
            return True
        if word == ",":
            if not self._list_goes_on(o, i):
                ahead = self.keys[i + 1 : i + 3]
                return bool(ahead) and ahead[0] in ("or", "nor")
            return self._or_follows(i) or self._opens_sentence(o) or self.keys[i + 1] in ("or", "nor")
        if word == "and":
            return self._list_goes_on(o, i) and self.draft.starting(i + 1) is not None
        if word in _CLAUSE_SUBJECTS and self.keys[i - 1] in (",", "and"):
            return False
        if word == "of":
            return True
        if word in _DENIAL_ENDS:
            return False
        return self.keys[i - 1] in ("or", "nor", "/", ",")

    def _or_follows(self, i: int) -> bool:
        """Ask whether the list that goes on at comma `i` is closed by or or nor."""
        k, end = i + 1, min(self.draft.end, i + _FARTHEST)
        while k < end and self.keys[k] not in _LIST_END:
            if self.keys[k] in ("or", "nor"):
                return True
            k += 1
        return False

    def _opens_sentence(self, o: _Open) -> bool:
        """Ask whether a denial opens its sentence and every later member is bare ("No smoke, ash, rubber.")."""
        if self.keys[o.at - 1] not in _BEFORE_SENTENCE or self.keys[o.at] == "n't":
            return False
        k, members = o.at + 1, 0
        while k < self.draft.end and self.keys[k] not in _SENTENCE_END:
            if k - o.at > _FARTHEST:
                return False
            if (member := self.draft.starting(k)) is not None:
                k, members = member.last + 1, members + 1
            elif self.keys[k] in (",", "any", "of"):
                k += 1
            else:
                return False
        return members > 2


def _compare(draft: Draft, scopes: dict[Found, Scope]) -> None:
    """Deny the rejected side of a comparison: "more like pear than apple", "closer to stock than to fruit"."""
    keys = draft.words
    for i in draft.where(_THAN):
        k = i - 1
        while k >= 0 and keys[k] not in _SENTENCE_END and i - k < 14:
            if keys[k] in ("more", "closer", "nearer", "rather", "sooner"):
                break
            k -= 1
        else:
            continue
        named = any(draft.starting(n) for n in range(k + 1, i))
        after = next(
            (n for n in range(i + 1, min(i + 5, draft.end)) if draft.starting(n) or keys[n] not in _BETWEEN),
            i,
        )
        f = draft.starting(after)
        likened = keys[k + 1] in ("like", "of", "a", "towards", "on")
        if f is not None and (
            keys[k] == "rather" or (named and (keys[k] != "more" or likened or draft.is_food(f.node)))
        ):
            scopes.setdefault(f, Scope()).take(Cause("deny", i, i, "than"))


def judge(draft: Draft) -> dict[Found, Scope]:
    """Give what holds of each mention that is not plainly present."""
    scopes = _Walk(draft).run()
    if draft.said & _THAN:
        _compare(draft, scopes)
    return scopes
