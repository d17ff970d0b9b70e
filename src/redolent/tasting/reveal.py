"""The reveal: what was in each cup, which words came back to a repeat, and what changed as the cups cooled."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from statistics import fmean

from redolent.blind.page import bullets, document, plain
from redolent.lexicon import Lexicon
from redolent.notes import read
from redolent.notes.similarity import Profile, reading_similarity


@dataclass(frozen=True, slots=True)
class TastedCup:
    """A cup after its tasting.

    Attributes
    ----------
    code, coffee : str
    notes : mapping of str to str
        The first revision of the note of each stage.
    """

    code: str
    coffee: str
    notes: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class RepeatPair:
    """Two cups of one coffee.

    Attributes
    ----------
    coffee : str
    codes : tuple of two str
    shared : tuple of str
        Node ids of the words that both cups were given.
    only : tuple of two tuple of str
        Node ids that one of them was given.
    similarity : float or None
        0 to 1; None where one of them was given no word.
    """

    coffee: str
    codes: tuple[str, str]
    shared: tuple[str, ...]
    only: tuple[tuple[str, ...], tuple[str, ...]]
    similarity: float | None


@dataclass(frozen=True, slots=True)
class Change:
    """What a cup gained and lost from hot to cool, as node ids."""

    code: str
    gained: tuple[str, ...]
    lost: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reveal:
    """What a tasting shows.

    Attributes
    ----------
    cups : tuple of TastedCup
    pairs : tuple of RepeatPair
    strangers : float or None
        Mean similarity of the pairs of cups of different coffees, the reference for the repeats.
    stranger_pairs : int
    changes : tuple of Change
        Of the cups that have a hot and a cool note.
    new_words : tuple of str
        Node ids that none of the taster's earlier tastings held.
    """

    cups: tuple[TastedCup, ...]
    pairs: tuple[RepeatPair, ...]
    strangers: float | None
    stranger_pairs: int
    changes: tuple[Change, ...]
    new_words: tuple[str, ...]


def lay_open(
    cups: Sequence[TastedCup],
    lexicon: Lexicon,
    *,
    personal: Mapping[str, str] | Iterable[tuple[str, str]] = (),
    known: Iterable[str] = (),
) -> Reveal:
    """Compare the cups of a tasting.

    Parameters
    ----------
    cups : sequence of TastedCup
    lexicon : Lexicon
    personal : mapping or iterable of pairs
        The taster's own words.
    known : iterable of str
        Node ids of earlier tastings.

    Notes
    -----
    A cup is the union of its stages, without what is hedged or inferred; similarity is `reading_similarity`.
    """
    stages = {cup.code: {s: _profile(text, lexicon, personal) for s, text in cup.notes.items()} for cup in cups}
    whole = {code: _merge(profiles.values()) for code, profiles in stages.items()}
    pairs, strangers = [], []
    for a, b in combinations(cups, 2):
        # A cup without a word is no cup unlike the others.
        worded = whole[a.code].present and whole[b.code].present
        similarity = reading_similarity(whole[a.code], whole[b.code], lexicon) if worded else None
        if a.coffee == b.coffee:
            one, other = whole[a.code].present, whole[b.code].present
            only = _sorted(one - other, lexicon), _sorted(other - one, lexicon)
            pairs.append(RepeatPair(a.coffee, (a.code, b.code), _sorted(one & other, lexicon), only, similarity))
        elif similarity is not None:
            strangers.append(similarity)
    changes = [
        Change(
            code,
            _sorted(profiles["cool"].present - profiles["hot"].present, lexicon),
            _sorted(profiles["hot"].present - profiles["cool"].present, lexicon),
        )
        for code, profiles in stages.items()
        if {"hot", "cool"} <= set(profiles)
    ]
    used = frozenset().union(*(profile.present for profile in whole.values()))
    return Reveal(
        tuple(cups),
        tuple(pairs),
        fmean(strangers) if strangers else None,
        len(strangers),
        tuple(changes),
        _sorted(used - set(known), lexicon),
    )


def tell_reveal(reveal: Reveal, lexicon: Lexicon) -> str:
    """Write a reveal as a fragment of HTML; all text is escaped."""
    parts = ["<h3>What was in the cups</h3>", _cups(reveal)]
    parts += ["<h3>The repeats</h3>", *(_pair(pair, lexicon) for pair in reveal.pairs)]
    parts.append(f"<p>{_reference(reveal)}</p>")
    if reveal.changes:
        parts += ["<h3>From hot to cool</h3>", bullets(*(_change(change, lexicon) for change in reveal.changes))]
    new = _labels(reveal.new_words, lexicon)
    parts += ["<h3>New words today</h3>", f"<p>{new or 'None: every word was known from an earlier tasting.'}</p>"]
    return "\n".join(parts)


def reveal_sheet(reveal: Reveal, lexicon: Lexicon, *, notes: str = "", taster: str = "", day: str = "") -> str:
    """Write a reveal as one HTML document that needs no other file.

    Parameters
    ----------
    notes : str
        HTML that follows, such as the notes in full; escaped already.
    """
    about = f"<p>{plain(taster)} &nbsp; {plain(day)}</p>"
    return document("Tasting: the reveal", about, tell_reveal(reveal, lexicon), notes, style=_STYLE)


_STYLE = "h3 { margin: 1rem 0 .25rem } mark { background: none; font-weight: 700; text-decoration: underline }"


def _cups(reveal: Reveal) -> str:
    rows = "".join(
        f'<tr><th scope="row">{number}</th><td>{plain(cup.code)}</td><td>{plain(cup.coffee)}</td></tr>'
        for number, cup in enumerate(reveal.cups, 1)
    )
    head = '<th scope="col">Cup</th><th scope="col">Code</th><th scope="col">Coffee</th>'
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _pair(pair: RepeatPair, lexicon: Lexicon) -> str:
    joined = "; ".join(f"<mark>{plain(lexicon[node].label)}</mark>" for node in pair.shared)
    rows = "".join(
        f'<tr><th scope="row">{plain(code)}</th><td>{joined or "nothing shared"}</td>'
        f"<td>{_labels(only, lexicon) or '–'}</td></tr>"
        for code, only in zip(pair.codes, pair.only, strict=True)
    )
    likeness = "no words to compare" if pair.similarity is None else f"similarity {pair.similarity:.2f}"
    head = '<th scope="col">Cup</th><th scope="col">In both</th><th scope="col">In this one only</th>'
    return (
        f"<p><strong>{plain(pair.coffee)}</strong> stood in two cups: {likeness}.</p>"
        f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
    )


def _reference(reveal: Reveal) -> str:
    if not reveal.pairs:
        return "No coffee stood on the table twice this time."
    if reveal.strangers is None:
        return "There were no two cups of different coffees with words to compare them with."
    pairs = f"{reveal.stranger_pairs} pairs" if reveal.stranger_pairs > 1 else "one pair"
    return (
        f"For reference, strangers: different coffees of this table have a similarity of {reveal.strangers:.2f} "
        f"(mean of {pairs}). One table says little; the progress page adds the tables up."
    )


def _change(change: Change, lexicon: Lexicon) -> str:
    gained, lost = (_labels(nodes, lexicon) or "nothing" for nodes in (change.gained, change.lost))
    return f"{plain(change.code)}: gained {gained}; lost {lost}."


def _labels(nodes: Sequence[str], lexicon: Lexicon) -> str:
    return ", ".join(plain(lexicon[node].label) for node in nodes)


def _profile(text: str, lexicon: Lexicon, personal: Mapping[str, str] | Iterable[tuple[str, str]]) -> Profile:
    return Profile.of_reading(read(text, lexicon=lexicon, personal=personal))


def _merge(profiles: Iterable[Profile]) -> Profile:
    profiles = list(profiles)
    return Profile.of(
        (node for profile in profiles for node in profile.present),
        (node for profile in profiles for node in profile.denied),
    )


def _sorted(nodes: Iterable[str], lexicon: Lexicon) -> tuple[str, ...]:
    return tuple(sorted(nodes, key=lambda node: lexicon[node].label))
