"""What next: a place to explore, a word to sharpen and a pair to triangle, each with its reason."""

from collections.abc import Callable
from dataclasses import dataclass

import pandas as pd

from redolent.lexicon import Lexicon
from redolent.progress import wording
from redolent.progress.consistency import Repeats
from redolent.progress.discrimination import TriangleHistory
from redolent.progress.places import Places
from redolent.progress.returning import ReturningWords
from redolent.progress.vague import VagueWords

OFTEN = 3
"""Servings from which on a broad word, or a lone one, is a habit."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the rules look at."""

    places: Places
    vague: VagueWords
    returning: ReturningWords
    repeats: Repeats
    triangles: TriangleHistory
    lexicon: Lexicon


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One thing to do next.

    Attributes
    ----------
    kind : str
        "a place to explore", "a word to sharpen" or "a pair to triangle".
    what : str
        What to do.
    why : str
        The reason, with the numbers behind it.
    rule : str
        What the rule that fired asks for.
    """

    kind: str
    what: str
    why: str
    rule: str


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: where `when` holds, `suggest` gives what and why, else None."""

    kind: str
    when: str
    suggest: Callable[[Evidence], tuple[str, str] | None]


@dataclass(frozen=True, slots=True)
class Advice:
    """The suggestions, at most one of a kind."""

    suggestions: tuple[Suggestion, ...]

    @property
    def headline(self) -> str:
        """The finding in a few words."""
        return wording.listing([one.what for one in self.suggestions]) or "Taste, and write"

    @property
    def finding(self) -> str:
        """What to do next, in a sentence or three."""
        return " ".join(f"{one.what[0].upper()}{one.what[1:]}." for one in self.suggestions)

    @property
    def numbers(self) -> str:
        """The reasons."""
        return " ".join(f"{one.kind.capitalize()}: {one.why}." for one in self.suggestions)

    def to_frame(self) -> pd.DataFrame:
        """Give a row a suggestion."""
        return pd.DataFrame(
            [(s.kind, s.what, s.why, s.rule) for s in self.suggestions], columns=["kind", "what", "why", "rule"]
        )


def suggest(evidence: Evidence) -> Advice:
    """Apply the rules: of each kind, the first whose condition holds."""
    suggestions = []
    for kind in dict.fromkeys(rule.kind for rule in RULES):
        for rule in (rule for rule in RULES if rule.kind == kind):
            if said := rule.suggest(evidence):
                suggestions.append(Suggestion(kind, *said, rule.when))
                break
    return Advice(tuple(suggestions))


def rules_table() -> pd.DataFrame:
    """Give the rules in their order: of each kind the first whose condition holds speaks."""
    return pd.DataFrame([(rule.kind, rule.when) for rule in RULES], columns=["kind", "when"])


def _found_by_others(evidence: Evidence) -> tuple[str, str] | None:
    never = evidence.places.families.query("times == 0 and found_by_others > 0")
    if not len(never):
        return None
    top = never.sort_values("found_by_others", ascending=False, kind="stable").iloc[0]
    why = (
        f"never named in {wording.count(evidence.places.servings, 'serving')}, while others at the same tables named "
        f"it in {wording.count(top['found_by_others'], 'serving')}, of {wording.listing(top['others'][:3])}"
    )
    return f"explore {top['label']}{_reference(top['node'], evidence.lexicon)}", why


def _next_door(evidence: Evidence) -> tuple[str, str] | None:
    places = evidence.places.places
    for family in evidence.places.families.query("times > 0").sort_values("times", ascending=False).itertuples():
        groups = places[(places["parent"] == family.node) & (places["level"] == "group") & (places["times"] == 0)]
        if len(groups):
            group = groups.iloc[0]
            why = f"{family.label} was named in {wording.count(family.times, 'serving')}, {group['label']} in it never"
            return f"explore {group['label']}{_reference(group['node'], evidence.lexicon)}", why
    return None


def _long_ago(evidence: Evidence) -> tuple[str, str] | None:
    used = evidence.places.families.query("times > 0")
    if not len(used):
        return None
    oldest = used.sort_values("last_used", kind="stable").iloc[0]
    why = f"every group was visited; this family last on {oldest['last_used']:%d %B %Y}, {oldest['times']} times in all"
    return f"go back to {oldest['label']}{_reference(oldest['node'], evidence.lexicon)}", why


def _first_place(evidence: Evidence) -> tuple[str, str] | None:
    first = evidence.places.families.iloc[0]
    why = "nothing was named yet, and any place will do to begin"
    return f"begin with {first['label']}{_reference(first['node'], evidence.lexicon)}", why


def _broad_beside_narrow(evidence: Evidence) -> tuple[str, str] | None:
    for row in evidence.vague.words.itertuples():
        if row.times >= OFTEN and row.narrower:
            why = (
                f"named in {wording.count(row.times, 'serving')} of {wording.count(row.coffees, 'coffee')}, on which "
                f"{wording.listing(row.narrower[:3])} stood in the notes too"
            )
            return f"sharpen “{row.label}”: ask which kind, each time it comes to mind", why
    return None


def _lone(evidence: Evidence) -> tuple[str, str] | None:
    words = evidence.returning.words
    lone = words[(words["one"] >= OFTEN) & (words["verdict"] != "comes back")] if len(words) else words
    if not len(lone):
        return None
    top = lone.sort_values(["one", "label"], ascending=[False, True], kind="stable").iloc[0]
    why = (
        f"on {wording.count(top['both'] + top['one'], 'pair')} of cups of one coffee it came up in both cups "
        f"{wording.count(top['both'], 'time')} and in one only {wording.count(top['one'], 'time')}"
    )
    return f"sharpen “{top['label']}” with its reference{_reference(top['node'], evidence.lexicon)}", why


def _broad(evidence: Evidence) -> tuple[str, str] | None:
    words = evidence.vague.words
    if not len(words):
        return None
    top = words.iloc[0]
    below = [node.label for node in evidence.lexicon.children(top["node"])][:3]
    why = (
        f"the broad word used most, in {wording.count(top['times'], 'serving')}; no narrower one stood beside it often"
    )
    return f"sharpen “{top['label']}”: think of {_or(below)}", why


def _alike(evidence: Evidence) -> tuple[str, str] | None:
    pairs = evidence.repeats.pairs
    pairs = pairs[~pairs["repeat"]]
    runs = evidence.triangles.runs
    tried = {frozenset(pair) for pair in zip(runs["coffee_a"], runs["coffee_b"], strict=True)}
    alike: dict[frozenset[str], list[float]] = {}
    for a, b, similarity in zip(pairs["coffee_a"], pairs["coffee_b"], pairs["similarity"], strict=True):
        if a and b and a != b and frozenset((a, b)) not in tried:
            alike.setdefault(frozenset((a, b)), []).append(similarity)
    if not alike:
        return None
    means = {pair: sum(values) / len(values) for pair, values in alike.items()}
    pair = max(sorted(means, key=sorted), key=means.__getitem__)
    why = (
        f"of the pairs not tried yet their words are most alike ({means[pair]:.2f} of 1, "
        f"{wording.count(len(alike[pair]), 'pair')} of cups)"
    )
    return f"triangle {wording.listing(sorted(pair))}", why


def _again(evidence: Evidence) -> tuple[str, str] | None:
    runs = evidence.triangles.runs
    if not len(runs):
        return None
    last = runs.iloc[-1]
    why = f"the last run gave {last['correct']} of {last['answered']}; another of the same pair would tell more"
    return f"triangle {wording.listing(sorted({last['coffee_a'], last['coffee_b']}))} again", why


def _any_pair(evidence: Evidence) -> tuple[str, str] | None:
    return "put two coffees side by side and triangle them", "no two coffees stood at one table yet"


RULES = (
    Rule("a place to explore", "a family never named that others at the same tables found", _found_by_others),
    Rule("a place to explore", "a group never named in the family named most", _next_door),
    Rule("a place to explore", "every group was named: the family named longest ago", _long_ago),
    Rule("a place to explore", "nothing was named yet: the first family", _first_place),
    Rule(
        "a word to sharpen",
        f"a broad word in {OFTEN} servings or more, with narrower ones on its coffees",
        _broad_beside_narrow,
    ),
    Rule("a word to sharpen", f"a word that {OFTEN} times or more came up in one cup of a pair only", _lone),
    Rule("a word to sharpen", "the broad word used most", _broad),
    Rule("a pair to triangle", "of two coffees of one table, not yet tried, those whose words are most alike", _alike),
    Rule("a pair to triangle", "every such pair was tried: the last one again", _again),
    Rule("a pair to triangle", "no two coffees stood at one table yet", _any_pair),
)
"""Of each kind the first that has something to say speaks."""


def _reference(node: str, lexicon: Lexicon) -> str:
    """Give a reference from below a place, with its allergens, in brackets; nothing where there is none."""
    below = [lexicon[node]]
    while below and not any(one.reference for one in below):
        below = [child for one in below for child in lexicon.children(one.id)]
    known = next((one for one in below if one.reference), None)
    if known is None or known.reference is None:
        return ""
    allergens = f"; allergens: {', '.join(known.allergens)}" if known.allergens else ""
    return f" ({known.reference.use} {known.reference.what}, for one{allergens})"


def _or(names: tuple[str, ...] | list[str]) -> str:
    return " or ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else list(names))
