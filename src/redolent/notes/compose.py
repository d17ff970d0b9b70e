"""Words that belong together: shared heads, dishes, treatments, modifiers, "body" and "finish" with what they are.

Each function takes a `Draft` and changes its list of `Found`; the tables above a function hold the words, the sentence
beside a row what it does.
"""

from redolent.notes.grammar import words
from redolent.notes.match import Found, Vocabulary
from redolent.notes.memory import Memory
from redolent.notes.tokens import WORD, Tokens
from redolent.notes.traits import find_traits, trait

FRUIT = frozenset(["orchard", "berry-patch", "citrus-grove", "tropical-stall"])
MOUTH_AND_WHOLE = frozenset(["tongue", "touch", "passage", "whole-cup"])

JAM, DRIED, CANDIED = "preserve-shelf/jam", "preserve-shelf/dried", "preserve-shelf/candied"
PASTRY, SYRUP, GREEN, BLOSSOM = (
    "bakehouse/pastry",
    "sugar-pan/syrup",
    "vegetable-plot/green-leaf",
    "flower-border/blossom",
)
PEEL, WOOD, SMOKE, FERMENT, BROTH = (
    "citrus-grove/peel",
    "workshop/wood",
    "hearth/smoke",
    "cellar/ferment",
    "stockpot/broth",
)
CORDIAL = "of a flower the flower, else two"
WEIGHT, FINISH = "touch/weight", "passage/finish"


# The family a node stands in; a realm gives itself.
_FAMILIES = Memory(lambda node: node.split("/", 1)[0])


class Draft:
    """A note on its way to a reading: its tokens, and which of them name something.

    Every token knows the `Found` that covers it, so that each rule looks only at the tokens around it, and a note of
    any length is read in one go. Behind the last token stands nothing, at `end`, and so before the first, at -1.

    Attributes
    ----------
    words : list of str
        A token's norm, with its spelling corrected; "" for nothing.
    traits : list of int
        Of each word; `said` is what they hold together of what is sought.
    cover : list of Found or None
        What covers each token.
    """

    def __init__(self, text: str, tokens: Tokens, words: list[str], found: list[Found], vocab: Vocabulary) -> None:
        self.text, self.tokens, self.words, self.vocab = text, tokens, words, vocab
        self.end = len(tokens)
        self.traits = list(map(vocab.traits.__getitem__, words))
        self._places = find_traits(self.traits)
        self.said = sum(self._places)
        self._found: list[Found] | None = found
        self.clause_ends: list[int] | None = None
        self.cover: list[Found | None] = [None] * len(words)
        for f in found:
            self.cover[f.first] = f
            if f.last > f.first:
                self.cover[f.first : f.last + 1] = [f] * (f.last + 1 - f.first)

    @property
    def found(self) -> list[Found]:
        """What was found, in the order of the text."""
        if self._found is None:
            self._found = list(dict.fromkeys(filter(None, self.cover)))
        return self._found

    def covering(self, i: int) -> Found | None:
        """Give what covers token `i`."""
        return self.cover[i] if 0 <= i < self.end else None

    def starting(self, i: int) -> Found | None:
        """Give what begins at token `i`."""
        f = self.covering(i)
        return f if f is not None and f.first == i else None

    def ending(self, i: int) -> Found | None:
        """Give what ends at token `i`."""
        f = self.covering(i)
        return f if f is not None and f.last == i else None

    def put(self, f: Found) -> None:
        """Let `f` cover its tokens, in the place of whatever covered any of them."""
        self._found = None
        for k in range(f.first, f.last + 1):
            other = self.cover[k]
            if other is not None and other is not f:
                self.drop(other)
            self.cover[k] = f

    def drop(self, f: Found) -> None:
        """Forget `f`."""
        self._found = None
        for k in range(f.first, f.last + 1):
            if self.cover[k] is f:
                self.cover[k] = None

    def stretch(self, f: Found, first: int | None = None, last: int | None = None) -> None:
        """Let `f` begin or end elsewhere."""
        self.drop(f)
        f.first = f.first if first is None else first
        f.last = f.last if last is None else last
        self.put(f)

    def where(self, trait: int) -> list[int]:
        """Give the tokens whose words hold a trait."""
        return self._places.get(trait, [])

    def family(self, node: str) -> str:
        """Give the family a node stands in; a realm gives itself."""
        return _FAMILIES[node]

    def is_food(self, node: str) -> bool:
        """Say whether a node is something with a smell: neither taste, feel nor the whole cup."""
        return self.family(node) not in MOUTH_AND_WHOLE

    def is_fruit(self, node: str) -> bool:
        """Say whether a node is fresh fruit."""
        return node == "fruit" or self.family(node) in FRUIT

    def word(self, i: int) -> str:
        """Give the word at token `i`; nothing outside the note."""
        return self.words[i] if 0 <= i < self.end else ""

    def is_word(self, i: int) -> bool:
        """Say whether token `i` is a word."""
        return 0 <= i < self.end and self.tokens[i].kind == WORD


# "red and black currant", "lemon and lime zest", "milk or dark chocolate", "wild and garden strawberry"
_AND = frozenset(["and", "or", "nor", "/", "+", ","])


def share_heads(draft: Draft) -> None:
    """Spread a head over the words before it: each gets a mention of its own words, the head goes to the last."""
    for f in draft.found:
        if f.first == f.last:
            continue
        head = draft.words[f.last]
        joint = f.first - 1
        while draft.words[joint] in _AND and draft.is_word(joint - 1):
            before = draft.words[joint - 1]
            named = draft.vocab.name(f"{before} {head}")
            if named is None or draft.family(named[0]) != draft.family(f.node) or head in ("leaf", "leaves"):
                break  # "hazelnut and milk chocolate", "celery and tomato leaf": the first stands alone
            if before == draft.words[f.first]:
                break  # "lime + lime zest"
            alone = draft.vocab.name(before)
            if alone is not None and alone[0] == named[0]:
                break
            if alone is not None and draft.word(joint) == ",":
                break
            over = draft.covering(joint - 1)
            if over is not None and over.first < joint - 1:
                break
            draft.put(Found(joint - 1, joint - 1, named[0], named[1], f"{before} {head}", "shared head"))
            joint -= 2


# "cherry jam", "banana bread", "orange peel", "tomato leaf": what the word behind a food makes of it;
# None where the food stays where it is ("apple juice").
_MAKES = {
    "jam": JAM, "pastry": PASTRY, "syrup": SYRUP, "green": GREEN, "blossom": BLOSSOM, "peel": PEEL, "wood": WOOD,
    "smoke": SMOKE, "ferment": FERMENT, "cordial": CORDIAL, "broth": BROTH, "food": None,
}  # fmt: skip
_HEADS: dict[str, str | None] = {word: node for name, node in _MAKES.items() for word in words(f"head_{name}")}
_HEADS_SAID = trait(_HEADS)

# Which foods each of those words works on; elsewhere the two words stay two.
_FRUIT_ONLY = frozenset([JAM, BLOSSOM])
_DISH_FAMILIES = FRUIT | frozenset(
    ["preserve-shelf", "vegetable-plot", "spice-drawer", "nut-bowl", "cocoa-house", "sugar-pan", "dairy", "herb-garden"]
)


def join_heads(draft: Draft) -> None:
    """Make one mention of a food and the word behind it ("carrot cake"); of each of a list ("plum and fig jam")."""
    for after in draft.where(_HEADS_SAID):
        f, head = draft.ending(after - 1), draft.words[after]
        if f is None or f.rule == "food and head" or not draft.is_food(f.node) or f.words in _COLOURING:
            continue
        if not draft.is_word(after):
            continue
        taken = draft.covering(after)
        if taken is not None and taken.last > after:
            continue  # "cherry wood smoke": the longer name keeps its words
        node = _headed(draft, f, _HEADS[head])
        if node is None:
            continue
        new = Found(f.first, after, node, f.how, f"{f.words} {head}", "food and head")
        draft.put(new)
        if node == JAM:
            _spread_back(draft, new, node)


# "jam of apricot", "peel from lemon", "compote of plums": the head before its food
_OF = frozenset(["of", "from"])
_OF_SAID = trait(_OF)


def join_heads_of(draft: Draft) -> None:
    """Make one mention of a head and the food it is of, as people write whose language has them in that order."""
    for i in draft.where(_HEADS_SAID):
        word = draft.words[i]
        if draft.word(i + 1) not in _OF or not draft.is_word(i):
            continue
        k = i + 2
        while draft.word(k) in ("the", "a", "an", "ripe", "my", "some"):
            k += 1
        food, own = draft.starting(k), draft.covering(i)
        if food is None or not draft.is_food(food.node) or (own is not None and own.first < i):
            continue
        node = _headed(draft, food, _HEADS[word])
        if node is not None and _HEADS[word] in (JAM, PEEL, GREEN, BLOSSOM):
            food.words = f"{food.words} {word}"
            food.move(node, "food and head")
            draft.stretch(food, first=i)


# "honey of acacia", "sugar of palm", "butter of peanut"
def turn_round(draft: Draft) -> None:
    """Read a name of two words that is written the other way round, as in languages that put the thing first."""
    for i in draft.where(_OF_SAID):
        if draft.ending(i - 1) is None:
            continue
        name = f"{draft.word(i + 1)} {draft.word(i - 1)}"
        named = draft.vocab.name(name)
        if named is not None and not any(f is not None and f.first < f.last for f in draft.cover[i - 1 : i + 2]):
            draft.put(Found(i - 1, i + 1, *named, name, "turned round"))


def _headed(draft: Draft, f: Found, makes: str | None) -> str | None:
    """Give the node that a food and its head name together, or None where they are two mentions."""
    family = draft.family(f.node)
    if makes is None:
        return f.node
    if makes == CORDIAL:
        return f.node if family == "flower-border" else None
    if makes in _FRUIT_ONLY and not (draft.is_fruit(f.node) or family == "preserve-shelf"):
        return f.node if makes == BLOSSOM and family == "flower-border" else None
    if makes == PASTRY:
        return PASTRY if family in _DISH_FAMILIES else None
    if makes == PEEL:
        return PEEL if family == "citrus-grove" else f.node
    if makes == GREEN:
        return f.node if family in ("herb-garden", "workshop", "spice-drawer", "open-ground") else GREEN
    if makes == SYRUP and family == "sugar-pan":
        return f.node
    if makes in (WOOD, SMOKE) and not (draft.is_fruit(f.node) or family in ("workshop", "nut-bowl")):
        return None
    return makes


def _spread_back(draft: Draft, f: Found, node: str) -> None:
    """Give `node` to the fruits joined before `f` by and, or or a slash ("plum and fig jam")."""
    while draft.word(f.first - 1) in ("and", "or", "/"):
        before = draft.ending(f.first - 2)
        if before is None or not draft.is_fruit(before.node):
            return
        before.move(node, "food and head")
        f = before


# "dried apricot", "stewed plums", "candied lemon", "figs who are dried", "apple baked", "a tin of peaches"
_TREATMENTS = {"dried": DRIED, "jam": JAM, "candied": CANDIED, "ferment": FERMENT}
_TREATED = {word: node for name, node in _TREATMENTS.items() for word in words(f"treated_{name}")}
_TREATED_SAID = trait(_TREATED)
_TINS = frozenset(["tin", "tins"])


_LINKS = words("links")


def treat(draft: Draft) -> None:
    """Move fruit to the preserve shelf where it is dried, cooked or candied; pickled vegetables to the ferments."""
    for i in draft.where(_TREATED_SAID):
        word = draft.words[i]
        node = _TREATED[word]
        if not draft.is_word(i):
            continue
        own = draft.covering(i)
        if own is not None and (own.first < i or own.last > i):
            continue
        k = i + 1
        if word in _TINS:
            if draft.word(k) != "of":
                continue  # the metal
            k += 1
        while draft.word(k) in ("and", "red", "ripe", "wild", "old") and draft.starting(k) is None:
            k += 1
        after = draft.starting(k)
        if after is not None and _can_be(draft, after, node):
            after.words = f"{word} {after.words}"
            after.move(node, "treatment")
            draft.stretch(after, first=i)
            nxt = draft.starting(after.last + 2)
            if (
                draft.word(after.last + 1) in ("and", "or")
                and nxt is not None
                and draft.is_fruit(nxt.node)
                and node == DRIED
            ):
                nxt.move(node, "treatment")
            continue
        k = i - 1
        while draft.word(k) in _LINKS:
            k -= 1
        before = draft.ending(k)
        if before is not None and _can_be(draft, before, node) and not (draft.starting(i + 1) and k == i - 1):
            before.move(node, "treatment")
            draft.stretch(before, last=i)


def _grades_a_taste(draft: Draft, f: Found) -> bool:
    graded = draft.starting(f.last + 1) or draft.ending(f.first - 1)
    return graded is not None and graded.node.startswith(("tongue", "touch/drying"))  # "soft tannins"


# "peaches in syrup", "pears in juice"
_STEEPED = words("steeped")
_STEEPED_SAID = trait(_STEEPED)


def steep(draft: Draft) -> None:
    """Move fruit in syrup to the preserve shelf."""
    for f in draft.found:
        if draft.is_fruit(f.node) and draft.word(f.last + 1) == "in" and draft.word(f.last + 2) in _STEEPED:
            f.move(JAM, "treatment")
            draft.stretch(f, last=f.last + 2)


# "drying like a green banana", "thick as date syrup": between a feel and its likeness.
_LIKE = words("like")
_LIKE_SAID = trait(_LIKE)
_TO_LIKE = words("to_like")


def liken(draft: Draft) -> None:
    """Drop the thing that a feel is only likened to, up to the end of the clause."""
    for f in draft.found:
        if draft.family(f.node) != "touch" or draft.cover[f.first] is not f:
            continue
        k = f.last + 1
        while k - f.last < 5 and draft.word(k) in _TO_LIKE:
            k += 1
        if draft.word(k) not in _LIKE:
            continue
        while draft.starting(k + 1) is None and (draft.word(k + 1) in _TO_LIKE or draft.word(k + 1) in _LIKE):
            k += 1
        thing = draft.starting(k + 1)
        if thing is not None and (draft.is_food(thing.node)):
            draft.drop(thing)
            tail = draft.starting(thing.last + 4)
            if (
                tail is not None
                and draft.word(thing.last + 1) in ("that", "that's", "which")
                and tail.words in ("green", "unripe")
            ):
                draft.drop(tail)


def _can_be(draft: Draft, f: Found, node: str) -> bool:
    if node == FERMENT:
        return draft.family(f.node) == "vegetable-plot"
    return draft.is_fruit(f.node)


# "roasted hazelnut", "rancid nuts", "fresh bread": before a food these words only colour it.
_COLOURING = words("colouring")
_COLOURING_SAID = trait(_COLOURING)
# Of them, these keep a meaning of their own before a food: "sweet cereal", "bright lemon", "sticky toffee".
_YIELDING = _COLOURING - frozenset(
    ["clean", "lively", "vivid", "round", "simple", "bland", "thick", "sticky", "toasty"]
)


_GRADES = words("grades")
_PARTICIPLES = words("participles")


def absorb(draft: Draft) -> None:
    """Let colouring words before a food be part of its mention ("toasted rye", "fresh baked bread")."""
    for i in reversed(draft.where(_COLOURING_SAID)):
        f, word = draft.starting(i), draft.words[i]
        if f is None or f.last > i:
            continue
        after, behind = draft.starting(i + 1), draft.ending(i - 1)
        if word in _PARTICIPLES and behind is not None and after is None and draft.is_food(behind.node):
            draft.stretch(behind, last=i)  # "caramel burned"
        elif word in _YIELDING and after is not None and draft.is_food(after.node):
            draft.drop(f)
            if word not in _GRADES:
                draft.stretch(after, first=i)
        elif word in _GRADES and _grades_a_taste(draft, f):
            draft.drop(f)  # "soft acidity", "acidity soft": how much of it there is


# "heavy body", "medium-plus body", "body is full", "Body: light", "texture is full and oily"
_BODY = frozenset(["body", "mouthfeel", "texture", "bodied"])
_BODY_SAID = trait(_BODY)
_BODY_SIZE = words("body_size")
_MUCH = words("body_much")
_SIZES = words("sizes")
_COPULA = words("copula")


def qualify_body(draft: Draft) -> None:
    """Make one mention of "body" or "mouthfeel" and the word that says how it is."""
    for i in draft.where(_BODY_SAID):
        word = draft.words[i]
        if not draft.is_word(i) or draft.covering(i):
            continue
        before = draft.ending(i - 1)
        if before is not None:
            node = _BODY_NODES.get(before.words) or _BODY_NODES.get(draft.family(before.node))
            if draft.family(before.node) in ("touch", "whole-cup", "passage") and before.words != "body":
                draft.stretch(before, last=i)
            elif node is not None:
                before.move(node, "body and its qualifier")
                draft.stretch(before, last=i)
            continue
        first, much = i, draft.word(i - 1) in _MUCH
        while draft.word(first - 1) in _BODY_SIZE or (
            draft.word(first - 1) == "+" and draft.word(first - 2) in _BODY_SIZE
        ):
            first -= 1
        if (first < i or much) and word != "texture":
            draft.put(Found(first, i, WEIGHT, "form", "body", "body and its qualifier"))
            continue
        k = i + 1
        while draft.word(k) in _COPULA or draft.word(k) in (
            "very",
            "quite",
            "rather",
            "a",
            "bit",
            "so",
            ":",
            "really",
            "pretty",
        ):
            k += 1
        said = draft.starting(k)
        if said is not None and draft.family(said.node) in ("touch", "whole-cup"):
            continue
        if draft.word(i + 1) == ":":
            while k < draft.end and draft.word(k) not in (".", ";", "\n", ":") and draft.word(k) not in _SIZES:
                k += 1  # "Body: juicy, medium"
        if draft.word(k) in _SIZES and not draft.covering(k):
            draft.put(Found(k, k, WEIGHT, "form", "body", "body and its qualifier"))
        elif said is not None and k > i + 1 and draft.word(k - 1) in ("like", "of", "a"):
            said.move(WEIGHT, "body and its qualifier")
            draft.stretch(said, first=i)  # "body like whole milk": the likeness only says how it feels
        elif word == "body" and draft.word(i + 1) != ":" and draft.word(i - 1) not in ("my", "your", "whole", "human"):
            draft.put(Found(i, i, WEIGHT, "form", "body", "body and its qualifier"))


# What a food word says of a body: "buttery body" is a texture, "tea-like body" a weight.
_BODY_NODES = {
    "herb-garden": WEIGHT,
    "dairy": "touch/texture",
    "sugar-pan": "touch/texture",
    "tongue": WEIGHT,
    "cellar": WEIGHT,
}

# "long finish", "aftertaste went on and on", "the end is sweet, long", "gd length", "Finish: medium"
_FINISH = words("finish")
_FINISH_SAID = trait(_FINISH)
_LENGTH = words("length")
_LASTS = words("lasts")


def qualify_finish(draft: Draft) -> None:
    """Make one mention of "finish" or "aftertaste" where its length or persistence is said."""
    for i in draft.where(_FINISH_SAID):
        word = draft.words[i]
        if not draft.is_word(i) or draft.covering(i):
            continue
        if (
            word in ("end", "ending", "tail")
            and draft.word(i - 1) in ("the", "very")
            and draft.word(i - 2) in ("at", "in", "by", "towards", "to", "very")
        ):
            continue
        k, first = i - 1, None
        while k >= 0 and i - k <= 4 and (draft.is_word(k) or draft.word(k) == ","):
            if draft.word(k) in _LENGTH:
                first = k
            elif draft.word(k) in ("and", "but", "the", "a", "in", "on") and first is None and i - k > 1:
                break
            k -= 1
        if word == "length" and draft.word(i - 1) in (
            "good",
            "great",
            "nice",
            "decent",
            "some",
            "real",
            "no",
            "little",
        ):
            first = i - 1
        if first is not None:
            _claim_finish(draft, first, first if i - first > 1 else i)
            continue
        heading = draft.word(i + 1) == ":"
        k, steps = i + 1, 0
        while k < draft.end and steps < 9 and draft.word(k) not in (".", ";", "!", "\n", "but"):
            w = draft.word(k)
            if w in _LENGTH and not (w in ("long", "short") and draft.word(k + 1) in ("time", "while")):
                _claim_finish(draft, k, k)
                break
            if w in _LASTS and not heading and w not in ("long", "short", "stays"):
                _claim_finish(draft, i, k)
                break
            if w in ("which", "it", "i", "of", "with") and steps > 0:
                break
            k, steps = k + 1, steps + 1


def _claim_finish(draft: Draft, first: int, last: int) -> None:
    """Put one mention of the finish over tokens `first` to `last`, unless something else stands between."""
    for begin in (first, last):
        inside = [f for f in (draft.covering(k) for k in range(begin, last + 1)) if f is not None]
        if all(draft.family(f.node) == "passage" for f in inside):
            draft.put(Found(begin, last, FINISH, "form", "finish", "finish and its length"))
            return


# Each rule with the trait of the words that it asks for, in the order in which they build on one another.
_RULES = (
    (_HEADS_SAID, join_heads),
    (_OF_SAID, turn_round),
    (_OF_SAID, join_heads_of),
    (_TREATED_SAID, treat),
    (_STEEPED_SAID, steep),
    (_COLOURING_SAID, absorb),
    (_LIKE_SAID, liken),
    (_BODY_SAID, qualify_body),
    (_FINISH_SAID, qualify_finish),
)


def compose(draft: Draft) -> None:
    """Put together what belongs together."""
    share_heads(draft)
    said = draft.said
    for asked, rule in _RULES:
        if said & asked:
            rule(draft)
