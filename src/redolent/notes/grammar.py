"""The words that the rules of reading look for, from ``grammar.toml``: cues with their reach, and named lists."""

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from sys import intern
from typing import Any, Literal

Effect = Literal["deny", "slight", "strong", "hedge", "nothing"]
Reach = Literal["next", "list", "clause", "back", "last", "replaced", "sentence"]
Phrase = tuple[str, ...]

FILE = Path(__file__).with_name("grammar.toml")


@dataclass(frozen=True, slots=True)
class Cue:
    """What a phrase does, and to which mentions; ``grammar.toml`` says what each value means."""

    effect: Effect
    reach: Reach

    @property
    def looks_back(self) -> bool:
        """Say whether it acts on what was named before it."""
        return self.reach in ("back", "last", "replaced", "sentence")


@lru_cache(maxsize=1)
def _grammar() -> dict[str, Any]:
    return tomllib.loads(FILE.read_text(encoding="utf-8"))


def _split(phrase: str) -> Phrase:
    return tuple(map(intern, phrase.split()))


def words(name: str) -> frozenset[str]:
    """Give a named list of single words."""
    return frozenset(map(intern, _grammar()["words"][name]["list"].split()))


def phrases(name: str) -> tuple[Phrase, ...]:
    """Give a named list of phrases, each as its words."""
    return tuple(_split(phrase) for phrase in _grammar()["words"][name]["list"].split("|"))


@lru_cache(maxsize=1)
def list_known() -> frozenset[str]:
    """Give every single word that the grammar knows: none of them is a slip for something else."""
    grammar = _grammar()
    texts = [row["phrases"].replace("|", " ") for row in grammar["cue"]]
    texts += [row["list"].replace("|", " ") for row in grammar["words"].values()]
    return frozenset(word for text in texts for word in text.split() if word.isalpha())


Row = tuple[Phrase, Cue]
_NEITHER: tuple[Row | None, Row | None] = (None, None)


class CueIndex:
    """Cues by their first words: the longest that begin at a token are found by a look-up or two.

    Parameters
    ----------
    cues : iterable of (Phrase, Cue)

    Attributes
    ----------
    single : dict of str to pair of (Phrase, Cue) or None
        Cues of one word: the one that looks back, and the one that looks forward.
    longer : dict of str to dict of str to list of (Phrase, Cue)
        Cues of more words by their first and their second, the longest last.
    """

    def __init__(self, cues: Iterable[Row]) -> None:
        self.single: dict[str, tuple[Row | None, Row | None]] = {}
        self.longer: dict[str, dict[str, list[Row]]] = {}
        for phrase, cue in cues:
            if len(phrase) == 1:
                back, forward = self.single.get(phrase[0], _NEITHER)
                row = (phrase, cue)
                self.single[phrase[0]] = (row, forward) if cue.looks_back else (back, row)
            else:
                self.longer.setdefault(phrase[0], {}).setdefault(phrase[1], []).append((phrase, cue))
        for seconds in self.longer.values():
            for rows in seconds.values():
                rows.sort(key=lambda row: len(row[0]))

    def find(self, keys: list[str], i: int, taken: Sequence[object]) -> tuple[Row | None, Row | None]:
        """Give the longest cues that begin at word `i` and run over no word that is `taken`: back, and forward.

        Behind the last word of `keys` stands nothing ("").
        """
        back, forward = self.single.get(keys[i], _NEITHER)
        if keys[i] in self.longer:
            for row in self.longer[keys[i]].get(keys[i + 1], ()):
                end = i + len(row[0])
                if tuple(keys[i:end]) == row[0] and not any(taken[i:end]):
                    back, forward = (row, forward) if row[1].looks_back else (back, row)
        return back, forward


def index_cues() -> CueIndex:
    """Give the cues of the grammar."""
    rows = [(Cue(row["effect"], row["reach"]), row["phrases"]) for row in _grammar()["cue"]]
    return CueIndex((_split(phrase), cue) for cue, texts in rows for phrase in texts.split("|"))
