"""Discrimination: triangle runs over time against the third that guessing gives."""

from dataclasses import dataclass

import pandas as pd

from redolent.progress import wording
from redolent.progress.mentions import moments, only_taster
from redolent.triangle import judge, p_value, proportion_interval

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
        ``low`` and ``high`` (exact 95 % interval), ``p_value`` (missing where the run was stopped early),
        ``counted`` (blind and finished as planned: the pooled numbers are of these).
    correct, answered : int
        Pooled over the counted runs.
    interval : tuple of float or None
        Exact 95 % interval of their proportion.
    p_value : float or None
        Exact, one-sided, of the pooled count against guessing.
    """

    taster: str
    runs: pd.DataFrame
    correct: int = 0
    answered: int = 0
    interval: tuple[float, float] | None = None
    p_value: float | None = None

    @property
    def counted(self) -> pd.DataFrame:
        """The runs that were blind and finished as planned."""
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
            some = f"{wording.count(len(self.runs), 'run')}, none both blind and finished as planned"
            so_far = some if len(self.runs) else "No triangle run is finished yet"
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
        if self.interval is None:
            return ""
        pooled = (
            f"{self.correct} of {self.answered} right (exact 95 % interval {wording.between(self.interval)}), pooled "
            f"{wording.p(self.p_value)} against guessing"
        )
        return f"{pooled}{self._over_time}{self._passes}{self._apart}."

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
        return f"; {wording.count(apart, 'run')} not blind or stopped early left apart" if apart else ""

    @property
    def _meaning(self) -> str:
        alpha = float(self.counted["alpha"].min())
        if self.p_value <= alpha:
            return "the odd cup is found more often than by luck"
        return "not shown to be better than luck, which does not show that it is luck"


def triangle_history(runs: pd.DataFrame) -> TriangleHistory:
    """Judge each run against guessing, and pool those that were blind and finished as planned.

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
    The pooled p holds where all runs so far are looked at once. Each single p holds for its run alone;
    `by_luck` says how easily one of several passes.
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
    return TriangleHistory(
        taster, history, correct, answered, proportion_interval(correct, answered), p_value(correct, answered)
    )


_JUDGED = [
    "run", "day", "coffee_a", "coffee_b", "blinding", "planned", "answered", "correct", "alpha",
    "proportion", "low", "high", "p_value", "counted",
]  # fmt: skip


def _judged(number: int, run) -> tuple:
    correct, answered, planned = int(run.correct), int(run.answered), int(run.planned)
    verdict = judge(correct, answered, alpha=float(run.alpha), planned=planned)
    finished = answered == planned
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
        verdict.p_value if finished else None,
        finished and run.blinding != "not blind",
    )
