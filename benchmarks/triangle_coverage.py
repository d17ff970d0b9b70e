"""Coverage of the intervals and false-alarm rates of the tests in ``redolent.triangle``, by seeded simulation.

    python benchmarks/triangle_coverage.py [--runs 4000]

Answers come from the rule of the triangle itself wherever a distance is named: two samples from N(0, 1), one from
N(d, 1), and the odd one is taken to be the one farthest from the other two. Each figure is printed with its nominal
value and the standard error of the simulation. ``tests/test_triangle_coverage.py`` runs the same with fewer runs.
"""

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import log, sqrt
from time import perf_counter

import numpy as np
from scipy.stats import binom

from redolent.triangle import (
    TRIANGLE,
    draw_orders,
    draw_panel_orders,
    fit_trend,
    judge,
    judge_a_not_a,
    odd_position,
    p_value,
    plan_sequential,
)
from redolent.triangle.anytime import TILTS, log_mixture
from redolent.triangle.several import fit_overdispersion

SEED = 4120
DISTANCES = (0.0, 1.0, 2.0, 3.0)
TRIADS = (6, 12, 24, 60)
HORIZON = 200


@dataclass(frozen=True)
class Figure:
    """One simulated share: what it should be, and in which sense."""

    name: str
    share: float
    nominal: float
    sense: str
    """"at least", "at most" or "within 2 points"; "shown" is not held to anything."""
    runs: int

    @property
    def error(self) -> float:
        """Standard error of the simulation at the nominal value."""
        return sqrt(self.nominal * (1 - self.nominal) / self.runs)

    def holds(self, errors: float = 4.0) -> bool:
        """Whether the share is as it should be, but for `errors` standard errors of the simulation."""
        slack = errors * self.error
        match self.sense:
            case "at least":
                return self.share >= self.nominal - slack
            case "at most":
                return self.share <= self.nominal + slack
            case "within 2 points":
                return abs(self.share - self.nominal) <= 0.02 + slack
            case _:
                return True

    def __str__(self) -> str:
        """One line of the report."""
        return f"{self.name:<78} {self.share:7.4f}   {self.sense} {self.nominal:.3f}   (± {self.error:.4f})"


def taste(rng: np.random.Generator, d: float, shape: tuple[int, ...]) -> np.ndarray:
    """Answer triads by the rule: True where the odd cup is found."""
    x, y = rng.normal(size=(2, *shape))
    odd = rng.normal(d, size=shape)
    return (abs(x - y) < abs(x - odd)) & (abs(x - y) < abs(y - odd))


def cover_proportion(rng: np.random.Generator, runs: int) -> Iterator[Figure]:
    """Exact intervals of the proportion, p_d and d′, and the level of the decision."""
    for triads in TRIADS:
        verdicts = [judge(k, triads, planned=triads) for k in range(triads + 1)]
        for d in DISTANCES:
            counts = np.bincount(taste(rng, d, (runs, triads)).sum(axis=1), minlength=triads + 1) / runs
            proportion = float(TRIANGLE.proportion(d))
            pd, about = TRIANGLE.discriminators(proportion), f"n = {triads}, d′ = {d:g}"
            for name, truth, ends in (
                ("proportion", proportion, [v.limits for v in verdicts]),
                ("p_d", pd, [v.pd_interval for v in verdicts]),
                ("d′", d, [v.d_prime_interval for v in verdicts]),
            ):
                # An inverse is exact to 1e-6; where nothing is detected the interval begins at 0 itself.
                held = sum(
                    share for share, (low, high) in zip(counts, ends, strict=True) if low - 1e-6 <= truth <= high + 1e-6
                )
                yield Figure(f"95 % interval of {name}, {about}", held, 0.95, "at least", runs)
            if d == 0:
                shown = sum(share for share, v in zip(counts, verdicts, strict=True) if v.shown)
                yield Figure(f"difference shown by guessing, n = {triads}", shown, 0.05, "at most", runs)


def cover_similarity(rng: np.random.Generator, runs: int) -> Iterator[Figure]:
    """Similarity claimed in spite of the planned difference."""
    for triads, pd in ((60, 0.3), (30, 0.5)):
        d = TRIANGLE.d_prime(TRIANGLE.correct_from(pd))
        counts = taste(rng, d, (runs, triads)).sum(axis=1)
        most = judge(0, triads, pd=pd, beta=0.05, similarity=True).maximum_correct
        share = float((counts <= most).mean())
        yield Figure(f"similarity shown at the planned p_d = {pd:g}, n = {triads}", share, 0.05, "at most", runs)


def drift(rng: np.random.Generator, kind: str, runs: int) -> tuple[np.ndarray, np.ndarray]:
    """Give answers and the running average of the probabilities that they had, both (runs, HORIZON)."""
    n = np.arange(HORIZON)
    if kind == "learns from its hits":
        right, p = np.zeros((runs, HORIZON), dtype=bool), np.zeros((runs, HORIZON))
        skill = np.full(runs, 0.34)
        for t in range(HORIZON):
            p[:, t] = skill
            right[:, t] = rng.random(runs) < skill
            skill = np.clip(skill + np.where(right[:, t], 0.02, -0.008), 1 / 3, 0.95)
    else:
        line = {
            "constant": np.full(HORIZON, 0.5),
            "rises": np.linspace(1 / 3, 0.9, HORIZON),
            "falls": np.linspace(0.9, 1 / 3, HORIZON),
            "jumps": np.where(n // 20 % 2, 0.9, 0.34),
        }[kind]
        p = np.tile(line, (runs, 1))
        right = rng.random((runs, HORIZON)) < p
    return right, p.cumsum(axis=1) / (n + 1)


def cover_anytime(rng: np.random.Generator, runs: int) -> Iterator[Figure]:
    """The confidence sequence at all times at once, and false alarms of those who look after each answer."""
    n = np.arange(1, HORIZON + 1)
    for kind in ("constant", "rises", "falls", "jumps", "learns from its hits"):
        right, average = drift(rng, kind, runs)
        held = (log_mixture(right.cumsum(axis=1), n, average) < log(20)).all(axis=1).mean()
        name = f"confidence sequence holds the running average at all {HORIZON} looks, p {kind}"
        yield Figure(name, float(held), 0.95, "at least", runs)
    correct = (taste(rng, 0, (runs, HORIZON))).cumsum(axis=1)
    peeked = binom.sf(correct - 1, n, 1 / 3) <= 0.05
    anytime = log_mixture(correct, n, np.full(correct.shape, 1 / 3), TILTS) >= log(20)
    name = f"guessing, looked at after each of {HORIZON} answers"
    yield Figure(f"{name}: fixed-number p at or below 0.05", float(peeked.any(axis=1).mean()), 0.05, "shown", runs)
    yield Figure(f"{name}: anytime-valid test", float(anytime.any(axis=1).mean()), 0.05, "at most", runs)
    # A run of 24, stopped as soon as the fixed-number p looks good, as `judge` judges it.
    stop = np.where(peeked[:, :24].any(axis=1), peeked[:, :24].argmax(axis=1), 23)
    shown = np.mean([
        _stopped(int(correct[run, at]), int(at) + 1).shown for run, at in enumerate(stop)
    ])  # fmt: skip
    yield Figure("guessing, 24 planned, stopped where p looks good: judge", float(shown), 0.05, "at most", runs)
    for planned in (23, 60):
        # Alone: ended as soon as the evidence is enough, else kept to the number.
        early = anytime[:, : planned - 1].any(axis=1)
        kept = correct[:, planned - 1] >= judge(0, planned, planned=planned, seen=True).minimum_correct
        name = f"guessing, each answer seen, {planned} planned, ended early or kept: judge"
        yield Figure(name, float((early | kept).mean()), 0.05, "at most", runs)
    rises, _ = drift(rng, "rises", runs)
    found = log_mixture(rises.cumsum(axis=1), n, np.full(rises.shape, 1 / 3), TILTS) >= log(20)
    yield Figure(
        f"learner found within {HORIZON} answers, p rises", float(found.any(axis=1).mean()), 0.95, "shown", runs
    )


@cache
def _stopped(correct: int, of: int):
    return judge(correct, of, planned=24, looked=True)


def cover_sequential(rng: np.random.Generator, runs: int) -> Iterator[Figure]:
    """Wald's test: both risks against his bounds."""
    for alpha, beta, pd in ((0.05, 0.2, 0.3), (0.05, 0.05, 0.5), (0.01, 0.1, 0.4)):
        plan = plan_sequential(alpha, beta, pd=pd)
        n = np.arange(1, 1501)
        for d, name, bar in (
            (0.0, "difference shown by guessing", alpha / (1 - beta)),
            (plan.d_prime, "missed at the planned p_d", beta / (1 - alpha)),
        ):
            wrong = answered = 0
            for part in range(0, runs, 500):
                correct = taste(rng, d, (min(500, runs - part), len(n))).cumsum(axis=1)
                above, below = correct >= plan.upper(n) - 1e-9, correct <= plan.lower(n) + 1e-9
                ends = (above | below).argmax(axis=1)
                difference = above[np.arange(len(ends)), ends]
                wrong += int((difference if d == 0 else ~difference).sum())
                answered += int((ends + 1).sum())
            about = f"sequential, α {alpha:g}, β {beta:g}, p_d {pd:g}: {name}, {answered / runs:.1f} triads"
            yield Figure(about, wrong / runs, bar, "at most", runs)


def cover_a_not_a(rng: np.random.Generator, runs: int) -> Iterator[Figure]:
    """The interval of d′ of A–not A."""
    for cups in (12, 24, 48):
        for d in DISTANCES:
            hits = (rng.normal(d, size=(runs, cups)) > d / 2).sum(axis=1)
            alarms = (rng.normal(0, size=(runs, cups)) > d / 2).sum(axis=1)
            pairs, counts = np.unique(np.column_stack([hits, alarms]), axis=0, return_counts=True)
            held = sum(
                count
                for (hit, alarm), count in zip(pairs.tolist(), counts.tolist(), strict=True)
                if (judged := judge_a_not_a(hit, cups, alarm, cups)).low <= d <= judged.high
            )
            yield Figure(
                f"A–not A, 95 % interval of d′ = {d:g}, {cups} cups each", held / runs, 0.95, "within 2 points", runs
            )


def cover_trend(rng: np.random.Generator, runs: int) -> Iterator[Figure]:
    """The profile interval of the slope, 8 runs of 18 triads in 7 months."""
    months = np.arange(8.0)
    for start, end in ((1.5, 1.5), (1.0, 2.5), (2.5, 1.5)):
        d = start + (end - start) * months / 7
        slope, held, alarms = (end - start) / 7, 0, 0
        answers = np.stack([taste(rng, one, (runs, 18)).sum(axis=1) for one in d], axis=1)
        for row in answers.tolist():
            trend = fit_trend(months, row, [18] * 8, "water 10 %")
            held += trend.low <= slope <= trend.high
            alarms += trend.p_value <= 0.05
        about = f"d′ {start:g} to {end:g}, 8 runs of 18"
        yield Figure(f"trend, 95 % interval of the slope, {about}", held / runs, 0.95, "within 2 points", runs)
        if start == end:
            yield Figure(f"trend shown where there is none, {about}", alarms / runs, 0.05, "within 2 points", runs)


def cover_overdispersion(rng: np.random.Generator, runs: int) -> Iterator[Figure]:
    """The likelihood-ratio test, 12 tasters with 12 triads."""
    of = np.full(12, 12)
    alike = taste(rng, 1.6, (runs, 12, 12)).sum(axis=2)
    false = np.mean([fit_overdispersion(row, of)[2] <= 0.05 for row in alike])
    yield Figure("overdispersion shown where tasters are alike, 12 of 12 triads", float(false), 0.05, "at most", runs)
    pd = rng.beta(0.6, 1.4, (runs, 12))
    apart = rng.binomial(12, 1 / 3 + 2 / 3 * pd)
    found = np.mean([fit_overdispersion(row, of)[2] <= 0.05 for row in apart])
    yield Figure("overdispersion found at μ 0.3, γ 0.33", float(found), 0.8, "shown", runs)


def cover_orders(rng: np.random.Generator, runs: int) -> Iterator[Figure]:
    """A taster who guesses and spreads the answers evenly: 18 triads, at least 10 correct."""
    triads, minimum = 18, 10
    nominal = p_value(minimum, triads)

    def blocks() -> np.ndarray:
        return rng.permuted(np.tile(np.repeat([1, 2, 3], 2), (runs * 3, 1)), axis=1).reshape(runs, triads)

    places = {
        "drawn independently": [draw_orders(triads, rng) for _ in range(runs)],
        "balanced across a panel of six": [draw_panel_orders(6, triads, rng)[2] for _ in range(runs)],
    }
    for name, orders in places.items():
        odd = np.array([[odd_position(order) for order in row] for row in orders])
        share = float(((odd == blocks()).sum(axis=1) >= minimum).mean())
        yield Figure(f"balanced answers by guessing, orders {name}", share, nominal, "at most", runs)
    share = float(((blocks() == blocks()).sum(axis=1) >= minimum).mean())
    yield Figure("balanced answers by guessing, orders in balanced blocks (not ours)", share, nominal, "shown", runs)


PARTS = {
    "proportion": cover_proportion,
    "similarity": cover_similarity,
    "anytime": cover_anytime,
    "sequential": cover_sequential,
    "a_not_a": cover_a_not_a,
    "trend": cover_trend,
    "overdispersion": cover_overdispersion,
    "orders": cover_orders,
}


def simulate(part: str, runs: int, seed: int = SEED) -> list[Figure]:
    """Simulate one of `PARTS`."""
    return list(PARTS[part](np.random.default_rng([seed, list(PARTS).index(part)]), runs))


def main() -> None:
    """Simulate all parts and print their figures."""
    from start_up import name_origin

    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=4000)
    runs = parser.parse_args().runs
    print(f"triangle_coverage.py: {name_origin(SEED)}, {runs} runs a figure")
    missed = 0
    for part in PARTS:
        start = perf_counter()
        print(f"\n{part}")
        for figure in simulate(part, runs):
            print(f"{figure}{'' if figure.holds() else '   MISSED'}", flush=True)
            missed += not figure.holds()
        print(f"{perf_counter() - start:.0f} s")
    print(f"\n{missed} figures missed")


if __name__ == "__main__":
    main()
