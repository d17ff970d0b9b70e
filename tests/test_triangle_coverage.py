"""Coverage of the triangle's intervals and false-alarm rates of its tests, simulated; the figures are printed.

The simulation is ``benchmarks/triangle_coverage.py``; its full count is marked long, and CI runs a reduced one. A
figure may lie four standard errors of its simulation beyond its bar, which it crosses by chance once in 30,000.
"""

import sys
from pathlib import Path

import pytest

BENCHMARKS = Path(__file__).resolve().parents[1] / "benchmarks"
RUNS, FULL = 250, 4000


@pytest.fixture(scope="module")
def coverage():
    sys.path.insert(0, str(BENCHMARKS))
    try:
        import triangle_coverage
    finally:
        sys.path.remove(str(BENCHMARKS))
    return triangle_coverage


PARTS = ("proportion", "similarity", "anytime", "sequential", "a_not_a", "trend", "overdispersion", "orders")


def check(coverage, part, runs, capsys):
    figures = coverage.simulate(part, runs)
    with capsys.disabled():
        print(f"\n{part}, {runs} runs")
        print("\n".join(map(str, figures)))
    assert [str(figure) for figure in figures if not figure.holds()] == []
    return {figure.name: figure.share for figure in figures}


@pytest.mark.parametrize("part", PARTS)
def test_intervals_and_tests_keep_what_they_promise(coverage, part, capsys):
    shares = check(coverage, part, RUNS, capsys)
    if part == "anytime":
        # Looking after each answer breaks the fixed-number p, and not the test that holds at any time.
        naive, valid = (share for name, share in shares.items() if "looked at after each" in name)
        assert naive > 0.15 > 0.09 > valid
    if part == "orders":
        assert len(shares) == 3


@pytest.mark.long
@pytest.mark.parametrize("part", PARTS)
def test_intervals_and_tests_keep_what_they_promise_in_full(coverage, part, capsys):
    check(coverage, part, FULL, capsys)


def test_every_part_is_run(coverage):
    assert tuple(coverage.PARTS) == PARTS
