"""Exercises: what an educator sets, as TOML; it travels with a tasting and comes back with what was done.

An exercise is a tasting of its own with the tasks kept beside it. Its cups are those that an educator may fill, label
and send. `share` makes one file of it (blank: codes without coffees); a student opens it, sets the table at home or
tastes what was sent, and what was written, answered and smelled comes back with the student's journal.
"""

import json
import tomllib
from collections import Counter
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from redolent.classroom.checklist import CHECKS, read_kept
from redolent.journal import Journal
from redolent.journal.collect import collect
from redolent.journal.shared import read_share, share
from redolent.lexicon import Lexicon, Node
from redolent.practice.jars import fits_jar
from redolent.progress import wording
from redolent.tasting import design_tasting
from redolent.tasting.orders import MOST as MOST_COFFEES

KINDS = ("tasting", "triangle", "jars", "words")
"""Of the methods that ISO 8586 (choosing and training assessors) names for a course, from memory: recognition and
description of odours (jars, after ISO 5496), triangle tests for detection, and description of products (tasting)."""
KEPT, WORDS_KEPT = "exercise", "exercise words"
BEGUN = {"tasting": "exercise tasting", "triangle": "exercise run", "jars": "exercise jars"}
"""What was begun for a task, by its kind: the id of the student's own tasting or run, or the seal of a set of jars."""
MOST_TASKS, MOST_ITEMS, MOST_JARS, MOST_TRIADS, LONGEST = 12, 60, 12, 60, 4000
FEWEST_TRIADS = 3
"""With fewer, no answers at all differ from guessing at a risk of 5 %: (1/3)² > 0.05 > (1/3)³."""
USUAL = {"tasting": 1, "triangle": 12}
"""Cups of each coffee, and triads, where nothing is said."""
CAUTIONS = {
    "tasting": "Hot water scalds; spit if you like, and mind the caffeine.",
    "triangle": "Hot water scalds; spit if you like, and mind the caffeine.",
    "jars": "Leave out whatever anybody in the household is allergic to; smell kitchen foods only, and nothing mouldy.",
    "words": "",
}


@dataclass(frozen=True, slots=True)
class Task:
    """A part of an exercise.

    Attributes
    ----------
    kind : {"tasting", "triangle", "jars", "words"}
    items : tuple of str
        Names of coffees, or the ids of places of the lexicon.
    number : int
        Cups of each coffee, or triads; else 1.
    """

    kind: str
    items: tuple[str, ...]
    number: int = 1

    def tell(self, lexicon: Lexicon) -> str:
        """Say what is to be done."""
        labels = [lexicon[item].label if item in lexicon else item for item in self.items]
        names = ", ".join(labels)
        said = {
            "tasting": f"Taste {names}, coded, and write a note on each cup.",
            "triangle": f"Find the odd cup between {names} in {self.number} triads.",
            # What is in them is told by the shopping list, to whoever prepares.
            "jars": f"Smell {wording.count(len(labels), 'covered jar')}, and say what it is that you smell.",
            "words": f"Read about these words, and say of each what it means to you: {names}.",
        }[self.kind]
        return f"{said} {CAUTIONS[self.kind]}".strip()


@dataclass(frozen=True, slots=True)
class Exercise:
    """What an educator sets.

    Attributes
    ----------
    title, instructions : str
    tasks : tuple of Task
    checks : tuple of str
        The places that the check-list after the tasting asks about; none for those it usually asks about.
    """

    title: str
    instructions: str
    tasks: tuple[Task, ...]
    checks: tuple[str, ...] = ()

    def task(self, kind: str) -> Task | None:
        """Give the first task of a kind."""
        return next((task for task in self.tasks if task.kind == kind), None)


@dataclass(frozen=True, slots=True)
class SetExercise:
    """An exercise that is in a journal, under the id of its tasting."""

    tasting_id: str
    exercise: Exercise


def read_exercise(text: str, *, lexicon: Lexicon | None = None) -> Exercise:
    """Read an exercise from TOML.

    Raises
    ------
    ValueError
        Where it is no TOML, or anything in it is not what it must be.
    """
    lexicon = lexicon or Lexicon.load()
    try:
        told = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"The exercise is no TOML ({error}); mend that place.") from error
    return _check(told, lexicon)


def write_exercise(exercise: Exercise) -> str:
    """Write an exercise as TOML, as `read_exercise` reads it."""
    told: dict[str, str | list[str]] = {"title": exercise.title, "instructions": exercise.instructions}
    told |= {"checks": list(exercise.checks)} if exercise.checks else {}
    lines = [f"{name} = {quote(value)}" for name, value in told.items()]
    for task in exercise.tasks:
        lines += ["", "[[task]]", *(f"{name} = {quote(value)}" for name, value in _as_toml(asdict(task)).items())]
    return "\n".join(lines) + "\n"


def quote(value: str | int | list[str]) -> str:
    """Write a value as TOML."""
    # JSON's strings, numbers and lists are TOML's, but for the one control character that JSON lets pass.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def set_exercise(journal: Journal, exercise: Exercise, *, seed: int | np.random.Generator | None = None) -> SetExercise:
    """Put an exercise into the educator's journal, with coded cups for what is to be tasted.

    Share it with ``share(journal, file, tasting_id=…, blank=True)``.
    """
    tasting = journal.start_tasting(exercise.title)
    task = exercise.task("tasting")
    if task is not None:
        coffees = [journal.coffee(name).id for name in task.items]
        design = design_tasting(len(coffees), np.random.default_rng(seed), cups=task.number)
        for position, (letter, code) in enumerate(zip(design.order, design.codes, strict=True), 1):
            coffee_id = coffees[ord(letter) - ord("A")]
            journal.add_serving(tasting.id, coffee_id=coffee_id, code=code, position=position)
    journal.note_circumstance(KEPT, json.dumps(asdict(exercise)), tasting_id=tasting.id)
    return SetExercise(tasting.id, exercise)


def list_exercises(journal: Journal, *, lexicon: Lexicon | None = None) -> list[SetExercise]:
    """List the exercises of a journal, oldest first; what is not one is passed over."""
    lexicon, found = lexicon or Lexicon.load(), []
    for kept in journal.circumstances(kind=KEPT):
        try:
            told = json.loads(kept.value)
            if kept.tasting_id is not None and isinstance(told, dict):
                tasks = [_as_toml(task) for task in told.get("tasks", ()) if isinstance(task, dict)]
                exercise = _check({**told, "tasks": None, "task": tasks}, lexicon)
                found.append(SetExercise(kept.tasting_id, exercise))
        except (TypeError, ValueError):  # another version's, or a hand's: no exercise here
            continue
    return found


def hand_out(
    journal: Journal, exercise: Exercise, folder: Path, at: datetime, *, seed: int | None = None
) -> dict[str, Path]:
    """Set an exercise and write its files into a folder.

    Returns
    -------
    dict of str to Path
        ``toml``, ``file`` (for the students) and, where there is a tasting, ``labels``: what goes into which cup, for
        an educator who fills and sends them.
    """
    stem = f"exercise {at:%Y-%m-%d %H%M%S}"
    paths = {"toml": folder / f"{stem}.toml", "file": folder / f"{stem}.jsonl"}
    if taken := [path.name for path in paths.values() if path.exists()]:
        raise ValueError(f"{taken[0]} is there already; try again in a second.")
    paths["toml"].write_text(write_exercise(exercise), encoding="utf-8")
    given = set_exercise(journal, exercise, seed=seed)
    share(journal, paths["file"], tasting_id=given.tasting_id, blank=True)
    if cups := journal.servings(given.tasting_id):
        coffees = {coffee.id: coffee.name for coffee in journal.coffees()}
        paths["labels"] = folder / f"{stem} labels, not for the students.txt"
        lines = [f"{cup.code}  {coffees[cup.coffee_id or '']}" for cup in cups]
        paths["labels"].write_text("\n".join(lines) + "\n", encoding="utf-8")
    return paths


def open_exercise(journal: Journal, file: Path, *, lexicon: Lexicon | None = None) -> SetExercise:
    """Take the exercise of a file into the student's journal; opening it twice adds nothing.

    Raises
    ------
    ValueError
        Where the file is damaged or holds no exercise.
    """
    tastings = {row["id"] for row in read_share(file).get("tasting", ())}
    with Journal.open(":memory:") as trial:
        collect(trial, file)
        held = [given.tasting_id for given in list_exercises(trial, lexicon=lexicon) if given.tasting_id in tastings]
    if not held:
        raise ValueError(f"{file.name} holds no exercise; ask whoever sent it for the file of the exercise.")
    collect(journal, file)
    return next(given for given in list_exercises(journal, lexicon=lexicon) if given.tasting_id == held[-1])


def send_back(journal: Journal, taster_id: str, folder: Path, at: datetime) -> Path:
    """Write the one file that goes back to the educator: the taster's journal."""
    path = folder / f"for my educator {at:%Y-%m-%d %H%M%S}.jsonl"
    share(journal, path, taster_id=taster_id)
    return path


def note_begun(journal: Journal, given: SetExercise, taster_id: str, part: int, begun: str) -> None:
    """Keep what the taster began for a part (the index of its task): a tasting, a run or a set of jars.

    A set of jars is known by its seal: the commitment, which `asked` tells beside the code in each of its answers.
    """
    kind = _name_begun(given.exercise, part)
    journal.note_circumstance(kind, begun, tasting_id=given.tasting_id, taster_id=taster_id)


def list_begun(journal: Journal, given: SetExercise, taster_id: str, part: int) -> list[str]:
    """List what the taster began for a part, oldest first."""
    kept = journal.circumstances(given.tasting_id, kind=_name_begun(given.exercise, part))
    return [one.value for one in kept if one.taster_id == taster_id]


def _name_begun(exercise: Exercise, part: int) -> str:
    """Name what is begun for a part; of two parts with jars the second is counted."""
    kinds = [task.kind for task in exercise.tasks[: part + 1]]
    count = kinds.count(kinds[-1])
    return BEGUN[kinds[-1]] + (f" {count}" if count > 1 else "")


def list_checks(journal: Journal, tasting_id: str, *, lexicon: Lexicon | None = None) -> tuple[str, ...]:
    """Give the places that the check-list asks about after a tasting: the same of everybody who does one exercise."""
    begun = {one.value: one.tasting_id for one in journal.circumstances(kind=BEGUN["tasting"])}
    exercise = begun.get(tasting_id, tasting_id)
    given = (one.exercise for one in list_exercises(journal, lexicon=lexicon) if one.tasting_id == exercise)
    return next((one.checks for one in given if one.checks), CHECKS)


def answer_words(journal: Journal, given: SetExercise, taster_id: str, answers: Mapping[str, str]) -> None:
    """Keep what a student says that the words of an exercise mean.

    Raises
    ------
    ValueError
        Where a word is not in the exercise, or an answer is empty.
    """
    asked = {item for task in given.exercise.tasks if task.kind == "words" for item in task.items}
    for word, answer in answers.items():
        if word not in asked or not answer.strip():
            raise ValueError(f"Answer the words of the exercise, each in a few words of your own; {word!r} is not so.")
    journal.note_circumstance(WORDS_KEPT, json.dumps(dict(answers)), tasting_id=given.tasting_id, taster_id=taster_id)


def track_exercise(
    journal: Journal, given: SetExercise, *, notes: pd.DataFrame | None = None, runs: pd.DataFrame | None = None
) -> pd.DataFrame:
    """Say how far each taster has got.

    Parameters
    ----------
    journal : Journal
    given : SetExercise
    notes, runs : DataFrame, optional
        Of everybody, as ``Journal.notes_frame`` and ``runs_frame`` give them, where they are at hand.

    Returns
    -------
    DataFrame
        A row a taster and task, by name: ``taster``, ``task`` (its kind), ``done``, ``of`` and ``finished``.
    """
    kept = journal.circumstances(given.tasting_id)
    sent = {serving.id for serving in journal.servings(given.tasting_id)}
    notes = journal.notes_frame() if notes is None else notes
    runs = journal.runs_frame() if runs is None else runs
    answered = runs.set_index("run_id")["answered"].to_dict()
    rows = []
    for taster in journal.tasters():
        own = [one for one in kept if one.taster_id == taster.id]
        noted = set(notes.loc[notes["taster_id"] == taster.id, "serving_id"])
        for part, task in enumerate(given.exercise.tasks):
            kind = _name_begun(given.exercise, part) if task.kind in BEGUN else ""
            begun = [one.value for one in own if one.kind == kind]
            match task.kind:
                case "tasting":  # on cups of one's own, or on those that were sent
                    tables = [{cup.id for cup in journal.servings(one)} for one in begun] + [sent]
                    cups = max(tables, key=lambda table: (len(table & noted), table is not sent))
                    done, of = len(cups & noted), len(cups)
                case "triangle":
                    done, of = max((answered.get(one, 0) for one in begun), default=0), task.number
                case "jars":  # those of its set, whatever a household had replaced
                    smelled = _count_smelled(journal, taster.id) if begun else Counter()
                    of = len(task.items)
                    done = min(of, max((smelled[one] for one in begun), default=0))
                case _:
                    said = {word for one in own if one.kind == WORDS_KEPT for word in read_answers(one.value)}
                    done, of = len(said & set(task.items)), len(task.items)
            rows.append((taster.name, task.kind, int(done), of, done >= of > 0))
    return pd.DataFrame(rows, columns=["taster", "task", "done", "of", "finished"])


def _count_smelled(journal: Journal, taster_id: str) -> Counter[str]:
    """Count the jars that were answered of each set, by its seal."""
    drills = journal.drills_frame(taster_id)
    asked = set(drills.loc[drills["drill"] == "jars", "asked"])
    return Counter(sealed for _, _, sealed in (one.partition(" ") for one in asked) if sealed)


def tell_tracked(tracked: pd.DataFrame) -> dict[str, str]:
    """Say of each taster in what `track_exercise` gives how much of each task is done."""
    return {
        taster: ", ".join(f"{row.task} {row.done} of {row.of}" for row in own.itertuples())
        for taster, own in tracked.groupby("taster")
    }


def read_answers(value: str) -> dict[str, str]:
    """Read answers to words, which may come from anybody's file."""
    return read_kept(value, str)


_ITEMS = {"tasting": "coffees", "triangle": "coffees", "jars": "places", "words": "places"}
_NUMBER = {"tasting": "cups", "triangle": "triads"}


def _as_toml(task: Mapping[str, Any]) -> dict[str, Any]:
    """Give a task as it was written."""
    kind = task.get("kind")
    told = {"kind": kind, _ITEMS.get(str(kind), "items"): task.get("items")}
    return told | ({_NUMBER[str(kind)]: task.get("number")} if str(kind) in _NUMBER else {})


def _check(told: Mapping[str, Any], lexicon: Lexicon) -> Exercise:
    title, instructions = _text(told, "title"), _text(told, "instructions")
    tasks = told.get("task")
    if not isinstance(tasks, list) or not 1 <= len(tasks) <= MOST_TASKS:
        raise ValueError(f"An exercise has 1 to {MOST_TASKS} tasks (in TOML, each under [[task]]); give it one.")
    checked = tuple(_check_task(task, lexicon) for task in tasks)
    checks = told.get("checks") or []
    if not isinstance(checks, list | tuple) or len(checks) > MOST_ITEMS or not all(isinstance(c, str) for c in checks):
        raise ValueError(f"The checks of an exercise are up to {MOST_ITEMS} places, as texts.")
    places = tuple(dict.fromkeys(_place(place, lexicon).id for place in checks))
    for kind in ("tasting", "triangle"):
        if sum(task.kind == kind for task in checked) > 1:
            raise ValueError(f"An exercise has one {kind} task at most; set a second one as an exercise of its own.")
    return Exercise(title, instructions, checked, places)


def _text(told: Mapping[str, Any], name: str) -> str:
    value = told.get(name)
    if not isinstance(value, str) or not value.strip() or len(value) > LONGEST:
        named = "a title" if name == "title" else name
        raise ValueError(f"An exercise has {named}: a text of up to {LONGEST:,} characters.")
    return value.strip()


def _check_task(task: object, lexicon: Lexicon) -> Task:
    told: Mapping[str, Any] = task if isinstance(task, Mapping) else {}
    kind = told.get("kind")
    if kind not in KINDS:
        raise ValueError(f"A task's kind is one of {', '.join(KINDS)}, not {kind!r}.")
    name = _ITEMS[kind]
    items = told.get(name)
    if not isinstance(items, list | tuple) or not all(isinstance(item, str) and item.strip() for item in items):
        raise ValueError(f"A {kind} task lists its {name} as texts.")
    most = {"jars": MOST_JARS, "tasting": MOST_COFFEES}.get(kind, MOST_ITEMS)
    if len(set(items)) != len(items) or not 1 <= len(items) <= most:
        raise ValueError(f"A {kind} task has 1 to {most} different {name}.")
    if kind == "triangle" and len(items) != 2:
        raise ValueError("A triangle task compares two coffees; name two.")
    if kind == "tasting" and len(items) < 2:
        raise ValueError("A tasting task compares two coffees or more; name them.")
    number = told.get(_NUMBER.get(kind, ""), USUAL.get(kind, 1))
    least, most = {"tasting": (1, 4), "triangle": (FEWEST_TRIADS, MOST_TRIADS)}.get(kind, (1, 1))
    if isinstance(number, bool) or not isinstance(number, int) or not least <= number <= most:
        raise ValueError(f"A {kind} task's {_NUMBER.get(kind, 'number')} is a whole number from {least} to {most}.")
    if name == "places":
        nodes = [_place(item, lexicon) for item in items]
        for node in nodes:
            if kind == "jars" and not fits_jar(node):
                raise ValueError(f"{node.label!r} has no reference that waits in a covered jar to be smelled.")
        items = [node.id for node in nodes]
    return Task(kind, tuple(items), number)


def _place(item: str, lexicon: Lexicon) -> Node:
    """Find the place that an id or a word names."""
    node = lexicon[item] if item in lexicon else lexicon.find(item)
    if node is None:
        raise ValueError(f"The lexicon knows no {item!r}; look for another word with `redolent lexicon find`.")
    return node
