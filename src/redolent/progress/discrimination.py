"""Discrimination: triangle runs over time against the third that guessing gives.

Progress is looked at again and again, so what is said of all runs together holds whenever one looks
(`triangle.anytime`): an interval of the average proportion correct so far, and a p-value. It counts every answer of a
blind run, finished or not.
"""

from dataclasses import dataclass
from typing import Any

import pandas as pd

from redolent.progress import wording
from redolent.progress.mentions import moments, only_taster
from redolent.triangle import Trend, anytime_interval, evidence, fit_trend, judge

COLUMNS = (
    *("run_id", "taster", "coffee_a", "coffee_b", "started_at"),
    *("alpha", "blinding", "planned", "answered", "correct"),
)


@dataclass(frozen=True, eq=False)
class TriangleHistory:
    """The triangle runs of one taster.

    Attributes
    ----------
    taster : str
    runs : DataFrame
        A row a run with an answer, in the order of time: ``run`` (1, 2, …), ``day``, ``coffee_a``,
        ``coffee_b``, ``blinding``, ``planned``, ``answered``, ``correct``, ``alpha``, ``proportion``,
        ``low`` and ``high`` (exact 95 % interval), ``p_value``, ``exact`` (its number was fixed beforehand and kept,
        and nobody looked on the way: the p-value is the exact one, which counts, alone at the table, that each answer
        was seen; else the one that holds whenever one stops),
        ``counted`` (blind: the pooled numbers are of these), ``pair``.
    correct, answered : int
        Pooled over the counted runs.
    interval : tuple of float or None
        95 % interval of their average proportion that holds however often one looks.
    p_value : float or None
        Of the pooled count against guessing; holds however often one looks.
    trend : Trend or None
        Of d′, where there are counted runs of different days.
    """

    taster: str
    runs: pd.DataFrame
    correct: int = 0
    answered: int = 0
    interval: tuple[float, float] | None = None
    p_value: float | None = None
    trend: Trend | None = None

    @property
    def counted(self) -> pd.DataFrame:
        """The runs that were blind."""
        return self.runs[self.runs["counted"]]

    @property
    def passed(self) -> int:
        """Number of counted runs whose p is at or below their own alpha."""
        return int((self.counted["p_value"] <= self.counted["alpha"]).sum())

    @property
    def by_luck(self) -> float:
        """Highest probability that guessing passes at least one of the counted runs."""
        return float(1 - (1 - self.counted["alpha"]).prod())

    @property
    def headline(self) -> str:
        """The finding in a few words, for a title."""
        if self.interval is None:
            return "No triangle run to judge yet"
        found = f"Odd cup found in {self.correct} of {wording.count(self.answered, 'triad')}"
        return f"{found} ({wording.percent(self.correct / self.answered)}; chance 33 %)"

    @property
    def finding(self) -> str:
        """What was found, in a sentence."""
        if self.interval is None:
            some = f"{wording.count(len(self.runs), 'run')}, none of them blind"
            so_far = some if len(self.runs) else "No triangle is answered yet"
            return f"{so_far}: one blind run of 12 triads would be a start."
        found = (
            f"In {wording.count(len(self.counted), 'blind run')} the odd cup was found in {self.correct} of "
            f"{wording.count(self.answered, 'triad')}, {wording.percent(self.correct / self.answered)}, where guessing "
            "gives 33 %"
        )
        return f"{found}: {self._meaning}."

    @property
    def numbers(self) -> str:
        """The statistics behind the finding."""
        if self.interval is None or self.p_value is None:
            return ""
        pooled = (
            f"{self.correct} of {self.answered} right (95 % interval of the average so far "
            f"{wording.between(self.interval)}), {wording.p(self.p_value)} against guessing; both hold however often "
            "one looks"
        )
        change = f" {self.trend.finding}" if self.trend is not None else ""
        return f"{pooled}{self._over_time}{self._passes}{self._apart}.{change}"

    def to_frame(self) -> pd.DataFrame:
        """Give the runs, a row a run."""
        return self.runs.copy()

    @property
    def _over_time(self) -> str:
        if len(self.counted) < 2:
            return ""
        first, last = self.counted.iloc[0], self.counted.iloc[-1]
        return (
            f"; from {first['correct']} of {first['answered']} in the first to {last['correct']} of "
            f"{last['answered']} in the last"
        )

    @property
    def _passes(self) -> str:
        runs = len(self.counted)
        if runs < 2:
            return ""
        return (
            f"; {self.passed} of {runs} runs passed at their own level, where guessing passes one or more of "
            f"{runs} with a probability of up to {wording.small(self.by_luck)}"
        )

    @property
    def _apart(self) -> str:
        apart = len(self.runs) - len(self.counted)
        return f"; {wording.count(apart, 'run')} not blind left apart" if apart else ""

    @property
    def _meaning(self) -> str:
        alpha = float(self.counted["alpha"].min())
        if self.p_value is not None and self.p_value <= alpha:
            return "the odd cup is found more often than by luck"
        return "not shown to be better than luck, which does not show that it is luck"


def triangle_history(runs: pd.DataFrame) -> TriangleHistory:
    """Judge each run against guessing, and pool those that were blind.

    Parameters
    ----------
    runs : DataFrame
        As ``Journal.runs_frame`` gives them, of one taster.

    Raises
    ------
    ValueError
        Where a column is missing, or there are several tasters.

    Notes
    -----
    Each single p holds for its run alone; `by_luck` says how easily one of several passes.
    """
    missing = [name for name in COLUMNS if name not in runs]
    if missing:
        raise ValueError(f"The runs lack the column {missing[0]!r}; give the frame of Journal.runs_frame.")
    taster = only_taster(runs)
    told = runs[runs["answered"] > 0]
    told = told.assign(at=moments(told, "started_at")).sort_values(["at", "run_id"], kind="stable")
    judged = [_judged(number, run) for number, run in enumerate(told.itertuples(), 1)]
    history = pd.DataFrame(judged, columns=_JUDGED).astype({"counted": bool})
    counted = history[history["counted"]]
    if not len(counted):
        return TriangleHistory(taster, history)
    correct, answered = int(counted["correct"].sum()), int(counted["answered"].sum())
    p_value = min(1.0, 1 / evidence(correct, answered))
    return TriangleHistory(
        taster, history, correct, answered, anytime_interval(correct, answered), p_value, _trend(counted)
    )


_DAYS_A_MONTH = 365.2425 / 12


def _trend(counted: pd.DataFrame) -> Trend | None:
    days = pd.to_datetime(counted["day"])
    if days.nunique() < 2:
        return None
    months = (days - days.min()).dt.days / _DAYS_A_MONTH
    return fit_trend(
        months.tolist(), counted["correct"].tolist(), counted["answered"].tolist(), counted["pair"].tolist()
    )


_JUDGED = [
    "run", "day", "coffee_a", "coffee_b", "blinding", "planned", "answered", "correct", "alpha",
    "proportion", "low", "high", "p_value", "exact", "counted", "pair",
]  # fmt: skip


def _judged(number: int, run: Any) -> tuple[object, ...]:
    correct, answered, planned = int(run.correct), int(run.answered), int(run.planned)
    seen = run.blinding == "self-reported"
    verdict = judge(correct, answered, alpha=float(run.alpha), planned=planned, seen=seen)
    # A sequential run ends where its boundaries say; its planned number is only the most that could be served.
    exact = answered == planned and not getattr(run, "looked", False) and getattr(run, "aim", "") != "sequential"
    return (
        number,
        pd.Timestamp(run.started_at).date(),
        run.coffee_a,
        run.coffee_b,
        run.blinding,
        planned,
        answered,
        correct,
        verdict.alpha,
        verdict.proportion,
        verdict.low,
        verdict.high,
        verdict.p_value if exact else verdict.anytime_p,
        exact,
        run.blinding != "not blind",
        getattr(run, "pair", None) or " and ".join(sorted((run.coffee_a, run.coffee_b))),
    )
