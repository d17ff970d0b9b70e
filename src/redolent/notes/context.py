"""What is not about the cup: brewing data, people and places, food eaten beside it, wishes, and words with other meanings.

A match is only a word; these rules ask whether the note uses it of the cup.
"""

from redolent.notes.compose import Draft
from redolent.notes.cues import WISHES
from redolent.notes.match import Found
from redolent.notes.tokens import NUMBER, WORD
from redolent.notes.words import FUNCTION_WORDS, flags

# Nouns that a word of feel or of the whole cup may stand before and still be said of the cup.
CUP_NOUNS = frozenset(
    """cup coffee brew body mouthfeel texture feel feeling finish aftertaste end ending edge edges taste tastes flavour flavours flavor
    flavors aroma aromas nose note notes start side sides profile character acidity acid sip sips mouthful style tone tones thing things stuff
    quality qualities impression one ones kind sort drink palate sensation experience smell scent bite grip tang touch layer layers twist lift hit
    kick background middle centre center core backbone structure undertone undertones personality vibe vibes mess bomb medley mix blend water
    liquid mouth tongue lips gums throat pour at""".split()
)  # fmt: skip

# Everyday words that name a descriptor only where the note plainly says it of the cup ("very even", "flat, dull").
WARY = frozenset(
    """even short steady ordinary empty dead tired busy defined precise punch snap zip bite grip pulp builds layers rain
    beach forest cow mouse pig snow dust basement stable farm loft cools warms neat broad stone stones oil spirit spirits
    cutlery steel copper tin coin coins iron metal paper glass brick clay mud pond cave sand shells cork loft feathers horse goat
    generic detailed explosive fuzzy limp faded focused slack spirited messy mixed stuffy refined graceful precise
    defined definition precision burning burns sting stings pops crackles concentrated concentration foam froth crowded
    echoes returns hits lift lifts fresh green clear open opens evolves evolved transparent baking attack attacks dirt stable
    pure complicated generic framework abrupt deep rounded integrated steak dinner lunch bar garden plant plants root roots
    weightless animated structure broken sharp balance flower flowers fluffy stale bland dairy baked brine smart cooling warming
    full fuller polish pool swimming plastic wax glue ink soap rust tar sweat cork barrel oak pine cedar leaf leaves stem wood woods fire""".split()
)  # fmt: skip
# Of these, verbs and everyday adjectives that need the strictest sign.
STRICT = frozenset(
    """even short steady ordinary empty dead tired busy defined precise builds cools warms neat broad detailed limp focused
    messy mixed refined hits lift lifts open opens evolves baking attack attacks returns echoes pops complicated generic
    balance structure full fuller abrupt crowded spirited explosive concentrated clear smart stable deep faded cooling definition
    precision concentration""".split()
)  # fmt: skip

_SAYS = frozenset(
    """is was are were be been being feels felt feel tastes tasted taste seems seemed gets got get getting goes went going turned turns stays
    stayed stay remains remained becomes became finishes finished drinks drank smells smelled smelt looks comes came ends ended isn't wasn't
    it's very quite rather so too really super slightly somewhat bit little more less most extremely pretty fairly almost still just not
    completely totally utterly perfectly incredibly beautifully nicely well maybe never as turning nothing something overall medium""".split()
)  # fmt: skip
_LIST_MARKS = frozenset([",", ".", ";", ":", "\n", "and", "or", "nor", "but", "!", "?", "(", ")", "—", "–", "-", "/", "+", "…", "then", "yet", "though", "with", '"', "“", "”", "'"])  # fmt: skip
_AFTER_OK = frozenset(
    "on in to at when as all throughout though through from over almost enough until for around overall too now like this".split()
)

STAGES_SAID = frozenset(
    "smell aroma fragrance grounds ground nose stage phase sniff dose weight powder aromatics bloom side smelling".split()
)

# Things that are in the room, not in the cup: what a clause with such a subject says is not of the cup.
ROOM = frozenset(
    """kettle grinder filter bag packet jug mug spoon room kitchen weather window table jacket shirt phone car train bus neighbour
    neighbor outside scale scales dripper carafe bed slurry grounds cat dog baby shoes hands fingers roastery shop cafe café office
    colleague's barista's radio door garden candle neighbour's upstairs street bakery perfume lipstick toothpaste shampoo sink bin stove oven
    basket plate fridge apron sweater scarf coat umbrella queue server pouch tin label sticker box wrapper logo wall walls sofa chair
    curtains carpet floor tiles flat gooseneck burr burrs hopper chaff basement next-door handsoap detergent""".split()
)  # fmt: skip
_OWNED = (FUNCTION_WORDS | {"milk", "new", "old"}) - {"of", "in"}
_EATING = (
    "ate|eating|eaten|nibbling|munching|snacking|chewing|slice of|piece of|plate of|bowl of|for breakfast|for lunch|for dinner|for pudding|sandwich|dunked|dunking|dipped|"
    "alongside a|next to a|beside a|served with|served alongside|had just had|had just eaten|just brushed|after lunch of|washed down|shared a|bite of a|bit into a|biting into my|brought|baked a|"
    "cooking|frying|was peeling|peeling an|peeling a|spilled|spilt|snack|breakfast was|lunch was|my toast|my porridge|cereal bowl|paired with|with a slab of|leftover|finished a|finished my|handed out|"
    "drinking|drank a|a glass of|a cup of|with my|before this i had|i had a|wearing|wore|lit a|burning a|burned my|burnt my|on the side|packed lunch|pudding was|chewed|sucking|crunching|baking"
)  # fmt: skip
EATING = tuple(tuple(p.split()) for p in _EATING.split("|"))
_SMELLED = frozenset("still smelled smelt reeked stank".split())
_SKIN = frozenset("hands fingers sleeve sleeves jumper".split())
_ELSEWHERE = frozenset("outside upstairs downstairs nextdoor".split())
_WISH_ENDS = frozenset([",", ".", ";", "but", "!", "?", "\n", "and"])
# Bought things that only bear a scent: "mint toothpaste".
_SCENTED = frozenset(
    "toothpaste shampoo mouthwash gum deodorant lotion conditioner detergent freshener".split()
)
_LIKENESS = frozenset(
    "like reminds reminded remind reminiscent recalls evokes tastes smells as taste smell if thinking imagine".split()
)

_PERSON_VERBS = frozenset(
    """poured pours said says swears swore brought brings made makes brewed brews thinks thought got gets found finds told was
    called suggested suggests smelled tasted detected claims claimed reckons insists insisted wrote roasted gave sent picked
    asked laughed came joined loved loves liked likes wanted and agreed agrees disagreed disagrees noticed noted mentioned
    ground grinds served serves described describes recommended shared has had prepared calls keeps handed would kept bought
    couldn't can't didn't doesn't won't hates hated prefers preferred never always is knows felt feels""".split()
)  # fmt: skip
_OTHERS = frozenset(
    """he she they everyone everybody someone somebody others colleague friend friends husband wife partner daughter son
    mother father mum dad sister brother neighbour barista teacher roaster brother-in-law boyfriend girlfriend flatmate
    roommate boss people classmate instructor aunt uncle grandma grandpa nan cousin host another""".split()
)  # fmt: skip
_REPORTS = frozenset("says said swears swore thinks thought got gets finds found claims claimed reckons insists insisted tasted smelled feels felt smells picked caught detected detects noticed mentioned called calls heard wrote suggests suggested tastes".split())  # fmt: skip
_UNITS = frozenset("g gr gram grams kg ml l c f °c °f degrees celsius fahrenheit min mins minutes minute sec secs seconds s bar psi ppm tds percent % clicks click am pm euro pounds dollars masl m oz".split())  # fmt: skip
_PLACES_AFTER = frozenset("café cafe street road lane avenue farm estate house hotel square park market bar shop roasters roastery hill valley court place inn station hall arms".split())  # fmt: skip
_GRIND = frozenset("grind roast roasted roasting setting ratio fermentation process processed processing filter washed natural roaster water temperature temp heat bloom pour batch lot paper cloth stream flow burrs speed extraction beans bean".split())  # fmt: skip


def keep_the_cups(draft: Draft) -> None:
    """Drop the matches that are not said of the cup."""
    names = _names(draft)
    dropped = names | _headings(draft) | _beside(draft) | _wished(draft)
    gone = [
        f
        for f in draft.found
        if any(i in dropped for i in range(f.first, f.last + 1))
        or _is_data(draft, f)
        or _is_a_colour(draft, f)
        or _is_a_scene(draft, f)
        or not _is_said(draft, f)
    ]
    for f in gone:
        draft.drop(f)


def _next_word(draft: Draft, i: int) -> str:
    return draft.words[i + 1] if draft.is_word(i + 1) else ""


def _is_said(draft: Draft, f: Found) -> bool:
    """Ask whether a word of feel, or an everyday word, is said of the cup here."""
    single = f.first == f.last
    word, before, after = f.words, draft.word(f.first - 1), draft.word(f.last + 1)
    family = draft.family(f.node)
    if (
        word == "dry"
        and single
        and (after in STAGES_SAID or after in (":", "-") or before in ("on", "in", "when", "while"))
    ):
        return False
    if word in ("cools", "warms", "cooling", "warming", "cooled", "warmed") and single and (before in ("it", "as", "while", "on", "after", "cup", "it's", "is", "and", "when", "coffee", "upon", "with") or after in ("down", "off", "up", "it", "cup")):  # fmt: skip
        return (
            word in ("cooling", "warming")
            and before in ("and", "with", "is")
            and after not in ("down", "off", "up", "it", "cup")
        )
    if word == "flat" and after in ("white", "whites", "bottom", "burr", "burrs"):
        return False
    if single and after in _GRIND and (family in ("touch", "whole-cup", "hearth") or word in WARY):
        return after == "roast" and word in ("dark",)
    if single and word in ("roast", "roasts") and (before in ("earlier", "this", "the", "last", "first", "second", "same", "medium", "light", "dark", "darker", "lighter", "previous", "other", "new", "filter") or after in ("date", "level", "profile", "degree", "was", "from")):  # fmt: skip
        return after in ("character", "flavour", "flavor", "notes", "note")
    if not single or (family not in ("touch", "whole-cup", "passage") and word not in WARY):
        return True
    if word in ("bean", "beans"):
        return before in ("of", "like", "cooked", "boiled")  # else they are the coffee's
    if word == "empty" and ("cup" in (after, draft.word(f.first - 2))):
        return False
    if word in STRICT:
        said = before in _SAYS or before in _LIST_MARKS or before == ""
        ends = after in _LIST_MARKS or after == "" or after in CUP_NOUNS
        return said and ends or after in CUP_NOUNS
    return not _before_other_noun(draft, f)


def _before_other_noun(draft: Draft, f: Found) -> bool:
    """Ask whether the match describes a noun that is neither the cup nor another descriptor ("a clean kettle")."""
    after = _next_word(draft, f.last)
    if (
        not after
        or after in CUP_NOUNS
        or after in FUNCTION_WORDS
        or after in _LIST_MARKS
        or after in _AFTER_OK
    ):
        return False
    if draft.starting(f.last + 1):
        return False
    marks = flags(after)
    doing = after.endswith("ing") and "v" in marks
    return (
        marks.startswith("n")
        and "a" not in marks
        and "r" not in marks
        and not doing
        and not after.endswith(("ed", "ly"))
    )


def _headings(draft: Draft) -> set[int]:
    """Find the words of headings ("Dry:", "BREAK -", "On the nose:"): they are places in the note."""
    heads: set[int] = set()
    for i, word in enumerate(draft.words):
        if word != ":":
            continue
        k = i - 1
        while k >= 0 and draft.is_word(k) and i - k <= 3:
            k -= 1
        if (
            k < 0 or draft.words[k] in (".", "\n", ";", "!", "?", ",", ")", "/", "…", "-", "—", "–")
        ) and i - k > 1:
            said = draft.words[k + 1 : i]
            if any(w in HEADING_WORDS for w in said) and all(
                w in HEADING_WORDS or w in FUNCTION_WORDS for w in said
            ):
                heads.update(range(k + 1, i))
    for i, word in enumerate(draft.words):
        if (
            word in HEADING_WORDS
            and draft.word(i + 1) in ("-", "–", "—", "=")
            and draft.word(i - 1) in ("", ".", "\n", ";", "!", ",")
        ):
            heads.add(i)
    return heads


HEADING_WORDS = frozenset(
    """dry wet crust break hot warm cool cold cooling cooled lukewarm body finish aroma fragrance nose flavour flavor acidity sweetness bitterness aftertaste
    mouthfeel overall balance texture taste palate smell grounds ground first second last sip nose mouth feel final cup notes
    defects faults summary clean uniformity""".split()
)  # fmt: skip


def _names(draft: Draft) -> set[int]:
    """Find capitalised words that are people or places: "Rose poured", "at the Orchard café", "with Basil"."""
    names: set[int] = set()
    letters = [t for t in draft.tokens if t.kind == WORD and len(t.norm) > 1]
    if letters and sum(t.capital for t in letters) > 0.6 * len(letters):
        return names
    for f in draft.found:
        token = draft.tokens[f.first]
        if not token.capital:
            continue
        after, before = _next_word(draft, f.last), draft.word(f.first - 1)
        inside = before not in (
            "",
            ".",
            "!",
            "?",
            "\n",
            ":",
            ";",
            ",",
            '"',
            "“",
            "'",
            "(",
            "-",
            "–",
            "—",
            "…",
            "and",
            "or",
        )
        possessive = draft.text[draft.tokens[f.last].start : draft.tokens[f.last].end].endswith(("'s", "’s"))
        person = (
            _acts(draft, f.last + 1)
            or after in _PERSON_VERBS
            and not (after in ("and", "is", "was", "has", "had", "came", "never") and not inside)
        )
        if (
            after == "and"
            and draft.tokens[f.last + 2 : f.last + 3]
            and draft.word(f.last + 2) in ("i", "me", "we")
        ):
            person = True
        if before == "and" and draft.word(f.first - 2) in ("i", "me") or possessive and draft.vocab.lexicon[f.node].label[:1].islower() and after in _OTHERS | ROOM | {"place", "kitchen", "house", "cup", "turn"}:  # fmt: skip
            person = True
        place = after in _PLACES_AFTER or (
            after and draft.tokens[f.last + 1].capital and draft.word(f.last + 1) in _PLACES_AFTER
        )
        meant = inside and before in ("with", "by", "from", "at", "to", "for", "aunt", "uncle", "mr", "mrs", "miss", "dear", "than", "thanks", "tell", "told", "asked", "poor", "little", "at") and not f.words[:1].isupper()  # fmt: skip
        if draft.vocab.lexicon[f.node].label[:1].isupper() and not place:
            continue
        if person or place or meant or (before == "the" and place):
            names.update(range(f.first, f.last + 1))
    return names


def _acts(draft: Draft, i: int) -> bool:
    """Ask whether a person's doing begins at token `i`: "turned the fan on", "was doing the crossword", "had a tangerine"."""
    word, following = draft.word(i), draft.word(i + 1)
    if word in ("was", "is") and following.endswith("ing") and "v" in flags(following):
        return draft.starting(i + 1) is None and following not in (
            "fading",
            "coming",
            "lingering",
            "growing",
        )
    done = (
        word.endswith("ed") or word in ("had", "has", "blew", "took", "put", "spilt", "lent")
    ) and draft.is_word(i)
    return done and following in ("the", "a", "an", "my", "our", "his", "her", "me", "us", "their")


def _clauses(draft: Draft) -> list[tuple[int, int]]:
    """Split the note at stops, commas and turns into runs of tokens."""
    cuts, start = [], 0
    for i, word in enumerate(draft.words):
        if word in (
            ".",
            "!",
            "?",
            ";",
            "\n",
            ",",
            ":",
            "but",
            "so",
            "—",
            "–",
            "though",
            "although",
            "(",
            ")",
            "-",
            "then",
        ):
            cuts.append((start, i))
            start = i + 1
    cuts.append((start, len(draft.words)))
    return [c for c in cuts if c[0] < c[1]]


def _has(words: list[str], phrases: tuple[tuple[str, ...], ...]) -> int:
    """Give where the first of `phrases` begins in `words`, or -1."""
    best = -1
    for i, word in enumerate(words):
        for phrase in phrases:
            if phrase[0] == word and tuple(words[i : i + len(phrase)]) == phrase:
                return i if best < 0 else best
    return best


def _beside(draft: Draft) -> set[int]:
    """Find what is said of the room, or of food eaten beside the cup."""
    out: set[int] = set()
    for start, stop in _clauses(draft):
        words = draft.words[start:stop]
        like = next((k for k, w in enumerate(words) if w in _LIKENESS), len(words))
        eaten = _has(words, EATING)
        if 0 <= eaten <= like and draft.covering(start + eaten) is None:
            out.update(range(start if words[eaten] in ("for", "on") else start + eaten, stop))
        if _is_of_the_room(words, like):
            out.update(range(start, stop))
            continue
        for k, w in enumerate(words):
            if w in _SCENTED and k and draft.covering(start + k) is None:
                out.add(start + k - 1)  # "mint toothpaste"
            elif w in ROOM and words[k - 1 : k] not in (["of"], ["like"]):
                said = draft.starting(start + k + 1)
                if said is not None and not draft.is_food(said.node):
                    out.add(start + k + 1)  # "grinder clean"
    return out


def _is_of_the_room(words: list[str], like: int) -> bool:
    """Ask whether a clause speaks of the room: "the milk jug still smelled of soap", "wet pine outside"."""
    likened = any(w in _LIKENESS - {"smell", "smells"} for w in words)
    for k, w in enumerate(words):
        if w in ROOM and 0 < k < like and words[k - 1] in _OWNED:
            if any(v in _SAYS or v in _SMELLED for v in words[k + 1 : k + 4]):
                return True
        elif w in _SKIN and words[k - 2 : k - 1] == ["on"] and not likened:
            return True
        elif (w in _ELSEWHERE and not likened) or w in ("colour", "color", "coloured", "colored"):
            return True
    return False


def _wished(draft: Draft) -> set[int]:
    """Find what the writer wished for, expected, or was promised: it is not in the cup."""
    out: set[int] = set()
    for start, stop in _clauses(draft):
        at = _has(draft.words[start:stop], WISHES)
        if at < 0 or "than" in draft.words[start : start + at]:
            continue
        end = stop
        while draft.word(end) == "," and draft.starting(end + 1):
            end += 1
            while end < len(draft.words) and draft.words[end] not in _WISH_ENDS:
                end += 1
        out.update(range(start + at, end))
    return out


def _is_data(draft: Draft, f: Found) -> bool:
    """Ask whether a match is brewing data: beside a number with its unit, or before a brewer's noun."""
    before, after = f.first - 1, f.last + 1
    if 0 <= before < len(draft.tokens) and draft.tokens[before].kind == NUMBER and f.words in _UNITS:
        return True
    return f.first == f.last and draft.word(after) in ("grind", "grinder", "filters", "filter", "paper") and f.words in ("fine", "coarse", "medium", "rough", "paper", "cloth", "metal", "steel", "flat")  # fmt: skip


_COLOURS = frozenset("red green blue yellow orange purple pink brown black white grey gray cream colour color coloured".split())


def _is_a_colour(draft: Draft, f: Found) -> bool:
    """Ask whether a food names the colour of a thing: "a cherry red bag"."""
    k = f.last + 1
    while draft.word(k) in _COLOURS:
        k += 1
    return draft.word(k) in ROOM and (k > f.last + 1 or draft.word(k) in ("bag", "packet", "label", "box", "mug", "jumper", "tin"))


def _is_a_scene(draft: Draft, f: Found) -> bool:
    """Ask whether a match is a scene whose things are listed after it: "like a second-hand bookshop: leather, cedar"."""
    if draft.word(f.last + 1) != ":" or draft.starting(f.last + 2) is None:
        return False
    return any(w in ("like", "inside", "in", "of") for w in draft.words[max(0, f.first - 4) : f.first])


def told_by_others(draft: Draft) -> set[int]:
    """Find the tokens of what another taster found: "Saffron swears she got apple", "my colleague says he feels fennel"."""
    out: set[int] = set()
    for start, stop in _clauses(draft):
        words = draft.words[start:stop]
        for k, w in enumerate(words[:-1]):
            other = w in _OTHERS or (
                draft.tokens[start + k].capital
                and k + 1 < len(words)
                and words[k + 1] in _REPORTS
                and w not in FUNCTION_WORDS
            )
            if other and any(x in _REPORTS for x in words[k + 1 : k + 4]):
                out.update(range(start + k, stop))
                break
    return out
