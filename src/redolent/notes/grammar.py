"""The words that the rules of reading look for, from ``grammar.toml``: cues with their reach, and named lists."""

import tomllib
from collections.abc import Iterable, Sequence
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


class CueIndex:
    """Cues by their first word: the longest that begins at a token is found by a look-up or two.

    Parameters
    ----------
    cues : iterable of (Phrase, Cue)
    """

    def __init__(self, cues: Iterable[tuple[Phrase, Cue]]) -> None:
        self.firsts: dict[str, tuple[Phrase, Cue] | None] = {}
        self._longer: dict[tuple[str, str], list[tuple[Phrase, Cue]]] = {}
        for phrase, cue in cues:
            self.firsts.setdefault(phrase[0], None)
            if len(phrase) == 1:
                self.firsts[phrase[0]] = (phrase, cue)
            else:
                self._longer.setdefault(phrase[:2], []).append((phrase, cue))
        for rows in self._longer.values():
            rows.sort(key=lambda row: -len(row[0]))

    def find(self, keys: list[str], i: int, taken: Sequence[object]) -> tuple[Phrase, Cue] | None:
        """Give the longest cue that begins at word `i` and runs over no word that is `taken`, or None."""
        for row in self._longer.get((keys[i], keys[i + 1] if i + 1 < len(keys) else ""), ()):
            end = i + len(row[0])
            if tuple(keys[i:end]) == row[0] and not any(taken[i:end]):
                return row
        return self.firsts.get(keys[i])


def index_cues(*, back: bool) -> CueIndex:
    """Give the cues that look back, or those that look forward."""
    rows = [(Cue(row["effect"], row["reach"]), row["phrases"]) for row in _grammar()["cue"]]
    return CueIndex(
        (tuple(phrase.split()), cue)
        for cue, texts in rows
        if (cue.reach in ("back", "last", "sentence")) is back
        for phrase in texts.split("|")
    )
