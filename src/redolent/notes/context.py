"""Is a word said of the cup here? Everyday words name a descriptor only where the note plainly means it.

A match is only a word; these rules ask what stands beside it.
"""

from redolent.notes.aside import ROOM, STOPS, find_asides
from redolent.notes.compose import Draft
from redolent.notes.grammar import phrases, words
from redolent.notes.match import Found
from redolent.notes.memory import Memory
from redolent.notes.tokens import NUMBER
from redolent.notes.traits import trait
from redolent.notes.words import FUNCTION_WORDS, flags, is_word


def keep_the_cups(draft: Draft) -> None:
    """Drop the matches that are not said of the cup."""
    aside = find_asides(draft)
    traits = draft.traits
    for f in draft.found:
        first, after = f.first, f.last + 1
        if (
            (aside and not aside.isdisjoint(range(first, after)))
            or (traits[after] & _TELLING and (is_colour(draft, f) or is_scene(draft, f) or is_brewing(draft, f)))
            or (traits[first - 1] & _BEFORE_AGAIN and is_translation(draft, f))
            or (after - first == 1 and (_IN_DOUBT[f.node] or traits[first] & _DOUBTED_WORD) and not _is_meant(draft, f))
        ):
            draft.drop(f)


def _is_meant(draft: Draft, f: Found) -> bool:
    """Ask whether a single everyday word is meant as a descriptor."""
    return not is_idiom(draft, f) and not is_brewing(draft, f) and is_said(draft, f)


# ---- "flat white", "stone cold", "came round": a word that its neighbour makes another

# By a word what stands before and behind it; None where the phrase begins or ends with it.
_IDIOMS: dict[str, set[tuple[str | None, str | None]]] = {}
for _phrase in phrases("idioms"):
    for _before, _word, _after in zip((None, *_phrase), _phrase, (*_phrase[1:], None), strict=False):
        _IDIOMS.setdefault(_word, set()).add((_before, _after))


def is_idiom(draft: Draft, f: Found) -> bool:
    """Ask whether a single word is part of an everyday phrase, by the words at its sides."""
    phrases = _IDIOMS.get(f.words)
    if phrases is None:
        return False
    before, after = draft.words[f.first - 1], draft.words[f.last + 1]
    return (before, None) in phrases or (None, after) in phrases or (before, after) in phrases


# ---- "a cherry red bag", "lime kettle", "mint-green mug"

_COLOURS = words("colours")


def is_colour(draft: Draft, f: Found) -> bool:
    """Ask whether a food names the colour or make of a thing in the room."""
    k = f.last + 1
    while draft.word(k) in _COLOURS:
        k += 1
    if k > f.last + 1 and draft.word(k) in ("cup", "cups", "bowl", "bowls"):
        return True  # "a lemon-yellow cup"
    return draft.word(k) in ROOM and not draft.tokens[k].capital


# ---- "like a second-hand bookshop: leather, cedar"


def is_scene(draft: Draft, f: Found) -> bool:
    """Ask whether a match is a scene whose things are listed after it; then only the things count."""
    if draft.word(f.last + 1) != ":" or draft.starting(f.last + 2) is None:
        return False
    return any(w in ("like", "inside", "in", "of") for w in draft.words[max(0, f.first - 4) : f.first])


# ---- "dried prune (suszona śliwka)", "honey, miel"

_BEFORE_AGAIN = trait(["(", ","], sought=False)


def is_translation(draft: Draft, f: Found) -> bool:
    """Ask whether a match says the word before it again in another language."""
    before, bracket = draft.ending(f.first - 2), draft.words[f.first - 1] == "("
    if before is None or (before.node != f.node and not (bracket and _are_near(before, f))):
        return False
    english = [is_word(word) for word in draft.words[f.first : f.last + 1]]
    return not (all if bracket else any)(english)  # within brackets "d'acacia" may look English


def _are_near(f: Found, g: Found) -> bool:
    """Ask whether two matches stand in one group: "apple cake (Apfelkuchen)"."""
    return f.node.split("/")[:2] == g.node.split("/")[:2]


# ---- "22 clicks, metal filter, wooden stirrer", "honey process", "light roast"

_UNITS = words("units")
_BREWER = words("brewer")
_MATERIALS = frozenset(["workshop", "open-ground", "touch", "whole-cup", "hearth"])
_ROASTING = words("roasting")
_ROASTS = words("roasts")
_PROCESS = words("process")
_ROASTED_WHEN = words("roasted_when")
_CHARACTER = words("character")


def is_brewing(draft: Draft, f: Found) -> bool:
    """Ask whether a match is brewing data: a unit after its number, a brewer's material, a roast, a process."""
    word, before, after = f.words, draft.words[f.first - 1], draft.words[f.last + 1]
    if after in _PROCESS:
        return True
    if f.first != f.last:
        return False
    if word in _UNITS and f.first > 0 and draft.tokens[f.first - 1].kind == NUMBER:
        return True
    if word == "roasted":
        when = f.last + 1 + (after in ("on", "in", "for", "at"))
        return after in _ROASTS or draft.word(when) in _ROASTED_WHEN or draft.word(when).isdigit()
    if word in _ROASTS and before == "roasted":
        return True
    if word in ("roast", "roasts", "roastery"):
        return word == "roastery" or ((before in _ROASTS or after in _ROASTING) and after not in _CHARACTER)
    return (after in _BREWER or before in _BREWER) and draft.family(f.node) in _MATERIALS


# ---- words of feel and of the whole cup, and everyday nouns

# Nouns that such a word may stand before and still be said of the cup.
_CUP_NOUNS = words("cup_nouns")
# Everyday words that name a descriptor; of these the strict need the plainest sign, scenes must not be places.
_WARY = words("wary")
_STRICT = words("strict")
_SCENES = words("scenes")
_SAYS = words("says")
_BEFORE_PLACES = words("before_places")
_HAPPENS = words("happens")
_JOINTS = words("joints")
_AFTER_OK = words("after_ok")
_STAGES = words("stages_said")
_OF_BEANS = words("of_beans")
_OF_CRUSTS = frozenset(["of", "like"])
_AFTER_DRY = frozenset([":", "-", "it", "it's", "i", "i'm", "there", "there's"])


def is_said(draft: Draft, f: Found) -> bool:
    """Ask whether a single word of feel, or an everyday word, is said of the cup here."""
    word, before, after = f.words, draft.words[f.first - 1], draft.words[f.last + 1]
    if word == "dry" and (after in _STAGES or after in _AFTER_DRY or before in ("on", "in", "when", "while")):
        return False
    if word == "crust" and before not in _OF_CRUSTS:
        baked = draft.ending(f.first - 1)  # else it is the one on the cup
        return baked is not None and draft.family(baked.node) == "bakehouse"
    if word in ("bean", "beans"):
        return before in _OF_BEANS  # else they are the coffee's
    if word in _SCENES and (before in _BEFORE_PLACES or after in _HAPPENS):
        return before == "the" and draft.word(f.first - 2) in ("like", "as", "of")
    if word in _STRICT:
        return after in _CUP_NOUNS or (_opens(before) and _closes(after))
    if word in _WARY or draft.family(f.node) in ("touch", "whole-cup", "passage"):
        return not _before_other_noun(draft, f) or (draft.is_food(f.node) and _is_likened(draft, f))
    return True


def _is_likened(draft: Draft, f: Found) -> bool:
    """Ask whether the cup is likened to what a match is part of: "like a new leather sofa"."""
    before = draft.words[max(0, f.first - _NEAR) : f.first]
    return "like" in before and STOPS.isdisjoint(before)


# So many words before it a likeness begins.
_NEAR = 4


def _opens(before: str) -> bool:
    return before in _SAYS or before in _JOINTS or before in STOPS or before == ""


def _closes(after: str) -> bool:
    return after in _JOINTS or after in STOPS or after in _AFTER_OK or after == ""


def _before_other_noun(draft: Draft, f: Found) -> bool:
    """Ask whether the match describes a noun that is neither the cup nor another descriptor ("a clean kettle")."""
    after = draft.words[f.last + 1] if draft.is_word(f.last + 1) else ""
    if not after or after in _CUP_NOUNS or after in FUNCTION_WORDS or after in _JOINTS or after in _AFTER_OK:
        return False
    if draft.starting(f.last + 1) or after.endswith(("ed", "ly")):
        return False
    kinds = flags(after)
    doing = after.endswith("ing") and "v" in kinds
    return kinds.startswith("n") and "a" not in kinds and "r" not in kinds and not doing


# Only these families and words are ever said of something else; only these words behind a match tell that it is.
_DOUBTED = frozenset(["touch", "whole-cup", "passage", "workshop", "open-ground", "hearth"])
_IN_DOUBT = Memory(lambda node: node.split("/", 1)[0] in _DOUBTED)
_DOUBTED_WORD = trait(
    frozenset(_IDIOMS) | _WARY | _STRICT | _SCENES | _UNITS | {"dry", "bean", "beans", "crust"}, sought=False
)
_TELLING = trait(ROOM | _COLOURS | _PROCESS | {":"}, sought=False)
