"""Draw the sample of ``places.txt`` on which its precision is judged.

    python lexicon/wordnet/sample.py

Writes ``judgements.tsv``: lemma, node, and a column a judge. Lemmas that the lexicon itself holds are passed
over, because nothing is inferred for them. Two judges fill a column each with y or n, neither seeing the
other's: would an educator file this in that family, by the principle that a descriptor stands where a person
would go to smell, taste or touch its reference?

A lemma is drawn by a hash of the seed and itself, whatever else the list holds: when the lexicon or the list
has changed, the lemmas of the sample that are left are a random sample of what is left.
"""

import sys
from hashlib import sha256
from pathlib import Path

from redolent.lexicon import Lexicon

HERE = Path(__file__).parent
SEED = 1811
SIZE = 300


def draw(seed: int, size: int = SIZE) -> list[tuple[str, str]]:
    """Draw `size` lemmas and their nodes, in the order drawn."""
    held = Lexicon.load().form_index
    lines = (HERE / "places.txt").read_text(encoding="ascii").splitlines()
    rows = [(lemma, node) for lemma, node in (line.split("\t") for line in lines) if lemma not in held]
    return sorted(rows, key=lambda row: sha256(f"{seed} {row[0]}".encode()).digest())[:size]


if __name__ == "__main__":
    target = HERE / "judgements.tsv"
    if target.exists():
        sys.exit(f"{target.name} holds judgements; move it away before you draw again.")
    rows = ["lemma\tnode\tjudge_a\tjudge_b", *(f"{lemma}\t{node}\t\t" for lemma, node in draw(SEED))]
    target.write_text("".join(row + "\n" for row in rows), encoding="ascii")
