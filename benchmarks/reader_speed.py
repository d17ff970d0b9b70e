"""Notes a second: the reader against general-purpose matching, in one process.

    pip install '.[bench]' && python benchmarks/reader_speed.py [--notes 20000]

Prints the ratio of the reader's speed to that of

1. spaCy's blank English pipeline with sentencizer, EntityRuler and negspacy, which matches and denies as this does;
2. the blank pipeline's tokenizer with PhraseMatcher, which only matches;
3. tokenising alone with one compiled pattern, the floor.

All of them get every surface form of the lexicon, and the same notes of about 28 words, made by a seeded shuffle of
the sentences of the development notes. Each is timed `ROUNDS` times on every block of `BLOCK` notes, in turn, so that
a machine that slows down for a while slows them all; the medians count.
"""

import argparse
import json
import platform
import random
import re
import statistics
import subprocess
import time
from collections.abc import Callable, Iterable
from pathlib import Path

from redolent import Lexicon, read

NOTES = Path(__file__).parents[1] / "tests" / "notes" / "development.jsonl"
WORDS, SEED, ROUNDS, BLOCK = 28, 20261125, 3, 1000


def make_notes(count: int, seed: int = SEED) -> list[str]:
    """Make notes of about 28 words of sentences that people could have written."""
    texts = [json.loads(line)["text"] for line in NOTES.open(encoding="utf-8")]
    sentences = [s for text in texts for s in re.split(r"(?<=[.!?])\s+|\n", text) if s.strip()]
    rng = random.Random(seed)
    notes = []
    while len(notes) < count:
        parts: list[str] = []
        while sum(len(p.split()) for p in parts) < WORDS:
            parts.append(rng.choice(sentences))
        notes.append(" ".join(" ".join(parts).split()[: WORDS + 4]))
    return notes


def load_denying(forms: dict[str, str]) -> Callable[[list[str]], Iterable[object]]:
    """spaCy's blank pipeline with sentencizer, EntityRuler and negspacy."""
    import spacy
    from negspacy.negation import Negex  # noqa: F401  (registers its pipe)

    nlp = spacy.blank("en")
    nlp.add_pipe("sentencizer")
    ruler = nlp.add_pipe("entity_ruler", config={"phrase_matcher_attr": "LOWER"})
    with nlp.select_pipes(enable=[]):
        # The label is the node: to be like for like, a match must say where it stands.
        ruler.add_patterns([{"label": node, "pattern": form} for form, node in forms.items()])
    nlp.add_pipe("negex")
    return lambda notes: nlp.pipe(notes)


def load_matching(forms: dict[str, str]) -> Callable[[list[str]], Iterable[object]]:
    """spaCy's tokenizer with PhraseMatcher."""
    import spacy
    from spacy.matcher import PhraseMatcher

    nlp = spacy.blank("en")
    matcher = PhraseMatcher(nlp.vocab, attr="LOWER")
    matcher.add("MENTION", list(nlp.tokenizer.pipe(list(forms))))
    return lambda notes: (matcher(doc) for doc in nlp.tokenizer.pipe(notes))


def load_floor(_: dict[str, str]) -> Callable[[list[str]], Iterable[object]]:
    """One compiled pattern that finds words and marks."""
    pattern = re.compile(r"\w+|[^\w\s]")
    return lambda notes: (pattern.findall(note) for note in notes)


def load_reader(_: dict[str, str]) -> Callable[[list[str]], Iterable[object]]:
    """The reader."""
    lexicon = Lexicon.load()
    read("warm", lexicon=lexicon)
    return lambda notes: (read(note, lexicon=lexicon) for note in notes)


RIVALS = {
    "reader": load_reader,
    "match and deny": load_denying,
    "match only": load_matching,
    "tokenise only": load_floor,
}


def speed(run: Callable[[list[str]], Iterable[object]], notes: list[str]) -> float:
    """Give notes a second of one pass."""
    start = time.process_time()
    for _ in run(notes):
        pass
    return len(notes) / (time.process_time() - start)


def main() -> None:
    """Time them all and print the ratios."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--notes", type=int, default=20_000)
    count = parser.parse_args().notes
    notes, forms = make_notes(count), Lexicon.load().form_index
    words = statistics.mean(len(note.split()) for note in notes)
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, cwd=NOTES.parent)
    print(f"Python {platform.python_version()}, commit {commit.stdout.strip() or 'unknown'}")
    print(f"{count} notes of {words:.1f} words, {len(forms)} surface forms, seed {SEED}")
    print(f"medians of {ROUNDS} rounds over blocks of {BLOCK} notes; in brackets the middle half of the blocks' ratios")
    runs = {name: load(forms) for name, load in RIVALS.items()}
    speeds: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(ROUNDS):
        for start in range(0, count, BLOCK):
            for name, run in runs.items():
                speeds[name].append(speed(run, notes[start : start + BLOCK]))
    for name, values in speeds.items():
        ratios = [reader / rival for reader, rival in zip(speeds["reader"], values, strict=True)]
        low, middle, high = statistics.quantiles(ratios, n=4)
        print(
            f"{name:15s} {statistics.median(values):9.0f} notes/s   "
            f"reader / {name}: {middle:.2f} ({low:.2f} to {high:.2f})"
        )


if __name__ == "__main__":
    main()
