"""Look up what WordNet says each descriptor of a plant or food is, for the test that compares the two.

    python lexicon/wordnet/kinds.py package/dict

Writes ``tests/checks/wordnet-kinds.tsv``, a line a name: the descriptor; its label or one of its alternative
labels, as a WordNet noun lemma with blanks between its words; the head words of the synsets right above its
senses; and those of `KINDS` that lie on the hypernym paths of its senses, which start at the sense itself.
Only senses that are things count, so that Assam the province says nothing of Assam the tea, and no taxa: a
genus is a group, not a plant. Where nothing is left to say a cell holds `NOTHING`; a descriptor of which
WordNet knows no name has one line.
"""

import re
import sys
from collections.abc import Iterator
from pathlib import Path

from derive import Sense, Synset, read_senses, read_synsets

from redolent.lexicon import Lexicon, Node, fold

REALMS = ("fruit", "garden", "pantry")
GROUPS = ("workshop/wood", "cellar/wine-and-spirit")
THINGS = ("animal", "artifact", "food", "plant", "substance")
NOTHING = "-"
TARGET = Path(__file__).parents[2] / "tests" / "checks" / "wordnet-kinds.tsv"

# A row: the lexicographer file; the words whose synsets of that file are kinds, written file.word.
KINDS = """
food      edible_fruit dried_fruit berry citrus melon rind candied_fruit confiture condiment
food      vegetable greens cruciferous_vegetable root_vegetable solanaceous_vegetable legume sprout relish
food      herb spice flavorer hot_pepper edible_seed sweetening sugar syrup honey
food      dainty sweet candy soft_drink dessert mousse frozen_dessert chocolate cocoa sauce chocolate_sauce
food      dairy_product milk milkshake cream butter cheese custard drink edible_nut spread
food      grain cereal flour meal pasta starches baked_goods bread cake pancake cookie pastry dough dish
food      soup stew broth meat poultry fish seafood egg
food      beverage alcohol wine beer liquor liqueur tea juice vegetable_oil
plant     fruit pome drupe berry citrus fruit_tree nut_tree almond_tree spice_tree palm banana cacao currant bramble
plant     strawberry passionflower melon gourd grape flower angiosperm wilding bulbous_plant water_lily vine
plant     shrub tree woody_plant herb grass cereal grain legume crucifer alliaceous_plant ginger true_pepper
plant     pteridophyte leaf stalk root tuber seed nut husk bark wood
substance wood resin gum terpene carbohydrate fat animal_oil leaven oilseed
artifact  barrel lumber laminate floor strip perfume
"""


class Kinds:
    """What stands above the noun senses of a lemma.

    Parameters
    ----------
    synsets : dict of str to Synset
    senses : dict of str to list of Sense
        By lemma, with blanks between its words.
    """

    def __init__(self, synsets: dict[str, Synset], senses: dict[str, list[Sense]]) -> None:
        self.synsets = synsets
        self.senses = senses
        rows = [line.split() for line in KINDS.strip().splitlines()]
        self.kinds = {(file, word) for file, *words in rows for word in words}

    def above(self, offset: str) -> list[str]:
        """Give the offsets of the synsets above one, nearest first."""
        found = list(self.synsets[offset].hypernyms)
        for here in found:
            found += [up for up in self.synsets[here].hypernyms if up not in found]
        return found

    def things(self, lemma: str) -> list[str]:
        """Give the offsets of the senses of `lemma` that are things and no taxa."""
        offsets = dict.fromkeys(sense.offset for sense in self.senses[lemma])
        return [o for o in offsets if self.synsets[o].file in THINGS and not self.is_taxon(o)]

    def is_taxon(self, offset: str) -> bool:
        """Tell whether a synset is a group of the Linnaean system."""
        return any("taxonomic_group" in self.synsets[up].words for up in self.above(offset))

    def heads(self, lemma: str) -> list[str]:
        """Give the head words of the synsets right above the senses of `lemma`."""
        ups = [up for offset in self.things(lemma) for up in self.synsets[offset].hypernyms]
        return list(dict.fromkeys(self.synsets[up].words[0] for up in ups))

    def of(self, lemma: str) -> list[str]:
        """Give those of `KINDS` that stand at or above the senses of `lemma`."""
        found = [self.synsets[here] for offset in self.things(lemma) for here in (offset, *self.above(offset))]
        held = {(synset.file, word) for synset in found for word in synset.words}
        return [f"{file}.{word}" for file, word in sorted(held & self.kinds)]


def written(lemma: str) -> str:
    """Write a lemma or a label with single blanks between its words and without accents."""
    return re.sub(r"[\s_-]+", " ", fold(lemma))


def descriptors(lexicon: Lexicon) -> Iterator[Node]:
    """Yield the descriptors of plants and foods."""
    for group in lexicon.at("group"):
        if group.id in GROUPS or lexicon.up_to(group.id, "realm") in REALMS:
            yield from lexicon.children(group.id)


def look_up(node: Node, kinds: Kinds) -> Iterator[tuple[str, str, str, str]]:
    """Yield the rows of one descriptor."""
    names = dict.fromkeys(written(name) for name in (node.label, *node.alt_labels))
    known = [name for name in names if name in kinds.senses]
    for name in known:
        yield node.id, name, " ".join(kinds.heads(name)) or NOTHING, " ".join(kinds.of(name)) or NOTHING
    if not known:
        yield node.id, NOTHING, NOTHING, NOTHING


def read_kinds(folder: Path) -> Kinds:
    """Read the database files in `folder`."""
    senses: dict[str, list[Sense]] = {}
    for lemma, found in read_senses(folder / "index.sense")[0].items():
        senses.setdefault(written(lemma), []).extend(found)
    return Kinds(read_synsets(folder / "data.noun"), senses)


if __name__ == "__main__":
    kinds = read_kinds(Path(sys.argv[1]))
    rows = [row for node in descriptors(Lexicon.load()) for row in look_up(node, kinds)]
    lines = ["\t".join(row) for row in (("descriptor", "lemma", "hypernyms", "kinds"), *rows)]
    TARGET.write_text("".join(line + "\n" for line in lines), encoding="ascii")
    print(f"{TARGET.name}: {len(lines)} lines")
