"""What the nose told of the jars: hits against guessing, what was taken for what, and how near the misses were."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from redolent.lexicon import LEVELS, Level, Lexicon
from redolent.notes import read
from redolent.notes.similarity import node_similarity
from redolent.practice.jars import JarSet
from redolent.progress import wording

if TYPE_CHECKING:
    import pandas as pd

NOTHING, BROADER = "no word read", "a broader word"


@dataclass(frozen=True, slots=True)
class JarAnswer:
    """The answer to one jar.

    Attributes
    ----------
    code, node : str
        The jar and what was in it.
    text : str
        As it was written.
    answered : str or None
        The place that was read in it; None where none was.
    """

    code: str
    node: str
    text: str
    answered: str | None


@dataclass(frozen=True, slots=True, eq=False)
class Smelled:
    """A jar set that is answered, judged at one level.

    Attributes
    ----------
    level : {"realm", "family", "group", "descriptor"}
    answers : tuple of JarAnswer
    matrix : DataFrame
        Rows are what was in the jars, columns what was answered, both by label: counts.
    hits : int
    low, high : float
        Exact 95 % interval of the hit rate (Clopper & Pearson).
    guessing : float
        The most that somebody could expect who knows what is in the set and cannot smell: the share of its most
        frequent place.
    near : tuple of (str, str, float)
        Misses in which something is shared: node, answered, and their similarity on the tree.
    """

    level: Level
    answers: tuple[JarAnswer, ...]
    matrix: "pd.DataFrame"
    hits: int
    low: float
    high: float
    guessing: float
    near: tuple[tuple[str, str, float], ...]

    @property
    def rate(self) -> float:
        """Share of the jars that were named right at the level."""
        return self.hits / len(self.answers)

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        said = (
            f"{self.hits} of {len(self.answers)} jars were named right to the {self.level} "
            f"({wording.percent(self.rate)}, 95 % interval {wording.between((self.low, self.high))}); guessing "
            f"gives at most about {wording.percent(self.guessing)}"
        )
        if self.guessing == 1:
            return f"{said}: all stood in one {self.level}, so this level tells nothing."
        if self.low > self.guessing:
            return f"{said}: the nose did better than guessing."
        return f"{said}: so few jars cannot tell it from guessing."


def read_answer(text: str, lexicon: Lexicon, *, personal: Mapping[str, str] | None = None) -> str | None:
    """Give the place that an answer names: the first word that is asserted. Listing many does not help."""
    mentions = read(text, lexicon=lexicon, personal=dict(personal or {})).mentions
    return next((mention.node for mention in mentions if mention.present), None)


def judge_jars(
    jars: JarSet,
    texts: Mapping[str, str],
    lexicon: Lexicon,
    *,
    level: Level = "descriptor",
    personal: Mapping[str, str] | None = None,
) -> Smelled:
    """Judge the answers to a set of jars at a level.

    Parameters
    ----------
    jars : JarSet
    texts : mapping of str to str
        What was written, by code; every jar must be answered.
    lexicon : Lexicon
    level : {"realm", "family", "group", "descriptor"}
    personal : mapping of str to str, optional

    Raises
    ------
    ValueError
        Where a jar has no answer, or there is no such level.
    """
    if level not in LEVELS:
        raise ValueError(f"There is no level {level!r}; choose one of {', '.join(LEVELS)}.")
    if missing := [code for code in jars.codes if code not in texts]:
        raise ValueError(f"Jar {missing[0]} has no answer yet; answer it, with “no idea” if it says nothing to you.")
    answers = tuple(
        JarAnswer(jar.code, jar.node, texts[jar.code], read_answer(texts[jar.code], lexicon, personal=personal))
        for jar in jars.jars
    )
    import pandas as pd

    truth = [lexicon[lexicon.up_to(answer.node, level)].id for answer in answers]
    told = [_told(answer.answered, level, lexicon) for answer in answers]
    hits = sum(one == other for one, other in zip(truth, told, strict=True))
    low, high = clopper_pearson(hits, len(answers))
    alike = [
        (a.node, a.answered, node_similarity(a.node, a.answered, lexicon))
        for a, one, other in zip(answers, truth, told, strict=True)
        if a.answered is not None and one != other
    ]
    return Smelled(
        level,
        answers,
        pd.crosstab(pd.Series(truth, name="in the jar"), pd.Series(told, name="answered")),
        hits,
        low,
        high,
        guessing=max(truth.count(place) for place in truth) / len(truth),
        near=tuple(sorted((miss for miss in alike if miss[2] > 0), key=lambda miss: -miss[2])),
    )


def clopper_pearson(count: int, of: int, level: float = 0.95) -> tuple[float, float]:
    """Give the exact interval of a proportion, as `triangle.proportion_interval` does.

    Raises
    ------
    ValueError
        Where `of` is below 1 or `count` not between 0 and `of`.

    References
    ----------
    Clopper & Pearson (1934), Biometrika 26:404–413.
    """
    from redolent.triangle import proportion_interval

    if of < 1 or not 0 <= count <= of:
        raise ValueError(f"{count} of {of} is no proportion; the second must be 1 or more and the first no larger.")
    return proportion_interval(count, of, level)


def _told(node: str | None, level: Level, lexicon: Lexicon) -> str:
    if node is None:
        return NOTHING
    if LEVELS.index(lexicon[node].level) < LEVELS.index(level):
        return BROADER
    return lexicon.up_to(node, level)
