"""The words that turn a mention: denial, strength, doubt. Tables only; `scope` says how far each reaches.

A row is a set of phrases with one effect. A phrase is folded words; ``n't`` stands for any word that ends so ("isn't",
"couldn't"). Where two phrases begin at one word, the longer wins. The sentence after a table shows each row at work.
"""

from dataclasses import dataclass
from typing import Literal

Effect = Literal["deny", "slight", "strong", "hedge", "nothing"]
Reach = Literal["next", "list", "clause", "back", "sentence"]


@dataclass(frozen=True, slots=True)
class Cue:
    """What a phrase does, and to which mentions.

    Attributes
    ----------
    effect : {"deny", "slight", "strong", "hedge", "nothing"}
        "nothing" shields the phrase: its words are no cue of their own ("not only", "no doubt").
    reach : {"next", "list", "clause", "back", "sentence"}
        The next mention (and one joined to it by "and"); the whole list that follows; everything up to the end of the clause; the mention before; every mention of the sentence.
    """

    effect: Effect
    reach: Reach


def _rows(*rows: tuple[Effect, Reach, str]) -> dict[tuple[str, ...], Cue]:
    table: dict[tuple[str, ...], Cue] = {}
    for effect, reach, phrases in rows:
        for phrase in phrases.split("|"):
            table[tuple(phrase.split())] = Cue(effect, reach)
    return table


# "no doubt it is fig", "not only floral", "can't get past the smoke": these deny nothing.
SHIELDS = _rows(
    ("nothing", "next", "not only|not just|not merely|not simply|n't just|n't only|n't merely|not unlike|no doubt|no question"),
    ("nothing", "next", "no mistaking|no denying|no wonder|no surprise|no idea|no clue|not bad|not a bad|not half bad|n't bad|n't a bad|not unpleasant"),
    ("nothing", "next", "n't get past|n't get over|n't get away from|n't get enough of|n't stop|n't beat|n't miss|n't know|n't help but|n't help|n't mind"),
    ("nothing", "next", "n't decide|n't tell if|n't tell whether|n't place|n't describe|n't expect|n't wait|n't hide|n't care|n't remember|n't lack|not lacking|not short of"),
    ("nothing", "next", "n't want|n't like|n't a fan of|not a fan of|n't love|not my favourite|not my favorite|n't improve|n't change|n't budge|n't go away"),
    ("nothing", "next", "not to mention|not forgetting|no less|nothing but|why not|or not|if not|whether or not|as not|not for me|not that i mind|n't exaggerating"),
    ("nothing", "next", "no shortage of|no end of|out of nowhere|from nowhere|not in a good way|not in a bad way|n't forget|not even close|n't figure out|n't put my finger on|not quite ripe|no problem|no matter|n't say why"),
    ("nothing", "next", "so far|so that|so i|so it|so we|so then|so now|so maybe|so perhaps|so far|a bit of a|little by little|a bit later|a little later|in a bit|so did"),
    ("nothing", "next", "a while|a bit at|very much|low light|low sun|high up|soft light|a little while|a bit longer|low down|strong coffee|high chair"),
)  # fmt: skip

# "no smoke", "without ash", "lacks body", "lost its florals", "rose instead of clove", "anything but sweet"
DENIALS = _rows(
    ("deny", "clause", "no|not|n't|never|nor|neither|without|cannot|lacks|lacking|lack|lacked|lack of|lack any|lacking in|lacking any|devoid of|void of|free of|free from|absence of"),
    ("deny", "clause", "none of|nothing of|nothing|zero|minus|no longer|no more|not any|nowhere near|far from|anything but|missing|missing the|missing any|misses|missed"),
    ("deny", "clause", "lost its|lost the|loses its|loses the|losing its|losing the|lost all its|lost all the|lost all|lost any|has lost|have lost|had lost|dropped the|dropped its|shed its|shed the"),
    ("deny", "clause", "instead of|rather than|as opposed to|in place of|never any|hardly a trace of nothing|not a trace of|not a hint of|not a whiff of|not a sign of|not a touch of"),
    ("deny", "clause", "no sign of|no trace of|no hint of|no whiff of|no touch of|nowhere|stripped of|empty of|bereft of|short on|short of|nary a|nary|sans|sin|ohne|senza|fails to|failed to|refuses to"),
    ("deny", "clause", "can't find|can't get|couldn't find|couldn't get|searched in vain for|looked in vain for|looked for|could find no|i found no|where the|where's the|where is the|where did the|where are the"),
)  # fmt: skip

# "acidity is absent", "the smoke blew off", "the jasmine never arrived": said after the word.
DENIALS_AFTER = _rows(
    ("deny", "back", "absent|missing|gone|disappeared|vanished|blew off|blows off|blown off|blown away|burned off|burnt off|never arrived|never came|never showed|never appeared|never shows|never turned up"),
    ("deny", "back", "never comes|never quite arrived|never arrives|nowhere|nowhere to be found|not there|n't there|not present|n't present|not detectable|n't detectable|not found|n't come through|n't show|n't show up"),
    ("deny", "back", "n't appear|n't come|n't arrive|n't happen|n't turn up|n't make it|not noticeable|n't noticeable|no longer there|loses out completely|lost completely|drops out completely|dropped out"),
    ("deny", "back", "died off completely|nil|none|zero|ought to be|should be|should have been|was supposed to be|is supposed to be|used to be|had been|got lost|gets lost|wasn't for me|was absent|left completely"),
    ("deny", "back", "had gone|has gone|have gone|was gone|is gone|are gone|were gone|went missing|went away|goes away|has left|had left|have left|fell away completely|completely gone|all gone|faded to nothing|not for me"),
    ("deny", "back", "faded out completely|fades to nothing|fades out completely|faded away completely|free|were missing|was missing|is missing|are missing|seems missing|not in it|n't in it|not to be found"),
)  # fmt: skip

# "hints of rose and clove" is slight for both; "slightly woody" for the one; "a leathery edge" and "acidity low" look back.
SLIGHT = _rows(
    ("slight", "list", "hint of|hints of|touch of|touches of|trace of|traces of|tiny bit of|bit of|little bit of|pinch of|whiff of|whiffs of|squeeze of|whisper of|whispers of|edge of|suggestion of"),
    ("slight", "list", "ghost of|dash of|splash of|thread of|flicker of|glimmer of|echo of|shadow of|sprinkle of|sprinkling of|drop of|drops of|speck of|smidge of|smidgen of|tad of|lick of|breath of"),
    ("slight", "next", "hints|hint"),
    ("slight", "list", "wisp of|wisps of|nuance of|undertone of|undertones of|undercurrent of|background of|flash of|grain of|dusting of|drizzle of|kiss of|scrap of|shred of|fleck of|flecks of|dab of|crumb of"),
    ("slight", "next", "trace|whiff|touch"),
    ("slight", "list", "suspicion of|memory of|tinge of|fraction of|modicum of|smattering of|spot of|nip of|tickle of|in the background|remnant of|remnants of|rumour of|rumor of|nod to|nod of|scrape of"),
    ("slight", "next", "slightly|slight|faint|faintly|subtle|subtly|mild|mildly|gentle|gently|low|lower|lowish|delicate|delicately|weak|weakly|shy|little|a little|a little bit|a bit|a tad|a touch|a hint|a smidge"),
    ("slight", "next", "tiny|small|minor|minimal|modest|restrained|quiet|quietly|discreet|timid|fleeting hint of|lightly|softly|somewhat|a shade|a trifle|a whisper|barely|hardly|scarcely|only just|just about|almost no"),
    ("slight", "next", "hardly any|barely any|scarcely any|next to no|very little|little to no|not much|not a lot of|n't much|n't a lot of|n't a great deal of|not a great deal of|a mite|ever so slightly|vaguely|tame|light"),
    ("slight", "next", "soft|a bit like|a little like|not too much|n't too much|n't that much|not that much|not so much|not so|background|understated|thin trace of|muted hint of|few|a few|bit|hushed|wee bit|wee|teeny"),
    ("slight", "list", "a bit of|a little of|just a bit of|just a little|only a little|only a bit of|low levels of|low in|light on|not a lot of|not much in the way of|not much of a|poquito|un poco de|un poco|leicht|ein bisschen"),
    ("slight", "next", "not too|not very|not overly|not particularly|not especially|not terribly|not all that|not that|not really too|n't too|n't very|n't overly|n't particularly|n't especially|n't terribly|n't that|n't all that"),
    ("slight", "next", "never too|never very|never overly|not super|n't super|not so very|not hugely|n't hugely|not massively|not exactly bursting with|not extremely|n't extremely|not awfully|n't so|n't really very|without being too"),
)  # fmt: skip
SLIGHT_AFTER = _rows(
    ("slight", "back", "edge|tinge|low|lowish|faint|subtle|slight|mild|gentle|soft|weak|shy|delicate|quiet|minimal|restrained|small|tiny|very low|very faint|very slight|in the background|far in the background"),
    ("slight", "back", "at the back|way at the back|only just|barely there|hardly there|down to almost nothing|just a hint|just a touch|just a trace|just a whisper|only a hint|only a touch|a bit|a little|a touch|a tad|at a push"),
    ("slight", "back", "on the low side|on the quiet side|on the light side|very shy|very gentle|very mild|very soft|so faint|so low|lurking|hiding|hint|is low|was low|whisper|modest|discreet|lower|light|in small doses"),
    ("slight", "back", "low key|in the distance|underneath it all|far off|far away|miles away|if you look for it|barely|hardly|barely noticeable|barely perceptible|hardly noticeable|ish|in the very back|nearly gone|almost gone"),
)  # fmt: skip

# "loads of plum", "very dry", "bursting with rose"; "bitterness so fierce", "smoke all over it" look back.
STRONG = _rows(
    ("strong", "list", "lots of|lots and lots of|loads of|loads and loads of|loads|tons of|tonnes of|heaps of|piles of|plenty of|masses of|bags of|buckets of|oodles of|so much|so many|a lot of|a ton of|a load of|too much"),
    ("strong", "list", "bursting with|full of|packed with|dominated by|brimming with|dripping with|soaked in|drowning in|dense with|loaded with|reeks of|reeking of|stinks of|stinking of|screams|screams of|screaming of"),
    ("strong", "list", "bucket of|bag of|a wall of|wall of|wave of|waves of|blast of|explosion of|bomb of|burst of|bursts of|rush of|punch of|big hit of|hit of|slap of|flood of|mountain of|mountains of|abundance of|rich in|heavy on|high in|all about the"),
    ("strong", "list", "massive amounts of|a great deal of|an enormous amount of|too many|overflowing with|ton of|load of|lot of|buckets|tons|heaps|masses|lots|strong smell of|strong notes of|strong taste of|overrun with|laden with|crammed with"),
    ("strong", "next", "very|intense|intensely|strong|strongly|bold|boldly|dominant|dominating|predominant|high|higher level of|huge|hugely|massive|massively|pronounced|obvious|obviously|big|heavy|heavily|rich|richly|screaming"),
    ("strong", "next", "overwhelming|overwhelmingly|overpowering|overpoweringly|powerful|powerfully|extremely|super|really|so|incredibly|intensively|enormous|enormously|considerable|considerably|serious|seriously|fierce|fiercely"),
    ("strong", "next", "loud|potent|insanely|unbelievably|deeply|deep|extra|explosive|thumping|whopping|tremendous|tremendously|extreme|mega|ultra|hella|wildly|awfully|terribly|aggressively|full on|full-on|too|way too|far too|exceptionally"),
    ("strong", "next", "remarkably|particularly|especially|properly|right proper|dead|abundant|prominent|prominently|forceful|piercingly|vividly|hefty|assertive|unmissable|in your face|blasting|ridiculously|absurdly|painfully|muy|sehr|molto|très|tres"),
)  # fmt: skip
STRONG_AFTER = _rows(
    ("strong", "back", "bomb|all over it|all over the place|in your face|in my face|so fierce|everywhere|overwhelming|dominant|dominates|dominating|huge|massive|intense|strong|very strong|high|very high|pronounced|very pronounced|obvious"),
    ("strong", "back", "through the roof|off the charts|is king|takes over|took over|galore|overpowering|overpowers everything|big|really big|powerful|very big|loud|very loud|up front and loud|to the max|for days|in spades|explosion|so strong"),
    ("strong", "back", "very intense|really strong|super strong|too strong|too much|is a lot|turned up to eleven|hits hard|like mad|screaming|prominent|very prominent|unmissable|very obvious|leads everything|drowns everything|drowns the rest"),
    ("strong", "back", "overload|overdose|forward|heavy|extreme|extremely high|really high|really intense|so intense|so high|so big|so loud|enormous|fierce|potent|very potent|very present|so much|by far"),
)  # fmt: skip

# "maybe rose, clove or soap", "almost minty", "could be fig"; "honey I think", "clove?" look back.
HEDGES = _rows(
    ("hedge", "list", "maybe|perhaps|possibly|might be|could be|may be|might have been|could have been|i think|i guess|i suppose|probably|presumably|not sure if|not sure whether|not certain if|i'd guess|i would guess"),
    ("hedge", "list", "sort of|kind of|sorta|kinda|potentially|conceivably|seems like|seemingly|i want to say|i wanna say|if i had to guess|i'd say maybe|can't tell if|can't decide if|can't decide between|couldn't say if|n't tell if"),
    ("hedge", "list", "could it be|is it|is that|is this|was it|was that|i'm guessing|im guessing|i imagine|something that could be|might even be|could even be|n't decide between|n't decide if|n't tell whether|n't sure if|n't sure whether"),
    ("hedge", "list", "i believe|i thought i got|i thought i caught|i thought i smelled|i thought i smelt|i thought i tasted|i suspect|i fancy|arguably|suspected|apparently|supposedly|vielleicht|quizás|quizas|tal vez|peut être|peut-être|forse"),
    ("hedge", "next", "almost|nearly|almost like|bordering on|verging on|approaching|semi|quasi|borderline|i think maybe|perhaps a|not quite"),
)  # fmt: skip
HEDGES_AFTER = _rows(
    ("hedge", "back", "?|i think|i suppose|i guess|maybe|perhaps|possibly|probably|i believe|i'd guess|i would guess|if i'm honest maybe|not sure|n't sure|or something|or something like that|or so|or thereabouts|or similar|kind of|sort of"),
    ("hedge", "back", "kinda|sorta|but not sure|but i'm not sure|though i'm not sure|if that makes sense|or am i imagining it|if anything|as far as i can tell|i reckon|i imagine|presumably|i want to say|at a guess|as a guess|ish maybe|or whatever it is"),
    ("hedge", "sentence", "not sure about this one|not sure about that|not sure of it|making it up|making this up|making that up|imagining it|imagining things|imagining that|don't quote me|n't quote me|n't swear to it|n't swear to any of it|could be wrong"),
    ("hedge", "sentence", "might be wrong|may be wrong|not certain|n't certain|not confident|hard to be sure|hard to say for sure|take with a pinch of salt|just guessing|only guessing|guessing here|pure guess|wild guess|total guess|n't be sure"),
)  # fmt: skip

# What is wished for or expected is not in the cup: "I wanted more fruit", "could use some sweetness".
WISHES = tuple(
    tuple(p.split())
    for p in """wanted|i want|hope for|i hope|i'd have liked|i'd want|i'd like|would like|would have liked|would love|would have loved|wish|wished|wishing|could use|could do with|could have done with|needs|needed|hoped for|hoping for|i hoped|hoping|i was hoping|
expected|expecting|i'd expected|was expecting|craving|looking forward to|supposed to taste of|supposed to be|meant to be|the bag says|bag says|the bag said|the label says|label says|the label said|label promised|bag promised|
promised|the card says|the card said|the packet says|the packet said|according to the|the roaster says|roaster says|the roaster said|roaster claims|i was after|was promised|they promised|the box says|website says""".replace("\n", "").split("|")
)  # fmt: skip

# Words between a cue and the mention it governs.
FILLERS = frozenset(
    """a an the of some any in its his her their my our this that these those it really very quite rather more most much
    even still also just kind sort note notes noted aroma aromas smell smells scent flavour flavours flavor flavors taste tastes hint touch
    character tone tones nuance background proper real definite definitely clear clearly nice lovely good great odd strange pleasant
    beautiful wonderful weird unpleasant nasty ripe fresh raw warm hot cold old dark deep earlier same initial strong distinct
    distant single lone one slight little bit whole all almost at or and wild rather too so overly particularly""".split()
)  # fmt: skip

# A list goes on over these; anything else ends it.
JOINTS = frozenset([",", "and", "or", "nor", "/", "+", "plus", "with"])

# A denial or a doubt ends here, besides at a stop.
TURNS = frozenset(
    """but just though although however yet only instead except still because while whereas then more mostly rather until
    unless otherwise so""".split()
)  # fmt: skip

STOPS = frozenset([".", "!", ";", ":", "\n", "?", "—", "–", "(", ")", "…", "-"])
