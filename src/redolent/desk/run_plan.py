"""The plan of a triangle run, as it is asked and told before any cup is poured."""

from dataclasses import dataclass
from math import ceil
from typing import Any

import ipywidgets as w

from redolent.desk.fold import Fold
from redolent.desk.panel import chief, safe
from redolent.triangle import (
    CAUTIONS,
    REFERENCE_PAIRS,
    TRIANGLE,
    Sittings,
    judge,
    plan,
    plan_sequential,
    split_sittings,
)

MOST = 200
"""Triads that a run can hold: there are not many more codes."""
LEAST_STEPS = 12
CLEAR = 0.6
"""Share of the triads in which a clear difference is noticed: with it a first run fits into one sitting."""
CUP, SIP = 30.0, 10.0
"""Millilitres poured, and swallowed, of each cup (common practice, no source)."""

AIMS = {
    "Can I tell them apart?": "difference",
    "Is the difference too small to mind?": "similarity",
    "Step by step, until it is clear": "sequential",
}
# The risk that matters is that of the claim: α for a difference, β for similarity.
RISKS = {"difference": (0.05, 0.2), "similarity": (0.2, 0.05), "sequential": (0.05, 0.2)}
SHARES = {f"{tenths} in 10": tenths / 10 for tenths in (6, 5, 4, 3, 2)}
WAYS = {"Somebody pours for me": "helper", "I am alone at the table": "self-reported"}
BREW = "Reference brew"


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a plan promises: a sentence or two in plain words, and the statistics behind them."""

    sentence: str
    numbers: str


def advise(aim: str, alpha: float, beta: float, pd: float) -> int:
    """Give the number of triads that a plan asks for; of a sequential run the most that it should be given.

    Raises
    ------
    ValueError
        Where a number makes no sense.
    """
    if aim == "sequential":
        return max(LEAST_STEPS, 2 * ceil(max(plan_sequential(alpha, beta, pd=pd).expected)))
    return plan(alpha, beta, pd=pd, similarity=aim == "similarity").triads


def foresee(aim: str, alpha: float, beta: float, pd: float, triads: int) -> Outlook:
    """Say what `triads` triads can show.

    Raises
    ------
    ValueError
        Where they cannot show it, whatever the answers, or a number makes no sense.
    """
    noticed = f"that you notice in {_share(pd)}"
    if aim == "sequential":
        steps = plan_sequential(alpha, beta, pd=pd)
        wrong, right = steps.shortest
        if triads < min(wrong, right):
            raise ValueError(f"A run step by step cannot end within {triads}; give it at least {min(wrong, right)}.")
        none, some = (ceil(expected) for expected in steps.expected)
        return Outlook(
            f"After each triad it is worked out whether the answers so far are enough. It takes about {none} triads "
            f"where there is no difference, about {some} with one {noticed}, and at most {triads}; "
            f"{right} right or {wrong} wrong in a row end it.",
            steps.finding,
        )
    whole = plan(alpha, beta, pd=pd, triads=triads, similarity=aim == "similarity")
    numbers = f"{whole.finding} {whole.saw} {_reverse(whole.alpha, beta, triads, aim)}"
    if aim == "similarity":
        return Outlook(
            f"At most {whole.maximum_correct} right of {triads} show that there is no difference {noticed}, or more "
            f"often. Two coffees that taste the same pass with a chance of {_percent(whole.power)}.",
            numbers,
        )
    more = "" if whole.reached else f"; for {_percent(1 - beta)} plan {advise(aim, alpha, beta, pd)}"
    return Outlook(
        f"At least {whole.minimum_correct} right of {triads} show that you can tell them apart; guessing brings "
        f"about {triads / 3:.0f}. A difference {noticed} is found with a chance of {_percent(whole.power)}{more}.",
        numbers,
    )


def ask_alone(aim: str, alpha: float, beta: float, pd: float, triads: int) -> str:
    """Say what is asked of somebody who, alone at the table, sees after each triad whether it was right."""
    if aim == "sequential":
        return ""
    similarity = aim == "similarity"
    asked = judge(0, triads, alpha=alpha, beta=beta, pd=pd, planned=triads, similarity=similarity, seen=True)
    number = asked.maximum_correct if similarity else asked.minimum_correct
    if number is None:
        return "Alone you see after each triad whether you were right; counting that, these are too few to show it."
    return (
        "Alone you see after each triad whether you were right; the test counts that, and asks for "
        f"{'at most' if similarity else 'at least'} {number} right of {triads}."
    )


def _reverse(alpha: float, beta: float, triads: int, aim: str) -> str:
    """Say the other way round what so many triads can find."""
    try:
        found = plan(alpha, beta, triads=triads, similarity=aim == "similarity")
    except ValueError as error:
        return str(error)
    can = "rule out" if aim == "similarity" else "find"
    return f"The smallest difference that {triads} triads {can} at these risks: p_d = {found.pd:.2f}."


def _percent(part: float) -> str:
    return f"{100 * part:.0f} %"


def _share(pd: float) -> str:
    tenths = round(10 * pd, 6)
    return f"{tenths:.0f} of 10 triads" if tenths == int(tenths) else f"{100 * pd:.3g} % of the triads"


class PlanScreen:
    """Who, which two, what to find out, and what that takes.

    Attributes
    ----------
    widgets : tuple of Widget
        What is shown, from top to bottom; the runs that are open and those that are over come below.
    """

    def __init__(self, trouble: w.Widget) -> None:
        self._quiet = False
        self.taster = w.Combobox(description="Taster", placeholder="your name", ensure_option=False)
        pairs = [(f"{name} in the one, none in the other", name) for name in REFERENCE_PAIRS]
        self.pair = w.Dropdown(options=[("two coffees of your own", ""), *pairs], description="The pair")
        self.coffee_a = w.Combobox(description="One coffee", placeholder="its name", ensure_option=False)
        self.coffee_b = w.Combobox(description="The other", placeholder="its name", ensure_option=False)
        self.recipe = w.HTML()
        self.aim = w.ToggleButtons(options=AIMS)
        self.share = w.ToggleButtons(options=SHARES, value=CLEAR)
        self.triads = w.BoundedIntText(1, min=1, max=MOST, description="Triads")
        self.outlook = w.HTML()
        alpha, beta = RISKS["difference"]
        bounds = {"min": 0.001, "max": 0.999}
        self.alpha = w.BoundedFloatText(alpha, **bounds, step=0.01, description="α, risk of a false alarm")
        self.beta = w.BoundedFloatText(beta, **bounds, step=0.01, description="β, risk of a miss")
        self.pd = w.BoundedFloatText(CLEAR, **bounds, step=0.05, description="p_d, share noticed")
        self.d_prime = w.BoundedFloatText(_d_prime(CLEAR), min=0.05, max=8, step=0.1, description="or d′")
        self.numbers = w.HTML()
        self.cup = w.BoundedFloatText(CUP, min=5, max=250, step=5, description="ml in each cup")
        self.sip = w.BoundedFloatText(SIP, min=0, max=250, step=5, description="ml of it swallowed")
        self.other = w.BoundedFloatText(0, min=0, max=2000, step=50, description="mg caffeine else today")
        self.pregnant = w.Checkbox(description="Pregnant or breast-feeding", indent=False)
        self.sittings = w.HTML()
        self.way = w.ToggleButtons(options=WAYS)
        self.begin = chief("")
        self.widgets = (
            w.HTML(
                "<p>Each triad is three cups: two of one coffee and one of another. You say which is the odd one, even "
                f'if you guess.</p><p class="rd-quiet">{safe(" ".join(CAUTIONS))}</p>'
            ),
            self.taster, self.pair, self.coffee_a, self.coffee_b, self.recipe,
            w.HTML("<h3>What do you want to find out?</h3>"), self.aim,
            w.HTML("<p>The smallest difference that matters to you: one that you notice in so many triads</p>"),
            self.share, self.triads, self.outlook, self.sittings,
            Fold("The numbers", self.alpha, self.beta, self.pd, self.d_prime, self.numbers),
            Fold("Cups and caffeine", self.cup, self.sip, self.other, self.pregnant),
            w.HTML("<h3>How do you keep from knowing?</h3>"), self.way,
            trouble, w.HBox([self.begin]),
        )  # fmt: skip
        for field in (self.triads, self.cup, self.sip, self.other, self.pregnant):
            field.observe(lambda _: self._tell(), "value")
        for field in (self.alpha, self.beta):
            field.observe(lambda _: self._propose(), "value")
        self.aim.observe(lambda _: self._turn(), "value")
        self.share.observe(lambda _: self._size(self.share.value), "value")
        self.pd.observe(lambda _: self._size(self.pd.value), "value")
        self.d_prime.observe(lambda _: self._size(_pd(self.d_prime.value), keep=self.d_prime), "value")
        self.pair.observe(lambda _: self._choose_pair(), "value")
        self.way.observe(lambda _: self._name_button(), "value")
        self.way.observe(lambda _: self._tell(), "value")
        self._choose_pair()
        self._name_button()
        self._propose()

    @property
    def names(self) -> tuple[str, str]:
        """The two coffees.

        Raises
        ------
        ValueError
            Where they are not two.
        """
        if self.pair.value:
            return BREW, f"{BREW} with {self.pair.value}"
        a, b = (" ".join(box.value.split()) for box in (self.coffee_a, self.coffee_b))
        if not a or not b or a.casefold() == b.casefold():
            raise ValueError("Name two different coffees.")
        return a, b

    @property
    def said(self) -> dict[str, Any]:
        """The plan as a journal keeps it.

        Raises
        ------
        ValueError
            Where so many triads cannot show it, or not even one fits into a sitting.
        """
        foresee(*self._asked, self.triads.value)
        aim, alpha, beta, pd = self._asked
        sitting = self._split().triads[0]
        return {"aim": aim, "alpha": alpha, "beta": beta, "pd": pd, "sitting": sitting, "pair": self.pair.value or None}

    @property
    def _asked(self) -> tuple[str, float, float, float]:
        return self.aim.value, self.alpha.value, self.beta.value, self.pd.value

    def _split(self) -> Sittings:
        return split_sittings(
            self.triads.value,
            cup=self.cup.value,
            swallowed=self.sip.value,
            other=self.other.value,
            pregnant=self.pregnant.value,
        )

    def _turn(self) -> None:
        """Another aim has other usual risks."""
        self._quiet = True
        self.alpha.value, self.beta.value = RISKS[self.aim.value]
        self._quiet = False
        self._propose()

    def _size(self, pd: float | None, keep: w.Widget | None = None) -> None:
        """Show one size of a difference in all three ways."""
        if self._quiet or pd is None:
            return
        self._quiet = True
        self.pd.value = round(pd, 4)
        self.share.value = next((share for share in SHARES.values() if abs(share - pd) < 1e-4), None)
        if keep is not self.d_prime:
            self.d_prime.value = _d_prime(pd)
        self._quiet = False
        self._propose()

    def _propose(self) -> None:
        """Fill in the number of triads that the plan asks for."""
        if self._quiet:
            return
        self._quiet = True
        try:
            self.triads.value = min(MOST, advise(*self._asked))
        except ValueError:
            self.triads.value = MOST
        self._quiet = False
        self._tell()

    def _tell(self) -> None:
        if self._quiet:
            return
        try:
            seen = foresee(*self._asked, self.triads.value)
            alone = ask_alone(*self._asked, self.triads.value) if self.way.value == "self-reported" else ""
            self.outlook.value = (
                f'<p class="rd-sentence">{safe(seen.sentence)}</p>'
                '<p class="rd-quiet">It will hold for this taster and this pair; the number is fixed at the start. '
                f"{safe(alone)}</p>"
            )
            self.numbers.value = f'<p class="rd-quiet">{safe(seen.numbers)}</p>'
        except ValueError as error:
            self.outlook.value, self.numbers.value = f'<p class="rd-sentence">{safe(error)}</p>', ""
        try:
            told = self._split().finding
        except ValueError as error:
            told = str(error)
        self.sittings.value = f'<p class="rd-quiet">{safe(told)}</p>'

    def _choose_pair(self) -> None:
        pair = REFERENCE_PAIRS.get(self.pair.value)
        for box in (self.coffee_a, self.coffee_b):
            box.layout.display = "none" if pair else ""
        why = (
            "To compare yourself with yourself over months, choose a pair that your kitchen can make again: "
            "bags age, a recipe does not."
        )
        self.recipe.value = f"<p>{safe(pair.recipe)}</p>" if pair else f'<p class="rd-quiet">{why}</p>'

    def _name_button(self) -> None:
        alone = self.way.value == "self-reported"
        self.begin.description = "Draw the codes and begin" if alone else "Draw the serving order and begin"


def _d_prime(pd: float) -> float:
    return round(TRIANGLE.d_prime(TRIANGLE.correct_from(pd)), 2)


def _pd(d_prime: float) -> float:
    return TRIANGLE.discriminators(float(TRIANGLE.proportion(d_prime)))
