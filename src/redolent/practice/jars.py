"""Jars: kitchen references picked by goal, for a household, under codes."""

import re
from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from redolent.blind import draw_codes
from redolent.lexicon import Lexicon, Node
from redolent.practice.household import Household

FEWEST, MOST = 6, 12
# What is smelled over heat, on the skin or in the hand cannot wait in a covered jar.
_NO_JAR = re.compile(
    r"\b(wrist|palms?|hands|fingers?|fingernail|cheek|steam\w*|over the pan|simmer\w*|boil\w*|radiator|sunny)\b",
    re.IGNORECASE,
)
GOALS = ("balanced", "family", "weak spots")


@dataclass(frozen=True, slots=True)
class Jar:
    """One jar: its code and the descriptor whose reference is in it."""

    code: str
    node: str


@dataclass(frozen=True, slots=True)
class JarSet:
    """Jars in the order of smelling. The key says what is in them, so keep it from the browser.

    Attributes
    ----------
    goal : str
    jars : tuple of Jar
    """

    goal: str
    jars: tuple[Jar, ...]

    @property
    def codes(self) -> tuple[str, ...]:
        """The codes, in the order of smelling."""
        return tuple(jar.code for jar in self.jars)

    @property
    def key(self) -> dict[str, str]:
        """What is sealed: the node of each code."""
        return {jar.code: jar.node for jar in self.jars}


def pick_jars(
    goal: str,
    number: int,
    household: Household,
    lexicon: Lexicon,
    rng: np.random.Generator | int | None = None,
    *,
    family: str = "",
    weak: Collection[str] = (),
) -> JarSet:
    """Pick references that are smelled and that this household may meet, each thing once.

    Parameters
    ----------
    goal : {"balanced", "family", "weak spots"}
        A balanced set takes a reference from as many families as there are jars; weak spots begin with `weak` and
        fill up from the families of these.
    number : int
        6 to 12.
    household : Household
    lexicon : Lexicon
    rng : numpy.random.Generator or seed
    family : str
        Its id, for the goal "family".
    weak : collection of str
        Descriptors that this taster confuses or misses, the weakest first.

    Raises
    ------
    ValueError
        Where the goal or number is none, or fewer references are left than jars are wanted.
    """
    if goal not in GOALS:
        raise ValueError(f"There is no goal {goal!r}; choose one of {', '.join(GOALS)}.")
    if not FEWEST <= number <= MOST:
        raise ValueError(f"A set has {FEWEST} to {MOST} jars, not {number}; more tire the nose.")
    rng = np.random.default_rng(rng)
    able = [node for node in lexicon.at("descriptor") if fits_jar(node) and not household.refuses(node)]
    drawn = [able[i] for i in rng.permutation(len(able))]
    if goal == "family":
        ranked = [node for node in drawn if lexicon.up_to(node.id, "family") == family]
    elif goal == "weak spots":
        order = {node: place for place, node in enumerate(weak)}
        near = {lexicon.up_to(node, "family") for node in weak if node in lexicon}
        ranked = sorted(
            drawn, key=lambda node: (order.get(node.id, len(order)), lexicon.up_to(node.id, "family") not in near)
        )
    else:
        ranked = _spread(drawn, lexicon)
    unlike = list({node.reference.what: node for node in reversed(ranked) if node.reference}.values())[::-1]
    if len(unlike) < number:
        raise ValueError(
            f"Only {len(unlike)} references fit this goal and this household, and {number} jars are wanted; choose "
            + ("fewer jars." if len(unlike) >= FEWEST else "another goal.")
        )
    picked = [unlike[i] for i in rng.permutation(number)]
    codes = draw_codes(number, rng)
    return JarSet(goal, tuple(Jar(code, node.id) for code, node in zip(codes, picked, strict=True)))


def fits_jar(node: Node) -> bool:
    """Tell whether a node has a reference for the nose that can wait in a covered jar."""
    reference = node.reference
    return reference is not None and reference.use == "smell" and not _NO_JAR.search(reference.present)


def _spread(nodes: list[Node], lexicon: Lexicon) -> list[Node]:
    """Order nodes so that each family comes up once before any comes up again."""
    seen: dict[str, int] = {}
    rounds = []
    for node in nodes:
        family = lexicon.up_to(node.id, "family")
        seen[family] = seen.get(family, -1) + 1
        rounds.append(seen[family])
    return [nodes[i] for i in sorted(range(len(nodes)), key=lambda i: rounds[i])]
