"""Cost a note: does it stay flat to a million notes, and with ten times the lexicon?

    python benchmarks/reader_scale.py [--full] [--rounds 3]

Reads the same 1,000 notes of `reader_speed.make_notes` over and over, as a stream that keeps no reading, and prints
for each number of notes, and for the lexicon as it ships and one with ten times its descriptors:

- microseconds a note, their ratio to those at 1,000 notes, and to those of the lexicon as it ships (flat is near 1);
- by how many megabytes the process grew, at most, over what was resident before (looked at after each 1,000 notes).

"first" is the first 1,000 notes that a process reads: nothing is remembered yet of the words it meets. The larger
lexicon is made in memory: nine invented spellings of each descriptor's labels, as new nodes beside it. Each lexicon
has a process to itself, a fresh one each round; the medians of the rounds count.
"""

import argparse
import multiprocessing
import random
import re
import statistics
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace

import psutil
from reader_speed import SEED, make_notes
from start_up import name_origin

from redolent import Lexicon, read
from redolent.lexicon import Node, fold
from redolent.lexicon.forms import derive

DISTINCT = 1_000
SIZES, FULL = (1_000, 10_000, 100_000), 1_000_000
# So many notes at least stand behind each figure of a round.
FEWEST = 10_000
INVENTED = 9
# Of each row: microseconds a note, megabytes grown, mentions a note.
Measured = dict[str, tuple[float, ...]]
VOWELS, CONSONANTS = "aeiou", "bcdfghjklmnprstvwz"


def respell(label: str, taken: set[str], rng: random.Random) -> str:
    """Invent another last word for a label, of its length and with vowels where it has them.

    No form of it is in `taken`, which takes them all.
    """
    *front, last = fold(label).replace("-", " ").split()
    while True:
        word = "".join(rng.choice(VOWELS if c in VOWELS else CONSONANTS) if c.isalpha() else c for c in last)
        forms = {*derive(word), *derive(word, "adjective")}
        if taken.isdisjoint(forms):
            taken.update(forms)
            return " ".join([*front, word])
        last += rng.choice(CONSONANTS)


def enlarge(lexicon: Lexicon, notes: list[str], seed: int = SEED) -> Lexicon:
    """Give ten nodes for each descriptor; no word of `notes` is among the invented ones, so the work is the same."""
    rng = random.Random(seed)
    taken = {word for text in (*lexicon.form_index, *notes) for word in re.findall(r"[a-z]+", fold(text))}

    def nodes() -> Iterator[Node]:
        for node in lexicon.values():
            yield node
            for n in range(1, INVENTED + 1) if node.level == "descriptor" else ():
                label, *others = (respell(label, taken, rng) for label in node.labels)
                yield replace(node, id=f"{node.id}-{n}", label=label, alt_labels=tuple(others), forms=(), related=())

    return Lexicon(list(nodes()), f"{lexicon.fingerprint}-tenfold")


def stream(notes: list[str], times: int, lexicon: Lexicon) -> tuple[float, float, float]:
    """Read the notes so many times; give microseconds a note, megabytes grown at most and mentions a note."""
    memory = psutil.Process().memory_info
    before = most = memory().rss
    mentions, start = 0, time.process_time()
    for _ in range(times):
        for note in notes:
            mentions += len(read(note, lexicon=lexicon).mentions)
        most = max(most, memory().rss)
    count = times * len(notes)
    return (time.process_time() - start) / count * 1e6, (most - before) / 1e6, mentions / count


def measure(tenfold: bool, sizes: tuple[int, ...]) -> Measured:
    """Measure the first notes and each number of notes with one lexicon, in the process that this is called in."""
    notes, lexicon = make_notes(DISTINCT), Lexicon.load()
    if tenfold:
        lexicon = enlarge(lexicon, notes)
    read("", lexicon=lexicon)  # which prepares the lexicon
    out = {"first": stream(notes, 1, lexicon)}
    for size in sizes:
        passes = [stream(notes, size // DISTINCT, lexicon) for _ in range(max(1, FEWEST // size))]
        cost, _, mentions = (statistics.median(values) for values in zip(*passes, strict=True))
        out[f"{size:,}"] = cost, max(grown for _, grown, _ in passes), mentions
    return out


def summarise(rounds: list[Measured]) -> Measured:
    """Give the medians of each row over the rounds."""
    return {
        row: tuple(statistics.median(values) for values in zip(*(measured[row] for measured in rounds), strict=True))
        for row in rounds[0]
    }


def main() -> None:
    """Measure both lexicons in turn, round after round, and print the medians."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--full", action="store_true", help=f"also {FULL:,} notes")
    parser.add_argument("--rounds", type=int, default=3)
    options = parser.parse_args()
    sizes = (*SIZES, FULL) if options.full else SIZES
    print(f"reader_scale.py: {name_origin(SEED)}, {DISTINCT:,} notes repeated, median of {options.rounds}")
    rounds: dict[bool, list[Measured]] = {False: [], True: []}
    # One process at a time, ended after its round; spawned, for a forked one shares memory.
    with ProcessPoolExecutor(1, multiprocessing.get_context("spawn"), max_tasks_per_child=1) as pool:
        for _ in range(options.rounds):
            for tenfold, measured in rounds.items():
                measured.append(pool.submit(measure, tenfold, sizes).result())
    medians = {tenfold: summarise(measured) for tenfold, measured in rounds.items()}
    for tenfold, rows in medians.items():
        print("\nten times the descriptors" if tenfold else "\nthe lexicon as it ships")
        print("    notes   µs a note   / at 1,000   / as it ships   MB grown   mentions a note")
        for row, (cost, grown, mentions) in rows.items():
            flat, beside = cost / rows["1,000"][0], cost / medians[False][row][0]
            print(f"{row:>9s}   {cost:9.1f}   {flat:9.2f}   {beside:13.2f}   {grown:8.1f}   {mentions:15.3f}")


if __name__ == "__main__":
    main()
