"""Exercises: what an educator sets, as TOML; it travels with a tasting and comes back with what was done.

An exercise is a tasting of its own, whose cups are those of its first task of that kind, with the tasks kept beside it.
So `share` makes one file of it (blank: codes without coffees), `collect` opens it, and what the student wrote, answered
and smelled comes back with the student's journal.
"""

import json
import tomllib
from collections.abc import Mapping
from dataclasses import asdict, dataclass

import numpy as np
import pandas as pd

from redolent.blind import seal
from redolent.journal import Journal, Run
from redolent.lexicon import Lexicon
from redolent.tasting import design_tasting
from redolent.triangle import design_run

KINDS = ("tasting", "triangle", "jars", "words")
"""Of the methods that ISO 8586 (choosing and training assessors) names for a course, from memory: recognition and
description of odours (jars, after ISO 5496), triangle tests for detection, and description of products (tasting)."""
KEPT, RUN_KEPT, WORDS_KEPT = "exercise", "exercise run", "exercise words"
MOST_TASKS, MOST_ITEMS, MOST_TRIADS, LONGEST = 12, 60, 60, 4000
ALPHA = 0.05
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
            "tasting": f"Taste the coded cups of {names} and write a note on each.",
            "triangle": f"Find the odd cup between {names} in {self.number} triads.",
            "jars": f"Prepare and smell {len(labels)} covered jars: {names}.",
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
    """

    title: str
    instructions: str
    tasks: tuple[Task, ...]


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


def set_exercise(journal: Journal, exercise: Exercise, *, seed: int | np.random.Generator | None = None) -> SetExercise:
    """Put an exercise into the educator's journal, with coded cups for what is to be tasted.

    Share it with ``share(journal, file, tasting_id=…, blank=True)``.
    """
    tasting = journal.start_tasting(exercise.title)
    task = next((task for task in exercise.tasks if task.kind == "tasting"), None)
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
        except ValueError:  # another version's, or a hand's: no exercise here
            continue
    return found


def start_triangle(journal: Journal, given: SetExercise, taster_id: str, *, seed: int | None = None) -> Run:
    """Begin the triangle run of an exercise for whoever is served by a helper.

    Raises
    ------
    ValueError
        Where the exercise has none.
    """
    task = next((task for task in given.exercise.tasks if task.kind == "triangle"), None)
    if task is None:
        raise ValueError(f"The exercise {given.exercise.title!r} has no triangle task.")
    design = design_run(task.number, seed)
    sealed = seal(design.key)
    a, b = (journal.coffee(name).id for name in task.items)
    run = journal.start_run(
        taster_id=taster_id,
        coffee_a_id=a,
        coffee_b_id=b,
        alpha=ALPHA,
        blinding="helper" if seed is None else "not blind",
        orders=list(design.orders),
        codes=list(design.codes),
        commitment=sealed.commitment,
        nonce=sealed.nonce,
    )
    journal.note_circumstance(RUN_KEPT, run.id, tasting_id=given.tasting_id, taster_id=taster_id)
    return run


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


def track_exercise(journal: Journal, given: SetExercise) -> pd.DataFrame:
    """Say how far each taster has got.

    Returns
    -------
    DataFrame
        A row a taster and task, by name: ``taster``, ``task`` (its kind), ``done``, ``of`` and ``finished``.
    """
    kept = journal.circumstances(given.tasting_id)
    cups = {serving.id for serving in journal.servings(given.tasting_id)}
    notes, runs = journal.notes_frame(), journal.runs_frame()
    own_runs = runs.set_index("run_id")["answered"].to_dict()
    rows = []
    for taster in journal.tasters():
        mine = notes[(notes["taster_id"] == taster.id) & notes["serving_id"].isin(cups)]
        drills = journal.drills_frame(taster.id)
        smelled = set(drills.loc[drills["drill"].astype(str).str.startswith("jar"), "node"])
        own = [one for one in kept if one.taster_id == taster.id]
        answered = {word for one in own if one.kind == WORDS_KEPT for word in json.loads(one.value)}
        for task in given.exercise.tasks:
            match task.kind:
                case "tasting":
                    done, of = int(mine["serving_id"].nunique()), len(cups)
                case "triangle":
                    done, of = (
                        max([own_runs.get(one.value, 0) for one in own if one.kind == RUN_KEPT] or [0]),
                        task.number,
                    )
                case "jars":
                    done, of = len(smelled & set(task.items)), len(task.items)
                case _:
                    done, of = len(answered & set(task.items)), len(task.items)
            rows.append((taster.name, task.kind, int(done), of, done >= of))
    return pd.DataFrame(rows, columns=["taster", "task", "done", "of", "finished"])


_ITEMS = {"tasting": "coffees", "triangle": "coffees", "jars": "places", "words": "places"}
_NUMBER = {"tasting": "cups", "triangle": "triads"}


def _as_toml(task: Mapping) -> dict:
    """Give a task as it was written."""
    kind = task.get("kind")
    told = {"kind": kind, _ITEMS.get(str(kind), "items"): task.get("items")}
    return told | ({_NUMBER[str(kind)]: task.get("number")} if str(kind) in _NUMBER else {})


def _check(told: Mapping, lexicon: Lexicon) -> Exercise:
    title, instructions = _text(told, "title"), _text(told, "instructions")
    tasks = told.get("task")
    if not isinstance(tasks, list) or not 1 <= len(tasks) <= MOST_TASKS:
        raise ValueError(f"An exercise has 1 to {MOST_TASKS} tasks; write each under [[task]].")
    checked = tuple(_check_task(task, lexicon) for task in tasks)
    for kind in ("tasting", "triangle"):
        if sum(task.kind == kind for task in checked) > 1:
            raise ValueError(f"An exercise has one {kind} task at most; set a second one as an exercise of its own.")
    return Exercise(title, instructions, checked)


def _text(told: Mapping, name: str) -> str:
    value = told.get(name)
    if not isinstance(value, str) or not value.strip() or len(value) > LONGEST:
        raise ValueError(f"An exercise has {name}: a text of up to {LONGEST:,} characters.")
    return value.strip()


def _check_task(task: object, lexicon: Lexicon) -> Task:
    kind = task.get("kind") if isinstance(task, Mapping) else None
    if kind not in KINDS:
        raise ValueError(f"A task's kind is one of {', '.join(KINDS)}, not {kind!r}.")
    name = _ITEMS[kind]
    items = task.get(name)
    if not isinstance(items, list | tuple) or not all(isinstance(item, str) and item.strip() for item in items):
        raise ValueError(f"A {kind} task lists its {name} as texts.")
    if len(set(items)) != len(items) or not 1 <= len(items) <= MOST_ITEMS:
        raise ValueError(f"A {kind} task has 1 to {MOST_ITEMS} different {name}.")
    if kind == "triangle" and len(items) != 2:
        raise ValueError("A triangle task compares two coffees; name two.")
    if kind == "tasting" and len(items) < 2:
        raise ValueError("A tasting task compares two coffees or more; name them.")
    number = task.get(_NUMBER.get(kind, ""), 1)
    most = {"tasting": 4, "triangle": MOST_TRIADS}.get(kind, 1)
    if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= most:
        raise ValueError(f"A {kind} task's {_NUMBER.get(kind, 'number')} is a whole number from 1 to {most}.")
    if name == "places":
        items = [_place(item, lexicon) for item in items]
    return Task(kind, tuple(items), number)


def _place(item: str, lexicon: Lexicon) -> str:
    """Find the place that an id or a word names."""
    node = lexicon[item] if item in lexicon else lexicon.find(item)
    if node is None:
        raise ValueError(f"The lexicon knows no {item!r}; look for another word with `redolent lexicon find`.")
    return node.id
