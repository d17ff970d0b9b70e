"""An invented class of twelve over a term: one learns, one only writes more, one cannot tell sour from bitter."""

import json
from dataclasses import dataclass, replace
from datetime import datetime, timedelta, timezone

import numpy as np

from redolent.blind import draw_codes
from redolent.classroom.checklist import KEPT as CHECKS_KEPT
from redolent.demo.coffees import COFFEES, InventedCoffee
from redolent.demo.phrases import FLOWING, TERSE
from redolent.demo.simulator import PlannedNote, PlannedRun, PlannedTasting, write_run, write_tasting
from redolent.demo.tasters import InventedTaster, Palate
from redolent.journal import Journal
from redolent.triangle import design_run, odd_position

SEED = 3
"""Any of the seeds 1 to 12 tells the three stories; one of them accuses somebody else (`benchmarks/class_demo.py`)."""
FIRST = datetime(2026, 1, 12, 18, 0, tzinfo=timezone(timedelta(hours=1)))
WEEKS, CUPS = 12, 4
TRIADS = (3, 6, 9, 12, 18)
"""Of whom, by number: some answered hardly any."""
LEARNS, WRITES_MORE, SWAPS = "Amaro Quist", "Bettina Rojek", "Corin Adeyar"
SOUR = {"citric acidity", "malic acidity", "tart"}
BITTER = {"Monte Vespil", "Bukit Lamora", "Rio Tandeco", "Alto Serrim", "Arbessa Wold"}
"""The coffees of the class that are bitter; the others are sour."""
NOTICES_TONGUE, SWAPS_TONGUE, SLIPS_CHECK = 0.8, 0.8, 0.1


def _steady(name: str, number: int) -> InventedTaster:
    notices, knows = 0.45 + 0.03 * (number % 4), 0.45 + 0.05 * (number % 5)
    finds = (1 / 3 + 0.06 * number,)
    return InventedTaster(name, (notices,) * 2, (knows,) * 2, (0.9, 0.9), finds, FLOWING if number % 2 else TERSE)


CLASS = (
    InventedTaster(LEARNS, (0.25, 0.9), (0.3, 0.95), (0.9, 0.3), (0.7,), FLOWING),
    InventedTaster(WRITES_MORE, (0.35, 0.35), (0.35, 0.35), (0.8, 7.5), (1 / 3,), TERSE),
    *(
        _steady(name, number)
        for number, name in enumerate(
            (
                *(SWAPS, "Delphine Okara", "Emeric Stahlin", "Fenna Louvrek", "Goran Pelluca"),
                *("Hedda Brisk", "Ivo Marchetal", "Jora Nemetz", "Kasimir Dolby", "Lotte Anversa"),
            )
        )
    ),
)


@dataclass(frozen=True, slots=True)
class PlannedMark:
    """A line mark to be, on a cup of a tasting."""

    taster: str
    tasting: int
    cup: int
    attribute: str
    mark: float


@dataclass(frozen=True, slots=True)
class PlannedCheck:
    """A check-list to be, on a cup of a tasting, answered after its note."""

    taster: str
    tasting: int
    cup: int
    answers: dict[str, bool]


@dataclass(frozen=True, slots=True)
class Term:
    """All that happens in the invented class."""

    tastings: tuple[PlannedTasting, ...]
    runs: tuple[PlannedRun, ...]
    marks: tuple[PlannedMark, ...]
    checks: tuple[PlannedCheck, ...]


def invent_class(seed: int = SEED) -> Term:
    """Invent a term; the same seed gives the same one."""
    rng = np.random.default_rng([seed, 10])
    palates = [Palate(taster, np.random.default_rng([seed, 11, n])) for n, taster in enumerate(CLASS)]
    tastings, marks = [], []
    for week in range(WEEKS):
        drawn = [COFFEES[i] for i in rng.permutation(len(COFFEES))[: CUPS - 1]]
        cups = tuple((drawn + drawn[:1])[i] for i in rng.permutation(CUPS))
        at = FIRST + timedelta(weeks=week)
        notes = []
        for palate in palates:
            for cup, coffee in enumerate(cups):
                text = _taste(palate, coffee, week / (WEEKS - 1), rng)
                notes.append(PlannedNote(palate.taster.name, cup, "warm", at + timedelta(minutes=20 + cup), text))
                if week % 3 == 2:
                    where = 35 + 30 * (coffee.name not in BITTER) + rng.normal(0, 9)
                    mark = float(np.clip(round(where), 0, 100))
                    marks.append(PlannedMark(palate.taster.name, week, cup, "acidity", mark))
        codes = tuple(draw_codes(CUPS, rng))
        tastings.append(PlannedTasting(f"Week {week + 1}", at, cups, codes, tuple(notes)))
    runs = tuple(_invent_run(n, np.random.default_rng([seed, 12, n])) for n in range(len(CLASS)))
    checks = _invent_checks(tastings, np.random.default_rng([seed, 13]))
    return Term(tuple(tastings), runs, tuple(marks), checks)


def simulate_class(journal: Journal, *, seed: int = SEED) -> None:
    """Write the invented term into a journal, as it stands once all students' files are collected."""
    term = invent_class(seed)
    tasters = {taster.name: journal.taster(taster.name).id for taster in CLASS}
    coffees = {c.name: journal.coffee(c.name, origin=c.origin, process=c.process).id for c in COFFEES}
    servings = [write_tasting(journal, tasting, tasters, coffees) for tasting in term.tastings]
    for one in term.marks:
        journal.mark_line(
            taster_id=tasters[one.taster],
            serving_id=servings[one.tasting][one.cup],
            stage="warm",
            attribute=one.attribute,
            mark=one.mark,
            at=term.tastings[one.tasting].at + timedelta(minutes=40),
        )
    for check in term.checks:
        journal.note_circumstance(
            CHECKS_KEPT,
            json.dumps(check.answers),
            taster_id=tasters[check.taster],
            serving_id=servings[check.tasting][check.cup],
            at=term.tastings[check.tasting].at + timedelta(minutes=50),
        )
    for run in term.runs:
        write_run(journal, run, tasters, coffees)


def _taste(palate: Palate, coffee: InventedCoffee, when: float, rng: np.random.Generator) -> str:
    """Write a note in which what is on the tongue has a sentence of its own."""
    rest = replace(coffee, mouth=tuple(word for word in coffee.mouth if word not in SOUR))
    text = palate.taste(rest, "warm", when)
    if rng.random() >= NOTICES_TONGUE:
        return text
    bitter = coffee.name in BITTER
    if palate.taster.name == SWAPS and rng.random() < SWAPS_TONGUE:
        bitter = not bitter
    return f"{text}{'' if text[-1] in '.?!' else '.'} {'Bitter' if bitter else 'Sour'}."


def _invent_checks(tastings: list[PlannedTasting], rng: np.random.Generator) -> tuple[PlannedCheck, ...]:
    """Let the class answer a check-list at each third tasting; nuts are found by luck alone."""
    checks = []
    for week, tasting in enumerate(tastings):
        for cup, coffee in enumerate(tasting.cups if week % 3 == 2 else ()):
            for taster in CLASS:
                bitter = (coffee.name in BITTER) != (taster.name == SWAPS)
                slips = rng.random(2) < SLIPS_CHECK
                answers = {"tongue/bitter": bitter != bool(slips[0]), "tongue/sour": bitter == bool(slips[1])}
                checks.append(PlannedCheck(taster.name, week, cup, answers | {"nut-bowl": bool(rng.random() < 0.5)}))
    return tuple(checks)


def _invent_run(number: int, rng: np.random.Generator) -> PlannedRun:
    taster = CLASS[number]
    a, b = (COFFEES[i] for i in rng.choice(len(COFFEES), size=2, replace=False))
    design = design_run(TRIADS[number % len(TRIADS)], rng)
    answers = []
    for order, codes in zip(design.orders, design.codes, strict=True):
        odd = odd_position(order) - 1
        others = [place for place in range(3) if place != odd]
        answers.append(codes[odd if rng.random() < taster.finds[0] else others[int(rng.integers(2))]])
    at = FIRST + timedelta(weeks=WEEKS // 2, days=2)
    return PlannedRun(taster.name, at, (a, b), design, tuple(answers))
