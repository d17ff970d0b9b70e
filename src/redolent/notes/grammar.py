"""The words that the rules of reading look for, from ``grammar.toml``: cues with their reach, and named lists."""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal

Effect = Literal["deny", "slight", "strong", "hedge", "nothing"]
Reach = Literal["next", "list", "clause", "back", "last", "sentence"]
Phrase = tuple[str, ...]

FILE = Path(__file__).with_name("grammar.toml")


@dataclass(frozen=True, slots=True)
class Cue:
    """What a phrase does, and to which mentions; ``grammar.toml`` says what each value means."""

    effect: Effect
    reach: Reach


@lru_cache(maxsize=1)
def _grammar() -> dict[str, Any]:
    return tomllib.loads(FILE.read_text(encoding="utf-8"))


def words(name: str) -> frozenset[str]:
    """Give a named list of single words."""
    return frozenset(_grammar()["words"][name]["list"].split())


def phrases(name: str) -> tuple[Phrase, ...]:
    """Give a named list of phrases, each as its words."""
    return tuple(tuple(phrase.split()) for phrase in _grammar()["words"][name]["list"].split("|"))


@lru_cache(maxsize=1)
def list_known() -> frozenset[str]:
    """Give every single word that the grammar knows: none of them is a slip for something else."""
    grammar = _grammar()
    texts = [row["phrases"].replace("|", " ") for row in grammar["cue"]]
    texts += [row["list"].replace("|", " ") for row in grammar["words"].values()]
    return frozenset(word for text in texts for word in text.split() if word.isalpha())


def index_cues(*, back: bool) -> dict[str, list[tuple[Phrase, Cue]]]:
    """Give the cues that look back, or those that look forward, by their first word, longest phrase first."""
    by_first: dict[str, list[tuple[Phrase, Cue]]] = {}
    for row in _grammar()["cue"]:
        cue = Cue(row["effect"], row["reach"])
        if (cue.reach in ("back", "last", "sentence")) is back:
            for phrase in row["phrases"].split("|"):
                key = tuple(phrase.split())
                by_first.setdefault(key[0], []).append((key, cue))
    for rows in by_first.values():
        rows.sort(key=lambda row: -len(row[0]))
    return by_first
