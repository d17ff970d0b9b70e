"""Plants and foods stand where WordNet 3.1, made by others for other ends, says that such things stand.

The hypernyms of each descriptor's names lie in ``checks/wordnet-kinds.tsv``, which ``lexicon/wordnet/kinds.py``
writes. A descriptor fits its group where one of its names has a noun sense with a fitting kind at or above it.
"""

import csv
from collections import defaultdict
from pathlib import Path

import pytest

from redolent.lexicon import Lexicon, fold

TABLE = Path(__file__).parent / "checks" / "wordnet-kinds.tsv"
LEXICON = Lexicon.load()
REALMS = ("fruit", "garden", "pantry")
GROUPS = ("workshop/wood", "cellar/wine-and-spirit")
BAR = 0.10
AGAIN = "run lexicon/wordnet/kinds.py"

# A row: a group and the hypernyms that fit it, by lexicographer file and word. One group may have several rows.
FITTING = """
orchard/pome                 plant.pome plant.fruit_tree food.edible_fruit
orchard/stone                plant.drupe plant.fruit_tree food.edible_fruit
berry-patch/bramble          food.berry plant.bramble plant.strawberry plant.fruit_tree
berry-patch/bush             food.berry food.edible_fruit plant.fruit plant.currant plant.shrub
berry-patch/vine             food.edible_fruit plant.grape plant.fruit_tree
citrus-grove/sweet-citrus    food.citrus plant.citrus
citrus-grove/sharp-citrus    food.citrus plant.citrus
citrus-grove/peel            food.rind food.candied_fruit plant.citrus substance.terpene
tropical-stall/flesh         food.edible_fruit plant.fruit_tree plant.shrub plant.banana plant.palm
tropical-stall/perfumed      food.edible_fruit plant.fruit_tree plant.passionflower
tropical-stall/melon         food.melon plant.melon
preserve-shelf/dried         food.dried_fruit food.edible_fruit
preserve-shelf/jam           food.confiture food.condiment food.dessert
preserve-shelf/candied       food.candied_fruit food.confiture food.sweet
flower-border/blossom        plant.flower plant.shrub plant.tree plant.vine
flower-border/garden-flower  plant.flower plant.bulbous_plant plant.water_lily plant.wilding plant.vine
flower-border/garden-flower  plant.shrub plant.herb
flower-border/infused-flower plant.flower plant.herb plant.shrub plant.vine
herb-garden/soft-herb        food.herb plant.herb plant.alliaceous_plant
herb-garden/woody-herb       food.herb plant.herb plant.shrub plant.flower
herb-garden/tea-leaf         food.tea plant.shrub
vegetable-plot/green-leaf    food.greens food.vegetable plant.herb plant.grass plant.crucifer plant.leaf
vegetable-plot/green-leaf    plant.stalk plant.pteridophyte
vegetable-plot/salad         food.vegetable food.relish food.vegetable_oil food.juice plant.herb plant.crucifer
vegetable-plot/pot-vegetable food.vegetable plant.crucifer plant.alliaceous_plant plant.root plant.tuber
vegetable-plot/pot-vegetable plant.gourd
vegetable-plot/pulse         food.legume plant.legume
spice-drawer/warm-spice      food.spice food.flavorer plant.spice_tree
spice-drawer/hot-spice       food.spice food.flavorer food.hot_pepper plant.true_pepper plant.ginger plant.herb
spice-drawer/seed-spice      food.spice food.flavorer food.edible_seed plant.seed plant.herb plant.shrub
sugar-pan/sugar              food.sugar food.candy substance.carbohydrate
sugar-pan/caramel            food.candy
sugar-pan/syrup              food.syrup food.sweetening
sugar-pan/confection         food.sweet food.soft_drink food.flavorer food.dainty
cocoa-house/dark-cocoa       food.chocolate food.chocolate_sauce food.mousse plant.cacao
cocoa-house/milky-cocoa      food.chocolate food.candy food.drink
dairy/sweet-dairy            food.dairy_product food.milk food.milkshake food.custard food.frozen_dessert
dairy/sweet-dairy            food.dessert
dairy/cultured-dairy         food.dairy_product
nut-bowl/tree-nut            food.edible_nut plant.nut plant.nut_tree plant.almond_tree plant.husk
nut-bowl/ground-nut          food.edible_nut food.edible_seed food.flavorer food.spread food.vegetable_oil
nut-bowl/ground-nut          plant.nut plant.seed
nut-bowl/nut-sweet           food.candy food.pastry
bakehouse/grain              food.grain food.cereal food.flour food.meal food.pasta plant.cereal plant.grain
bakehouse/grain              plant.grass
bakehouse/bread              food.bread food.dough food.pancake
bakehouse/pastry             food.cake food.cookie food.pastry food.bread food.dessert
stockpot/broth               food.soup food.stew
stockpot/meat                food.meat food.poultry food.fish food.seafood food.egg substance.fat
stockpot/meat                substance.animal_oil
stockpot/savoury-sauce       food.condiment food.sauce
workshop/wood                substance.wood substance.resin substance.gum plant.wood plant.tree plant.bark
workshop/wood                artifact.barrel artifact.laminate artifact.floor artifact.strip artifact.perfume
cellar/wine-and-spirit       food.alcohol
"""

# Why each of these stands where it does although WordNet has it under nothing that fits.
EXCEPTIONS = {
    "orchard/pome/hawthorn-fruit": "WordNet's haw is the shrub alone; its fruit is a small pome.",
    "orchard/stone/cornelian-cherry": "WordNet has the dogwood tree, not the drupe that is eaten.",
    "orchard/stone/yumberry": "WordNet's waxberry is another shrub of the family.",
    "berry-patch/bush/rhubarb": "A vegetable by its stalk, eaten and smelled as a sharp fruit.",
    "berry-patch/bush/physalis": "WordNet has the herb and not its berry.",
    "citrus-grove/peel/pith": "WordNet's pith is that of stems; here it is the white of the peel.",
    "tropical-stall/flesh/coconut-milk": "A milk by its look; pressed from the flesh of the coconut.",
    "tropical-stall/flesh/coconut-water": "WordNet makes it one with coconut milk.",
    "tropical-stall/flesh/baobab": "WordNet has the tree, and no fruit of it.",
    "tropical-stall/perfumed/langsat": "WordNet has the tree without calling it a fruit tree.",
    "preserve-shelf/dried/barberry": "WordNet has the shrub; its fruit is sold dried.",
    "preserve-shelf/jam/apple-compote": "WordNet's applesauce is a dish.",
    "preserve-shelf/jam/fruit-cocktail": "WordNet serves it as a starter; here it is fruit in syrup from a tin.",
    "preserve-shelf/jam/plum-butter": "WordNet knows lekvar by its use, as a filling.",
    "flower-border/garden-flower/potpourri": "A perfume to WordNet; made of dried petals.",
    "flower-border/garden-flower/heliotrope": "WordNet has only the stone of that name.",
    "herb-garden/soft-herb/menthol": "The compound that mint smells of.",
    "herb-garden/soft-herb/pandan": "WordNet has the tree; the cook has its leaf.",
    "herb-garden/soft-herb/stevia-leaf": "WordNet's sweetleaf is a tree of another family.",
    "herb-garden/woody-herb/eucalyptus": "A tree; its leaf is used as a herb.",
    "herb-garden/woody-herb/hops": "A climber; its cones are dried as a herb.",
    "herb-garden/tea-leaf/yerba-mate": "A beverage to WordNet, which keeps tea for the tea plant and for herbs.",
    "herb-garden/tea-leaf/cascara": "WordNet's cascara is a bark; here it is the husk of the coffee cherry.",
    "herb-garden/tea-leaf/chinese-herbal-tea": "WordNet has herbal medicine, not the cup made of it.",
    "vegetable-plot/green-leaf/nettle": "A weed to WordNet.",
    "vegetable-plot/green-leaf/aloe-vera": "A succulent to WordNet; it smells of cut green leaf.",
    "vegetable-plot/salad/tomato-paste": "WordNet knows it by its use, as an ingredient.",
    "vegetable-plot/salad/jicama": "WordNet has the vine and not its root.",
    "vegetable-plot/pot-vegetable/sweetcorn": "A grain by its plant; boiled as a vegetable.",
    "vegetable-plot/pot-vegetable/raw-potato": "WordNet's potato skins are a snack.",
    "vegetable-plot/pot-vegetable/burdock": "WordNet has the plant and not its root.",
    "vegetable-plot/pot-vegetable/nopal": "A cactus to WordNet; its pads are cooked as a vegetable.",
    "vegetable-plot/pulse/tofu": "A curd by its making; of soybeans.",
    "vegetable-plot/pulse/soya-milk": "A milk by its look; of soybeans.",
    "spice-drawer/warm-spice/cassia": "WordNet has its tree and bark, and calls only cinnamon a spice.",
    "spice-drawer/warm-spice/tonka-bean": "A bean by its plant; grated as a spice.",
    "spice-drawer/hot-spice/ginger-beer": "A drink that is known by its ginger.",
    "spice-drawer/hot-spice/sichuan-pepper": "WordNet has the tree, prickly ash, and not its husks.",
    "spice-drawer/seed-spice/nigella": "WordNet has the flower and not its seed.",
    "spice-drawer/seed-spice/asafoetida": "A resin by its making; used as a spice.",
    "sugar-pan/sugar/sugar-cane": "The plant that the sugar comes from.",
    "sugar-pan/syrup/agave-syrup": "WordNet has the plant and not its syrup.",
    "sugar-pan/syrup/fruit-cordial": "WordNet's cordial is a liqueur; in Britain it is a fruit syrup.",
    "cocoa-house/dark-cocoa/carob": "A bean by its plant; ground and used as cocoa.",
    "cocoa-house/milky-cocoa/chocolate-custard": "A pudding that is known by its chocolate.",
    "dairy/sweet-dairy/whipped-cream": "WordNet knows it by its use, as a topping.",
    "dairy/sweet-dairy/margarine": "A spread of plant fat; it stands in for butter.",
    "dairy/cultured-dairy/kefir": "WordNet's kumis is an alcoholic drink, of fermented mare's milk.",
    "nut-bowl/tree-nut/acorn": "A fruit to WordNet, which calls only eaten ones nuts.",
    "nut-bowl/ground-nut/tiger-nut": "A sedge by its plant; its tubers are eaten as nuts.",
    "bakehouse/grain/bran": "Chaff and roughage to WordNet; the coat of the grain.",
    "bakehouse/grain/wheat-germ": "A nutriment to WordNet; the germ of the grain.",
    "bakehouse/bread/focaccia": "Known by its alternative label pizza, a dish to WordNet.",
    "bakehouse/pastry/bread-pudding": "Known by its alternative label French toast, a dish to WordNet.",
    "bakehouse/pastry/cookie-dough": "Known by its alternative label cake mix, a ready mix to WordNet.",
    "bakehouse/pastry/tortilla-chip": "A snack to WordNet; crisp and baked as a cracker.",
    "stockpot/savoury-sauce/teriyaki": "WordNet has the dish, which is named for its sauce.",
    "workshop/wood/pencil-shavings": "WordNet has the pencil; the shavings are cedar.",
    "workshop/wood/incense": "A compound to WordNet; of resins and woods.",
    "cellar/wine-and-spirit/sangria": "A drink to WordNet; of red wine.",
    "cellar/wine-and-spirit/baijiu": "WordNet's kaoliang is the sorghum that it is distilled from.",
}


def read_fitting() -> dict[str, frozenset[str]]:
    fitting: dict[str, frozenset[str]] = defaultdict(frozenset)
    for row in FITTING.strip().splitlines():
        group, *kinds = row.split()
        fitting[group] |= set(kinds)
    return dict(fitting)


def read_rows() -> dict[str, list[dict[str, str]]]:
    rows = defaultdict(list)
    with TABLE.open(encoding="ascii", newline="") as file:
        for row in csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE):
            rows[row["descriptor"]].append(row)
    return dict(rows)


KINDS_THAT_FIT = read_fitting()
ROWS = read_rows()
# Groups in the order of the lexicon, each with its descriptors.
CHECKED = {
    group.id: [node.id for node in LEXICON.children(group.id)]
    for group in LEXICON.at("group")
    if group.id in GROUPS or LEXICON.up_to(group.id, "realm") in REALMS
}


def is_known(descriptor: str) -> bool:
    """Tell whether WordNet knows one of its names as a thing, and not only as a province or a genus."""
    return any(row["hypernyms"] != "-" for row in ROWS[descriptor])


def fits(descriptor: str, group: str) -> bool:
    return any(KINDS_THAT_FIT[group] & set(row["kinds"].split()) for row in ROWS[descriptor])


def share(group: str) -> str:
    known = [d for d in CHECKED[group] if is_known(d)]
    fitting = sum(fits(d, group) for d in known)
    unknown = len(CHECKED[group]) - len(known)
    return f"{group}: {fitting} of {len(known)} fit ({fitting / len(known):.0%}), {unknown} unknown to WordNet"


def test_the_table_is_of_this_lexicon() -> None:
    assert KINDS_THAT_FIT.keys() == CHECKED.keys()
    assert {d for ds in CHECKED.values() for d in ds} == ROWS.keys(), AGAIN
    for descriptor, rows in ROWS.items():
        node = LEXICON[descriptor]
        names = {" ".join(fold(name).replace("-", " ").split()) for name in (node.label, *node.alt_labels)}
        assert {row["lemma"] for row in rows} - {"-"} <= names, f"{descriptor} has lost a name: {AGAIN}"


@pytest.mark.parametrize("group", CHECKED)
def test_each_descriptor_fits_its_group_or_is_excepted(group: str) -> None:
    print(share(group))
    misfits = {d for d in CHECKED[group] if is_known(d) and not fits(d, group)}
    excepted = {d for d in EXCEPTIONS if LEXICON[d].parent == group}
    assert misfits - excepted == set(), "neither fits nor is excepted"
    assert excepted - misfits == set(), "excepted in vain"
    assert len(excepted) <= BAR * len(CHECKED[group])


def test_wordnet_knows_most_of_them() -> None:
    known = sum(map(is_known, ROWS))
    print(f"{known} of {len(ROWS)} known to WordNet, {len(EXCEPTIONS)} excepted")
    assert known >= 0.6 * len(ROWS)


@pytest.mark.parametrize(
    ("descriptor", "elsewhere"),
    [
        ("flower-border/garden-flower/rose", "orchard/pome"),
        ("orchard/pome/apple", "citrus-grove/sweet-citrus"),
        ("dairy/sweet-dairy/milk", "nut-bowl/tree-nut"),
        ("nut-bowl/tree-nut/hazelnut", "vegetable-plot/pulse"),
        ("herb-garden/soft-herb/basil", "orchard/stone"),
        ("stockpot/meat/bacon", "bakehouse/bread"),
        ("cellar/wine-and-spirit/rum", "sugar-pan/syrup"),
        ("workshop/wood/sandalwood", "vegetable-plot/green-leaf"),
        ("tropical-stall/melon/watermelon", "dairy/cultured-dairy"),
    ],
)
def test_what_is_moved_elsewhere_fits_no_longer(descriptor: str, elsewhere: str) -> None:
    assert fits(descriptor, LEXICON[descriptor].parent)
    assert not fits(descriptor, elsewhere)
