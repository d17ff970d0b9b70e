"""What a note says that is not about the cup: headings, people, the room, food beside it, wishes, others' finds.

Each function gives the tokens that it is about; `context` drops what stands there, `scope` denies what others found.
"""

from bisect import bisect_left

from redolent.notes.compose import Draft
from redolent.notes.grammar import Phrase, phrases, words
from redolent.notes.match import COMMON, Found
from redolent.notes.tokens import WORD
from redolent.notes.traits import trait
from redolent.notes.words import FUNCTION_WORDS, flags, list_common

STOPS = frozenset([".", "!", "?", ";", "\n", ",", ":", "(", ")", "—", "–", "-", "…", "/", '"', "“", "'"])

# ---- clauses

_CLAUSE_ENDS = frozenset([".", "!", "?", ";", "\n", ",", ":", "(", ")", "—", "–", "-"]) | words("clause_ends")
_ENDS_CLAUSE = trait(_CLAUSE_ENDS)


def find_clauses(draft: Draft, said: int) -> list[tuple[int, int, list[int]]]:
    """Give the clauses that hold a trait, each from and up to a token, and the tokens in it that hold the trait.

    Stops, commas and turns end a clause.
    """
    clauses: list[tuple[int, int, list[int]]] = []
    end = -1
    for i in draft.where(said):
        if i < end:
            clauses[-1][2].append(i)
        elif not draft.traits[i] & _ENDS_CLAUSE:
            start, end = _clause(draft, i)
            clauses.append((start, end, [i]))
    return clauses


def _clause(draft: Draft, i: int) -> tuple[int, int]:
    """Give where the clause of token `i` begins, and where it has ended; asked often, so the ends are kept."""
    if draft.clause_ends is None:
        draft.clause_ends = draft.where(_ENDS_CLAUSE)
    ends = draft.clause_ends
    k = bisect_left(ends, i)
    return ends[k - 1] + 1 if k else 0, ends[k] if k < len(ends) else draft.end


# Words that most notes hold.
_OFTEN = frozenset("a and good great i in is it like lovely nice of the this very was with".split())
# Phrases by their most telling word, each with where in it that word stands.
PhraseIndex = dict[str, list[tuple[int, Phrase]]]


def index_phrases(name: str) -> PhraseIndex:
    """Give a named list of phrases by the most telling word of each: without it a note does not hold the phrase."""
    index: PhraseIndex = {}
    for phrase in phrases(name):
        telling = max(phrase, key=lambda w: (w not in _OFTEN, w not in COMMON, len(w)))
        index.setdefault(telling, []).append((phrase.index(telling), phrase))
    return index


def find_phrases(draft: Draft, said: int, index: PhraseIndex) -> list[tuple[int, int, int]]:
    """Give the clauses that hold phrases of an index: from where, where the first phrase begins, and up to where.

    `said` is the trait of the words by which the phrases are indexed.
    """
    found: dict[int, tuple[int, int, int]] = {}
    for i in draft.where(said):
        for k, phrase in index[draft.words[i]]:
            at, after = i - k, i - k + len(phrase)
            if tuple(draft.words[at:after]) == phrase:
                start, stop = _clause(draft, i)
                if start <= at and after <= stop and at <= found.get(start, (start, at, stop))[1]:
                    found[start] = start, at, stop
    return list(found.values())


# ---- headings: "Dry:", "BREAK -", "On the nose:"

_HEADINGS = words("headings")
_LONGEST_HEADING = 3
_IN_HEADINGS = _HEADINGS | FUNCTION_WORDS
_DEGREES = words("degrees")
_HEADING_DASHES = frozenset(["-", "–", "—", "="])
_MARKS_HEADING = trait(_HEADING_DASHES | {":"})


def _opens(before: str) -> bool:
    """Say whether a word behind `before` opens the note or a part of it."""
    return before == "" or before in STOPS


def find_headings(draft: Draft) -> set[int]:
    """Find the words of headings: they are places in the note."""
    heads: set[int] = set()
    for i in draft.where(_MARKS_HEADING):
        if draft.words[i] == ":":
            k = i
            while draft.word(k - 1) in _IN_HEADINGS and i - k < _LONGEST_HEADING:
                k -= 1
            opens = k == 0 or draft.words[k - 1] in STOPS or (k < i and draft.tokens[k].capital)
            taste = draft.ending(i - 1)
            if taste is not None and draft.family(taste.node) == "tongue" and draft.words[i + 1] in _DEGREES:
                continue  # "Acidity: low" says how much of it there is
            if opens and _HEADINGS.intersection(draft.words[k:i]):
                heads.update(range(k, i))
        elif draft.word(i - 1) in _HEADINGS and _opens(draft.word(i - 2)):
            heads.add(i - 1)
    return heads


# ---- people and places: "Rose poured", "at the Orchard café", "Professor Plum", "with Basil"

_DOES = words("person_verbs")
_DOES_INSIDE = words("person_verbs_inside")
_PEOPLE = words("others")
_TITLES = words("titles")
_PETS = words("pets")
_KIN = _PEOPLE - frozenset(["he", "she", "everyone", "everybody", "someone", "somebody", "others"])
_BEFORE_NAMES = words("before_names")
_PLACES = words("places_after")
_OBJECTS = words("objects")
ROOM = words("room")


def find_names(draft: Draft) -> set[int]:
    """Find capitalised words that are people or places; what is a name once is one wherever it is capitalised."""
    tokens = draft.tokens
    said = [f for f in draft.found if tokens[f.first].capital]
    named = {f.words for f in said if _is_name(draft, f)}
    if not named:
        return set()
    capitals = [token.capital for token in tokens if token.kind == WORD and len(token.norm) > 1]
    if sum(capitals) > 0.8 * len(capitals):
        return set()  # every word is capitalised, which says nothing
    names = [f for f in said if f.words in named]
    things = [thing for f in names if _acts(draft, f.last + 1) and (thing := _object(draft, f.last + 2)) is not None]
    return {i for f in (*names, *things) for i in range(f.first, f.last + 1)}


def _object(draft: Draft, i: int) -> Found | None:
    """Give what somebody's doing, which ends before token `i`, is done with: "Heather had a tangerine"."""
    while draft.word(i) in _OBJECTS:
        i += 1
    return draft.starting(i)


def _is_name(draft: Draft, f: Found) -> bool:
    first, last = f.first, f.last
    before, after = draft.words[first - 1], draft.words[last + 1] if draft.is_word(last + 1) else ""
    if not after and (before in STOPS or before == ""):
        return False  # "Plum, ..."
    inside = before not in STOPS and before not in ("", "and", "or")
    after_next = draft.word(last + 2)
    if after in _PLACES or (after and draft.tokens[last + 1].capital and after_next in _PLACES):
        return True
    # "at Olive and Thyme"
    inside_place = draft.word(first - 3) in ("at", "from") and draft.tokens[first - 2].capital
    told = (
        before in _TITLES
        or before in _PETS
        or before in _KIN
        or (before == "and" and inside_place)
        or (after == "the" and after_next in _PETS)
        or (inside and before in _BEFORE_NAMES)
        or after in _DOES
        or (inside and after in _DOES_INSIDE)
        or (after == "and" and after_next in ("i", "me", "we"))
        or (before == "and" and draft.word(first - 2) in ("i", "me"))
        or ((inside or after in _PEOPLE or after in ROOM or after in _OBJECTS) and _owns(draft, last))
        or _acts(draft, last + 1)
    )
    # "Turkish delight", "Bourbon biscuit": a capital of its own
    return told and not draft.vocab.lexicon[f.node].label[0].isupper()


def _owns(draft: Draft, i: int) -> bool:
    return draft.text[slice(*draft.tokens.span(i, i))].endswith(("'s", "’s"))


_ACTS = words("acts")
_DEEDS = words("deeds")
_CUP_GOES_ON = words("cup_goes_on")


def _acts(draft: Draft, i: int) -> bool:
    """Ask whether a person's doing begins at token `i`: "turned the fan on", "was doing the crossword", "timed it"."""
    word, following = draft.word(i), draft.word(i + 1)
    if word == "came" and following in ("over", "by"):
        return True
    if word in ("had", "has") and (following in _DEEDS or following.endswith("ed")):
        return following not in _CUP_GOES_ON
    if word in ("was", "is") and (following in _PEOPLE or following in ("my", "our", "her", "his", "doing", "having")):
        return True
    if word in ("was", "is") and following.endswith("ing") and "v" in flags(following):
        return draft.starting(i + 1) is None and following not in _CUP_GOES_ON
    return draft.is_word(i) and (word.endswith("ed") or word in _ACTS) and following in _OBJECTS


# ---- the room, and food beside the cup

_EATING = index_phrases("eating")
# "a banana beside it", "toast for breakfast": the food stands before these.
_BEHIND_FOOD = frozenset(["for", "beside", "alongside", "next", "before", "from", "sandwich", "sandwiches"])
# "pairs well with a croissant": said of the coffee, and not of one of its notes.
_PAIRING = index_phrases("pairing")
_LIKENESS = words("likeness")
_LIKENED = _LIKENESS - {"smell", "smells"}
_SAYS = words("says")
_OWNED = (FUNCTION_WORDS | {"milk", "new", "old", "whole", "entire"}) - {"of", "in"}
_SMELLED = words("smelled")
_SMELLS = _SAYS | _SMELLED
_SKIN = words("skin")
_ELSEWHERE = words("elsewhere")
_COLOUR = words("colour")
_SCENTED = words("scented")
_HOLDING = words("holders") | ROOM
_OUTDOORS = words("outdoors")
_PLANTS = words("plants")
_UNDER = words("under")
_BESIDE = trait(_HOLDING | _OUTDOORS | _SKIN | _ELSEWHERE | _COLOUR | _SCENTED | _PLANTS)
_EATEN, _PAIRED = trait(_EATING), trait(_PAIRING)


def find_beside(draft: Draft) -> set[int]:
    """Find what is said of the room, or of food eaten beside the cup."""
    out: set[int] = set()
    words = draft.words
    for start, at, stop in find_phrases(draft, _EATEN, _EATING):
        if at <= start + _likeness(words[start:stop]) and draft.covering(at) is None:
            out.update(range(start if words[at] in _BEHIND_FOOD else at, _cup_again(draft, at, stop)))
    for start, at, stop in find_phrases(draft, _PAIRED, _PAIRING):
        if not any(draft.cover[start:at]):
            out.update(range(at, stop))
    for start, stop, places in find_clauses(draft, _BESIDE):
        like = start + _likeness(words[start:stop])
        if _is_of_the_room(words[start:stop], [i - start for i in places], like - start):
            out.update(range(start, stop))
            continue
        for i in places:
            w = words[i]
            if w in _SCENTED and i > start and draft.covering(i) is None:
                out.add(i - 1)  # "mint toothpaste"
            elif w in _PLANTS and start < i < like and not _UNDER.isdisjoint(words[max(start, i - 4) : i - 1]):
                out.add(i - 1)  # "under the cherry tree"
            elif w in ROOM and not (i > start and words[i - 1] in ("of", "like")):
                of_it = draft.starting(i + 1)
                if of_it is not None and not draft.is_food(of_it.node):
                    out.add(i + 1)  # "grinder clean"
    return out


def _cup_again(draft: Draft, start: int, stop: int) -> int:
    """Give where a clause comes back to the cup: "without milk it is quite bitter"."""
    pairs = zip(range(start, stop - 1), draft.words[start:], draft.words[start + 1 :], strict=False)
    return next((k for k, word, after in pairs if word == "it's" or (word == "it" and after in _SAYS)), stop)


def _likeness(said: list[str]) -> int:
    """Give where a clause begins to say what something is like; its length where it never does."""
    return next((k for k, word in enumerate(said) if word in _LIKENESS), len(said))


def _is_of_the_room(said: list[str], places: list[int], like: int) -> bool:
    """Ask whether a clause speaks of the room: "the milk jug still smelled of soap", "wet pine outside"."""
    for k in places:
        w, owned, ahead = said[k], k > 0 and said[k - 1] in _OWNED, said[k + 1 : k + 4]
        if w in ROOM and k < like and owned:
            if not _SMELLS.isdisjoint(ahead):
                return True
        elif w in _OUTDOORS and k < like and owned and ahead:
            if ahead[0] in ("was", "is", "smells") or ahead[0] in _SMELLED:
                return True  # "the terrace was all wet stone"
        elif w in _HOLDING and k < like and (k == 0 or owned) and ahead:
            if ahead[0] in _SMELLED or ahead[0] == "smells" or ahead[1:2] == ["smelled"]:
                return True
        elif w in _COLOUR or (
            (w in _ELSEWHERE or (w in _SKIN and said[k - 2 : k - 1] == ["on"])) and _LIKENED.isdisjoint(said)
        ):
            return True
    return False


# ---- what people did: "my sister has been diffusing eucalyptus", "a man explained kombucha to me"

_SOMEBODY = _KIN | _PETS
_PRESENT = trait(_SOMEBODY)
# A person's verb stands within so many words: "a man at the next table explained".
_FARTHEST_DEED = 6


def find_deeds(draft: Draft) -> set[int]:
    """Find what somebody did with a thing, and the thing; what they found or said is told, and is not here."""
    out: set[int] = set()
    for start, stop, places in find_clauses(draft, _PRESENT):
        said, who = draft.words[start:stop], places[0] - start
        if who > _likeness(said) or not (who == 0 or said[who - 1] in _OWNED):
            continue
        for k in range(who + 1, min(who + 1 + _FARTHEST_DEED, len(said))):
            if said[k] in _SAYS_SO:
                break
            if said[k] in _DEEDS or _is_deed(said, k):
                out.update(range(start + k, start + max(k, _likeness(said))))
                break
    return out


_SAYS_SO = words("reports") | words("says")


def _is_deed(said: list[str], k: int) -> bool:
    doing = said[k].endswith("ing") and said[k - 1] in ("was", "is", "been", "were", "are")
    done = said[k].endswith("ed") and len(said[k]) > 4
    return (doing or done) and "v" in flags(said[k])


# ---- wishes, promises, and what others found

_WISHES = index_phrases("wishes")
_PROMISES = index_phrases("promises")
_WISHED, _PROMISED = trait(_WISHES), trait(_PROMISES)
_FINDS = frozenset(["get", "got", "find", "found"])
_WISH_ENDS = frozenset([",", ".", ";", "!", "?", "\n", "but", "and"])


def find_wished(draft: Draft) -> set[int]:
    """Find what the writer wished for or expected: "I wanted more fruit", "could use some sweetness, roundness"."""
    out: set[int] = set()
    end = 0
    for start, at, stop in find_phrases(draft, _WISHED, _WISHES):
        if start < end:
            continue  # within the list of an earlier wish
        if "than" in draft.words[start:at] or draft.words[at + 2 : at + 4] == ["to", "say"]:
            continue  # "I want to say plum"
        if draft.words[at - 1] == "not" or draft.words[at - 1].endswith("n't"):
            continue  # "wasn't expecting so much lemon"
        # "expected lemon and got lime"
        end = next((k for k in range(at, stop) if draft.words[k] in _FINDS and draft.words[k - 1] != "to"), stop)
        wished = any(draft.cover[at:stop])
        while wished and draft.word(end) == "," and draft.starting(end + 1):
            end += 1
            while end < draft.end and draft.words[end] not in _WISH_ENDS:
                end += 1
        out.update(range(at, end))
    return out


def _list_end(draft: Draft, end: int) -> int:
    """Give where a list goes on to behind a clause, as long as its members are bare: ", apricot and honey"."""
    while draft.word(end) in (",", "and") and (member := draft.starting(end + 1)):
        end = member.last + 1
    return end


_REPORTED = trait(words("reports"))
_TELLS = words("tells")
_PRINTED = words("printed")
_CUP_NOUNS = words("cup_nouns")
TOLD = _PROMISED | _REPORTED | trait(_PRINTED)


def find_told(draft: Draft) -> set[int]:
    """Find what another taster found, or the bag promised: "Saffron swears she got apple", "the bag says blueberry"."""
    out: set[int] = set()
    said = draft.words
    for _, at, stop in find_phrases(draft, _PROMISED, _PROMISES):
        out.update(range(at, _list_end(draft, stop)))
    for i in draft.where(_MARKS_HEADING):
        if said[i] == ":" and said[i - 1] in _PRINTED:
            out.update(range(i, _list_end(draft, _clause(draft, i + 1)[1])))  # "On the bag: cherry, cocoa."
    for i in draft.where(_REPORTED):
        k = i - 1
        while k >= 0 and i - k <= _FARTHEST_REPORT and said[k] not in _CLAUSE_ENDS:
            if said[k] in _PEOPLE or (k == i - 1 and _reports(draft, k)):
                out.update(range(k, _clause(draft, i)[1]))
                break
            k -= 1
    return out


def _reports(draft: Draft, k: int) -> bool:
    """Ask whether token `k`, before a verb of finding or saying, is somebody's name; "Coffee tastes of plum" is not."""
    word, after = draft.words[k], draft.words[k + 2]
    if not draft.tokens[k].capital or draft.covering(k) is not None or after in ("of", "like"):
        return False
    if word in FUNCTION_WORDS or word in _CUP_NOUNS or word in _HEADINGS or "r" in flags(word):
        return False
    within = k > 0 and draft.words[k - 1] not in STOPS
    return within or draft.words[k + 1] in _TELLS or word not in list_common()


# "my colleague, she says", "he still swears": how far before its verb a person stands.
_FARTHEST_REPORT = 3


# What a note says that is not about the cup, by the trait of the words that each finding asks for.
_ASIDES = (
    (_MARKS_HEADING, find_headings),
    (_EATEN | _PAIRED | _BESIDE, find_beside),
    (_PRESENT, find_deeds),
    (_WISHED, find_wished),
)


def find_asides(draft: Draft) -> set[int]:
    """Find all that is not about the cup."""
    out, said = find_names(draft), draft.said
    for asked, find in _ASIDES:
        if said & asked:
            out |= find(draft)
    return out
