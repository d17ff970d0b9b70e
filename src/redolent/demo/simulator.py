"""An invented journal: two tasters at one table for five months, of whom one learns."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from redolent.blind import draw_codes, seal
from redolent.demo.coffees import COFFEES, InventedCoffee
from redolent.demo.tasters import TASTERS, InventedTaster, Palate
from redolent.journal import Journal
from redolent.triangle import RunDesign, design_run, odd_position

SEED = 14
"""One of the seeds with which neither taster ends near the edge of a finding; most tell the same story."""
FIRST = datetime(2026, 1, 17, 10, 0, tzinfo=timezone(timedelta(hours=1)))
CUPS = (3, 4, 3, 3, 4, 3, 3, 4, 3, 3, 4, 3)
"""Cups of each tasting."""
DAYS_BETWEEN = 13
TRIADS = 18
RUN_AFTER = (1, 4, 7, 10)
"""The tastings, from 0, on whose evening a triangle run was done."""
EVENING, AN_HOUR = timedelta(hours=8), timedelta(hours=1)
ALPHA = 0.05


@dataclass(frozen=True, slots=True)
class PlannedNote:
    """A note to be: who wrote it, about which cup of its tasting, when and what."""

    taster: str
    cup: int
    stage: str
    at: datetime
    text: str


@dataclass(frozen=True, slots=True)
class PlannedTasting:
    """A tasting to be: its cups in serving order, and what was written about them."""

    name: str
    at: datetime
    cups: tuple[InventedCoffee, ...]
    codes: tuple[str, ...]
    notes: tuple[PlannedNote, ...]


@dataclass(frozen=True, slots=True)
class PlannedRun:
    """A triangle run to be, with the code that was given as the odd one in each triad."""

    taster: str
    at: datetime
    coffees: tuple[InventedCoffee, InventedCoffee]
    design: RunDesign
    answers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Story:
    """All that happens in the invented journal."""

    tastings: tuple[PlannedTasting, ...]
    runs: tuple[PlannedRun, ...]


def invent(seed: int = SEED) -> Story:
    """Invent five months; the same seed gives the same story."""
    rng = np.random.default_rng([seed, 0])
    palates = [Palate(taster, np.random.default_rng([seed, 1, n])) for n, taster in enumerate(TASTERS)]
    served: Counter[str] = Counter()
    tastings = tuple(_invent_tasting(number, palates, served, rng) for number in range(len(CUPS)))
    runs = tuple(
        _invent_run(taster, number, EVENING + n * AN_HOUR, np.random.default_rng([seed, 2, n, number]))
        for number in range(len(RUN_AFTER))
        for n, taster in enumerate(TASTERS)
    )
    return Story(tastings, runs)


def simulate(journal: Journal, *, seed: int = SEED) -> None:
    """Write the invented story into a journal.

    Parameters
    ----------
    journal : Journal
        Any; what is in it stays.
    seed : int
        The same seed gives the same texts, codes and answers, under ids of their own.
    """
    story = invent(seed)
    tasters = {taster.name: journal.taster(taster.name).id for taster in TASTERS}
    coffees = {c.name: journal.coffee(c.name, origin=c.origin, process=c.process).id for c in COFFEES}
    for tasting in story.tastings:
        write_tasting(journal, tasting, tasters, coffees)
    for run in story.runs:
        write_run(journal, run, tasters, coffees)


def open_demo(path: str | Path, *, seed: int = SEED) -> Journal:
    """Open the demo journal at `path`, and write it first where it is not there.

    It is written beside its place and then moved there, so that an interrupted start leaves no half of it.
    """
    path = Path(path)
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        with TemporaryDirectory(dir=path.parent, prefix=".demo-") as folder:
            draft = Path(folder) / path.name
            with Journal.open(draft) as journal:
                simulate(journal, seed=seed)
            if not path.exists():
                draft.replace(path)
    return Journal.open(path)


def _invent_tasting(
    number: int, palates: list[Palate], served: Counter[str], rng: np.random.Generator
) -> PlannedTasting:
    at = FIRST + timedelta(days=DAYS_BETWEEN * number + int(rng.integers(-1, 2)))
    cups = _lay_out(CUPS[number], served, rng)
    notes = []
    for palate in palates:
        for cup, coffee in enumerate(cups):
            stages = [str(rng.choice(["hot", "warm", "cool"], p=[0.3, 0.5, 0.2]))]
            if rng.random() < 0.12:
                stages.insert(0, str(rng.choice(["dry", "break"])))
            for stage in stages:
                minutes = {"dry": 0, "break": 6, "hot": 12, "warm": 20, "cool": 30}[stage] + cup
                text = palate.taste(coffee, stage, number / (len(CUPS) - 1))
                notes.append(PlannedNote(palate.taster.name, cup, stage, at + timedelta(minutes=minutes), text))
    codes = tuple(draw_codes(len(cups), rng))
    return PlannedTasting(f"Table {number + 1}", at, cups, codes, tuple(notes))


def _lay_out(cups: int, served: Counter[str], rng: np.random.Generator) -> tuple[InventedCoffee, ...]:
    """Draw the coffees of a tasting, those first that came up least; usually one of them is poured twice."""
    repeats = int(rng.random() < 0.9)
    shelf = sorted(rng.permutation(len(COFFEES)).tolist(), key=lambda i: served[COFFEES[i].name])
    drawn = [COFFEES[i] for i in shelf[: cups - repeats]]
    served.update(coffee.name for coffee in drawn)
    poured = drawn + drawn[:repeats]
    return tuple(poured[i] for i in rng.permutation(cups))


def _invent_run(taster: InventedTaster, number: int, after: timedelta, rng: np.random.Generator) -> PlannedRun:
    at = FIRST + timedelta(days=DAYS_BETWEEN * RUN_AFTER[number]) + after
    a, b = (COFFEES[i] for i in rng.choice(len(COFFEES), size=2, replace=False))
    design = design_run(TRIADS, rng)
    answers = []
    for order, codes in zip(design.orders, design.codes, strict=True):
        odd = odd_position(order) - 1
        others = [place for place in range(3) if place != odd]
        found = rng.random() < taster.finds[number]
        answers.append(codes[odd if found else others[int(rng.integers(2))]])
    return PlannedRun(taster.name, at, (a, b), design, tuple(answers))


def write_tasting(
    journal: Journal, planned: PlannedTasting, tasters: dict[str, str], coffees: dict[str, str]
) -> list[str]:
    """Write a tasting into a journal, and give the ids of its servings."""
    tasting = journal.start_tasting(planned.name, at=planned.at)
    servings = [
        journal.add_serving(tasting.id, coffee_id=coffees[coffee.name], code=code, position=position)
        for position, (coffee, code) in enumerate(zip(planned.cups, planned.codes, strict=True), 1)
    ]
    for note in sorted(planned.notes, key=lambda note: note.at):
        journal.save_note(
            taster_id=tasters[note.taster],
            serving_id=servings[note.cup].id,
            stage=note.stage,
            text=note.text,
            at=note.at,
        )
    return [serving.id for serving in servings]


def write_run(journal: Journal, planned: PlannedRun, tasters: dict[str, str], coffees: dict[str, str]) -> None:
    """Write a triangle run into a journal."""
    sealed = seal(planned.design.key)
    run = journal.start_run(
        taster_id=tasters[planned.taster],
        coffee_a_id=coffees[planned.coffees[0].name],
        coffee_b_id=coffees[planned.coffees[1].name],
        alpha=ALPHA,
        blinding="helper",
        orders=list(planned.design.orders),
        codes=list(planned.design.codes),
        commitment=sealed.commitment,
        nonce=sealed.nonce,
        at=planned.at,
    )
    for number, odd_code in enumerate(planned.answers, 1):
        triad = journal.next_triad(run.id)
        assert triad is not None  # there are as many as answers
        journal.answer(triad.id, odd_code=odd_code, at=planned.at + timedelta(minutes=3 * number))
