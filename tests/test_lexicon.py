"""The lexicon: the whole tree, and every word whose place is settled."""

import doctest
import importlib
import pkgutil
from collections import Counter
from collections.abc import Mapping

import pytest

import redolent.notes
from redolent import Lexicon, read
from redolent.lexicon import LEVELS, fold

# The plan's table: realm, family, sense, groups.
TREE = """
fruit           orchard         nose    pome stone
fruit           berry-patch     nose    bramble bush vine
fruit           citrus-grove    nose    sweet-citrus sharp-citrus peel
fruit           tropical-stall  nose    flesh perfumed melon
fruit           preserve-shelf  nose    dried jam candied
garden          flower-border   nose    blossom garden-flower infused-flower
garden          herb-garden     nose    soft-herb woody-herb tea-leaf
garden          vegetable-plot  nose    green-leaf salad pot-vegetable pulse
pantry          spice-drawer    nose    warm-spice hot-spice seed-spice
pantry          sugar-pan       nose    sugar caramel syrup confection
pantry          cocoa-house     nose    dark-cocoa milky-cocoa
pantry          dairy           nose    sweet-dairy cultured-dairy
pantry          nut-bowl        nose    tree-nut ground-nut nut-sweet
pantry          bakehouse       nose    grain bread pastry
pantry          stockpot        nose    broth meat savoury-sauce
fire-and-cellar hearth          nose    roast smoke char
fire-and-cellar cellar          nose    wine-and-spirit ferment must
outdoors        workshop        nose    wood hide-and-tobacco paper chemical
outdoors        open-ground     nose    earth mineral farmyard
mouth           tongue          tongue  sweet sour bitter salty umami
mouth           touch           touch   weight texture drying tingle
whole           passage         whole   arrival finish
whole           whole-cup       whole   clarity balance liveliness depth
"""
ROWS = [line.split(maxsplit=3) for line in TREE.strip().splitlines()]
FAMILIES = {(realm, family, sense) for realm, family, sense, _ in ROWS}
GROUPS = {(family, f"{family}/{group}") for _, family, _, groups in ROWS for group in groups.split()}

# Words whose place is settled, by place.
SCOPE = """
orchard/pome: apple, pear, quince, persimmon, loquat, medlar
orchard/stone: peach, apricot, plum, cherry
berry-patch/bramble: raspberry, blackberry, strawberry, mulberry
berry-patch/bush: blueberry, currants, cranberry, gooseberry, rhubarb, physalis, rosehip
berry-patch/vine: grape, muscat, pomegranate
citrus-grove/sweet-citrus: orange, mandarin, clementine, kumquat
citrus-grove/sharp-citrus: lemon, lime, grapefruit, yuzu
citrus-grove/peel: zest, pith, bergamot
tropical-stall/flesh: mango, pineapple, papaya, banana, kiwi, coconut
tropical-stall/flesh: avocado, jackfruit, dragon fruit, açaí, starfruit
tropical-stall/perfumed: passion fruit, guava, lychee
tropical-stall/melon: watermelon, cantaloupe
preserve-shelf/dried: date, fig, sultana, dried apricot, prune, tamarind
preserve-shelf/jam: jam, compote, marmalade, stewed fruit, baked fruit, lemon curd
preserve-shelf/jam: tinned fruit, fruit in syrup
preserve-shelf/candied: candied peel, glacé fruit, fruit leather, toffee apple
flower-border: perfumed
flower-border/blossom: jasmine, orange blossom, honeysuckle, elderflower
flower-border/garden-flower: rose, violet, lavender, geranium
flower-border/infused-flower: hibiscus, chamomile
herb-garden/soft-herb: mint, basil, dill, lemongrass, menthol
herb-garden/woody-herb: thyme, rosemary, sage, bay, eucalyptus, hops
herb-garden/tea-leaf: black tea, green tea, oolong, rooibos, coffee cherry husk tea
vegetable-plot/green-leaf: grass, cut stems, lettuce, pea shoot
vegetable-plot/salad: tomato, cucumber, bell pepper, celery, olive, sun-dried tomato, caper
vegetable-plot/pot-vegetable: potato, pumpkin, carrot, cabbage, sweetcorn, onion, garlic, leek
vegetable-plot/pulse: dried beans, green beans, beany, peas, lentils
spice-drawer/warm-spice: cardamom, cinnamon, mace, allspice, clove, saffron, turmeric
spice-drawer/hot-spice: pepper, ginger, chilli, mustard, horseradish, wasabi, ginger beer
spice-drawer/seed-spice: aniseed, liquorice, fennel seed, cumin, juniper, star anise, sumac
sugar-pan/sugar: cane sugar, brown sugar, panela
sugar-pan/caramel: toffee, butterscotch, milk caramel, burnt sugar
sugar-pan/syrup: honey, golden syrup, treacle, agave, maple syrup
sugar-pan/confection: vanilla, marshmallow, boiled sweets, nougat, cola
sugar-pan/confection: fudge, Turkish delight, chewing gum, candyfloss, cough sweets, pastilles
cocoa-house/dark-cocoa: cocoa powder, dark chocolate, cocoa nib
cocoa-house/milky-cocoa: milk chocolate, white chocolate, hot chocolate
dairy/sweet-dairy: milk, cream, butter, custard
dairy/cultured-dairy: yoghurt, buttermilk, cheese
nut-bowl/tree-nut: almond, hazelnut, walnut, pecan, chestnut
nut-bowl/ground-nut: peanut, sesame, sunflower seed, tahini
nut-bowl/nut-sweet: marzipan, praline, halva
bakehouse/grain: oat, barley, malt, rice, popcorn, barley tea
bakehouse/bread: bread, toast, dough
bakehouse/pastry: biscuit, cake, pie crust, gingerbread, crackers
stockpot/broth: broth, soup stock
stockpot/meat: roast meat, bacon, egg, fish, lard, tallow, old frying oil, rancid
stockpot/savoury-sauce: soy sauce, miso, yeast extract
hearth/roast: roasted, toasted, chicory root, baked, underdeveloped
hearth/smoke: wood smoke, peat, campfire
hearth/char: burnt, ash, charcoal, tar, creosote, soot, cigarette ash
cellar/wine-and-spirit: wine, sherry, rum, whisky, cider, beer, sake, kvass
cellar/ferment: vinegar, overripe, yeast, fermented, funky, kombucha
cellar/ferment: spoiled, rotten, sauerkraut, kimchi, pickles
cellar/must: musty, mouldy, stale, damp cellar, dusty
workshop/wood: cedar, oak, pine, sandalwood, resin
workshop/wood: church incense, incense, frankincense, sawdust, pencil shavings, varnished wood
workshop/hide-and-tobacco: saddle leather, cigar leaf, cured tobacco
workshop/paper: cardboard, paper, jute sack, jute, hessian, baggy, wet cardboard
workshop/paper: old books, second-hand bookshop, past-crop
workshop/chemical: soap, glue, wax, iodine, antiseptic, plastic, rubber, fuel, struck match
workshop/chemical: beeswax, polish, paint, nail varnish, acetone, sulphur, phenolic
open-ground/earth: soil, mushroom, moss, forest floor, after rain, clay, petrichor, beetroot earth, truffle
open-ground/mineral: wet stone, chalk, metal, metallic, sea air, salt air, seaweed
open-ground/mineral: blood, iron, coins, graphite, pencil lead, slate
open-ground/farmyard: hay, straw, barn, animal, wet wool, wet dog, horse
tongue/sweet: sweet, sweetness, cloying
tongue/sour: sour, acid and sour, acidity, citric acidity, malic acidity, tartaric acidity, phosphoric acidity
tongue/sour: lactic acidity, acetic acidity, tart, tangy, unripe-sour, sharp, lactic, acetic
tongue/bitter: bitter, bitterness, quinine, bitter pith
tongue/salty: salty
tongue/umami: umami, savoury
touch/weight: light, heavy, thin, watery, full-bodied, tea-like body, lean, light-bodied
touch/texture: silky, creamy, velvety, gritty, oily, juicy, smooth, round, soft, rounded
touch/texture: chalky, powdery, waxy, sticky, mouth-coating, syrupy body
touch/drying: astringent, tannic, dry, rough, harsh
touch/tingle: prickly, fizzy, cooling, warming, sparkling
passage/arrival: first impression, attack
passage/finish: lingering, short finish, long finish, medium finish
passage/finish: finishes short, dies quickly, stays for minutes
whole-cup/clarity: clean, transparent, muddy, muddled, tidy, dirty, murky, clear
whole-cup/balance: balanced, harmonious, unbalanced, well put together, integrated, elegant, disjointed
whole-cup/balance: uneven, even
whole-cup/liveliness: bright, lively, crisp, vibrant, dull, flat, muted, refreshing, brisk
whole-cup/depth: complex, layered, simple, one-note, hollow, one-dimensional, structured
"""
WORDS = [
    (word, place)
    for line in SCOPE.strip().splitlines()
    for place, words in [line.split(": ")]
    for word in words.split(", ")
]

# What the rulings place only in a note: its mentions, each at its place or below.
READ = [
    # the table: words that mean something else alone, or nothing without a qualifier
    ("tastes of beans", "vegetable-plot/pulse"),
    ("body", "touch/weight"),
    ("the finish is long", "passage/finish"),
    ("aftertaste fades fast", "passage/finish"),
    ("aftertaste", ""),
    # 16. One food or two
    ("carrot cake", "bakehouse/pastry"),
    ("banana bread", "bakehouse/pastry"),
    ("cherry pie", "bakehouse/pastry"),
    ("lemon tart", "bakehouse/pastry"),
    ("apple crumble", "bakehouse/pastry"),
    ("fruit yoghurt", "fruit, dairy/cultured-dairy"),
    ("rum-soaked raisins", "cellar/wine-and-spirit, preserve-shelf/dried"),
    ("peaty whisky", "hearth/smoke, cellar/wine-and-spirit"),
    ("rose Turkish delight", "flower-border/garden-flower, sugar-pan/confection"),
    ("cherry cola", "orchard/stone, sugar-pan/confection"),
    ("lemon tea", "citrus-grove/sharp-citrus, herb-garden/tea-leaf"),
    ("strawberry milk", "berry-patch/bramble, dairy/sweet-dairy"),
    ("spoiled milk", "dairy/sweet-dairy"),
    ("rotten apple", "orchard/pome"),
    ("rancid butter", "dairy/sweet-dairy"),
    ("stale biscuit", "bakehouse/pastry"),
    # 18. Scenes
    ("like a second-hand bookshop", "workshop/paper"),
    ("a garden after rain", "open-ground/earth"),
    ("like a church: incense, beeswax, cold stone", "workshop/wood, workshop/chemical, open-ground/mineral"),
    ("like a grey Tuesday", ""),
    # 19. Placed by ruling
    ("lemon up front", "citrus-grove/sharp-citrus"),
    ("first sip: lemon", "citrus-grove/sharp-citrus"),
    # 22. Similes of feel
    ("drying like a green banana", "touch/drying"),
    ("body like whole milk", "touch/weight"),
    ("thick as date syrup", "touch"),
    # 24. More placements
    ("tinned peaches", "preserve-shelf/jam"),
    ("peaches in syrup", "preserve-shelf/jam"),
    ("fermented cherry", "orchard/stone"),
    ("overripe banana", "tropical-stall/flesh"),
    ("elderflower cordial", "flower-border/blossom"),
    ("rose cordial", "flower-border/garden-flower"),
    ("tomato stem", "vegetable-plot/green-leaf"),
    ("fig leaf", "vegetable-plot/green-leaf"),
    ("cherry pit", "orchard/stone"),
    ("apricot kernel", "orchard/stone"),
    ("plum skin", "orchard/stone"),
    ("peanut husk", "nut-bowl/ground-nut"),
    ("almond skin", "nut-bowl/tree-nut"),
    ("sharp acidity", "tongue/sour"),
    ("lactic acidity", "tongue/sour"),
    ("acetic acidity", "tongue/sour"),
    ("soft and rounded mouthfeel", "touch/texture, touch/texture"),
    ("a clear cup", "whole-cup/clarity"),
    ("a clear jasmine note", "flower-border/blossom"),
    ("a baked roast", "hearth/roast"),
]


@pytest.fixture(scope="module")
def lexicon():
    return Lexicon.load()


def stands(node, place):
    """Say whether a node is `place` or below it."""
    return node == place or node.startswith(place + "/")


# The tree


def test_families_are_those_of_the_plan(lexicon):
    assert {(node.parent, node.id, node.sense) for node in lexicon.at("family")} == FAMILIES
    assert {node.id for node in lexicon.at("realm")} == {realm for realm, *_ in FAMILIES}
    assert len(FAMILIES) == 23


def test_groups_are_those_of_the_plan(lexicon):
    assert {(node.parent, node.id) for node in lexicon.at("group")} == GROUPS
    assert len(GROUPS) == 72


def test_groups_come_in_the_order_of_the_plan(lexicon):
    for _, family, _, groups in ROWS:
        assert [node.id for node in lexicon.children(family)] == [f"{family}/{g}" for g in groups.split()]


def test_there_are_descriptors_enough(lexicon):
    descriptors = lexicon.at("descriptor")
    assert len(descriptors) >= 450
    counts = Counter(node.parent for node in descriptors)
    assert {group: counts[group] for _, group in GROUPS if counts[group] < 3} == {}
    assert set(counts) == {group for _, group in GROUPS}


def test_every_id_tells_its_parent(lexicon):
    for node in lexicon.values():
        if node.level in ("group", "descriptor"):
            assert node.parent == node.id.rpartition("/")[0]
    senses = {family: sense for _, family, sense in FAMILIES}
    for node in lexicon.values():
        assert node.sense == (senses[node.id.split("/")[0]] if node.level != "realm" else None)


def test_the_sour_group_is_called_as_the_plan_says(lexicon):
    assert lexicon["tongue/sour"].label == "acid and sour"


def test_metal_is_cross_referenced_from_the_mouth(lexicon):
    mouth = [node for node in lexicon.values() if node.sense in ("tongue", "touch")]
    assert any(stands(other, "open-ground/mineral") for node in mouth for other in node.related)


# The scope


@pytest.mark.parametrize(("word", "place"), WORDS)
def test_word_is_found_at_its_place(lexicon, word, place):
    node = lexicon.find(word)
    assert node is not None, f"{word!r} is nowhere in the lexicon"
    assert stands(node.id, place)


@pytest.mark.parametrize(("word", "place"), WORDS)
def test_word_alone_is_read_at_its_place(word, place):
    mentions = read(word).mentions
    assert len(mentions) == 1
    assert stands(mentions[0].node, place)
    assert mentions[0].present
    assert mentions[0].text == word


@pytest.mark.parametrize(("note", "places"), READ)
def test_note_is_read_at_its_places(note, places):
    nodes = [mention.node for mention in read(note).mentions]
    wanted = places.split(", ") if places else []
    assert len(nodes) == len(wanted), f"{nodes}, not {wanted}"
    assert all(stands(node, place) for node, place in zip(nodes, wanted, strict=True)), nodes


def test_no_word_is_placed_twice():
    assert [word for word, n in Counter(word for word, _ in WORDS).items() if n > 1] == []


# The mapping and the walk


def test_lexicon_is_a_mapping(lexicon):
    assert isinstance(lexicon, Mapping)
    assert len(lexicon) == len(list(lexicon)) == sum(len(lexicon.at(level)) for level in LEVELS)
    assert all(lexicon[node_id].id == node_id for node_id in lexicon)
    assert "orchard/pome/quince" in lexicon
    assert "orchard/pome/brick" not in lexicon
    assert lexicon.get("orchard/pome/brick") is None
    with pytest.raises(KeyError):
        lexicon["orchard/pome/brick"]


def test_parents_come_before_their_children(lexicon):
    seen = set()
    for node in lexicon.values():
        assert node.parent is None or node.parent in seen
        seen.add(node.id)


def test_lexicon_is_loaded_once():
    assert Lexicon.load() is Lexicon.load()
    assert hash(Lexicon.load()) == hash(Lexicon.load())


def test_ancestors_lead_from_the_realm_down(lexicon):
    assert [n.id for n in lexicon.ancestors("orchard/pome/quince")] == ["fruit", "orchard", "orchard/pome"]
    assert lexicon.ancestors("fruit") == []


def test_children_are_one_level_below(lexicon):
    realms = ["fire-and-cellar", "fruit", "garden", "mouth", "outdoors", "pantry", "whole"]
    assert [n.id for n in lexicon.children()] == realms
    assert [n.id for n in lexicon.children("orchard")] == ["orchard/pome", "orchard/stone"]
    assert lexicon["orchard/pome/quince"] in lexicon.children("orchard/pome")
    assert lexicon.children("orchard/pome/quince") == []


def test_place_says_the_way_in_words(lexicon):
    assert lexicon.place("fruit") == lexicon["fruit"].label
    labels = [lexicon[i].label for i in ("fruit", "orchard", "orchard/pome")]
    assert lexicon.place("orchard/pome/quince") == " › ".join([*labels, "quince"])


@pytest.mark.parametrize(
    ("node", "level", "is_"),
    [
        ("orchard/pome/quince", "realm", "fruit"),
        ("orchard/pome/quince", "family", "orchard"),
        ("orchard/pome/quince", "group", "orchard/pome"),
        ("orchard/pome/quince", "descriptor", "orchard/pome/quince"),
        ("orchard", "descriptor", "orchard"),
        ("orchard", "realm", "fruit"),
        ("fruit", "group", "fruit"),
    ],
)
def test_up_to_stops_at_the_level(lexicon, node, level, is_):
    assert lexicon.up_to(node, level) == is_


# Looking up


@pytest.mark.parametrize(
    ("written", "node"),
    [
        ("quince", "orchard/pome/quince"),
        ("QUINCE", "orchard/pome/quince"),
        ("  Quinces ", "orchard/pome/quince"),
        ("quince-like", "orchard/pome/quince"),
        ("acai", "tropical-stall/flesh/acai"),
        ("AÇAÍ", "tropical-stall/flesh/acai"),
        ("ac\u0327ai\u0301", "tropical-stall/flesh/acai"),
        ("Full Bodied", "touch/weight/full-bodied"),
        ("full-bodied", "touch/weight/full-bodied"),
        ("full\u2011bodied", "touch/weight/full-bodied"),
        ("full\u00a0bodied", "touch/weight/full-bodied"),
        ("Turkish-delight", "sugar-pan/confection/turkish-delight"),
        ("turkish   delights", "sugar-pan/confection/turkish-delight"),
        ("black-currant", "berry-patch/bush/blackcurrant"),
        ("Black currants", "berry-patch/bush/blackcurrant"),
        ("lemony", "citrus-grove/sharp-citrus/lemon"),
        ("fruity", "fruit"),
        ("floral", "flower-border"),
        ("nutty", "nut-bowl"),
        ("citrus", "citrus-grove"),
    ],
)
def test_find_forgives_how_a_word_is_written(lexicon, written, node):
    found = lexicon.find(written)
    assert found is not None
    assert found.id == node


@pytest.mark.parametrize("written", ["", "   ", "-", "xyzzy", "quince quince", "\x00", "😀"])
def test_find_finds_nothing_in_nonsense(lexicon, written):
    assert lexicon.find(written) is None


def test_a_heading_names_nothing(lexicon):
    headings = [node for node in lexicon.values() if not node.spoken]
    assert "outdoors" in {node.id for node in headings}
    found = [lexicon.find(node.label) for node in headings]
    assert not {node.id for node in found if node} & {node.id for node in headings}


def test_search_looks_in_labels_first(lexicon):
    hits = lexicon.search("Quince")
    assert hits[0].id == "orchard/pome/quince"
    assert all("quince" in fold(" ".join(n.labels) + n.definition) for n in hits)
    named = ["quince" in fold(" ".join(n.labels)) for n in hits]
    assert named == sorted(named, reverse=True)


def test_search_wants_every_word(lexicon):
    both = {node.id for node in lexicon.search("dried fruit")}
    assert both
    assert both == {n.id for n in lexicon.search("dried")} & {n.id for n in lexicon.search("fruit")}
    assert lexicon.search("") == lexicon.search("  ") == []
    assert lexicon.search("quince xyzzy") == []


# Surface forms


def test_surface_forms_are_text(lexicon):
    forms = lexicon.surface_forms()
    assert all(type(form) is str and form.strip() == form != "" for form in forms)
    assert len(forms) == len(set(forms))
    written = [label for node in lexicon.values() if node.spoken for label in node.labels]
    assert set(written) <= set(forms)
    assert {"quince", "quinces", "lemony", "black tea", "full-bodied"} <= set(forms)


def test_every_surface_form_is_in_the_index(lexicon):
    assert [form for form in lexicon.surface_forms() if lexicon.find(form) is None] == []


def test_a_written_form_beats_a_derived_one(lexicon):
    assert lexicon.written_index.items() <= lexicon.form_index.items()


def test_surface_forms_read(lexicon):
    """Each form alone is a note with that one mention; everyday words in it may need a context."""
    sample = lexicon.surface_forms()[::7]
    missed = []
    for form in sample:
        nodes = [mention.node for mention in read(form).mentions]
        if nodes != [lexicon.find(form).id]:
            missed.append(f"{form!r}: {nodes}, not {lexicon.find(form).id}")
    print("\n".join(missed))
    assert len(missed) / len(sample) <= 0.03


# Loading


def test_missing_folder_is_one_sentence(tmp_path):
    with pytest.raises(FileNotFoundError) as caught:
        Lexicon.load(tmp_path / "nowhere")
    assert one_sentence(str(caught.value))
    assert "nowhere" in str(caught.value)


@pytest.mark.parametrize(
    "content",
    [
        b'[realm\nid = "r"',
        b'[realm]\nid = "r"\n# \xe9\n',
        b'[realm]\nid = "r"\n',
        b'[realm]\nlabel = "r"\n',
        b'[[family]]\nid = "f"\nlabel = "f"\n',
        b'realm = "r"\n',
        b'[realm]\nid = "r"\nlabel = "r"\n[[group]]\nid = 5\nlabel = "g"\n',
    ],
    ids=["broken", "not UTF-8", "no label", "no id", "no realm", "text for a table", "number for an id"],
)
def test_broken_file_is_one_sentence(tmp_path, content):
    (tmp_path / "spoilt.toml").write_bytes(content)
    with pytest.raises(ValueError, match=r"^spoilt\.toml ") as caught:
        Lexicon.load(tmp_path)
    assert one_sentence(str(caught.value))


def one_sentence(text):
    return text.endswith(".") and "\n" not in text and ". " not in text


# What the documentation shows


MODULES = [
    module.name
    for package in (redolent.lexicon, redolent.notes)
    for module in pkgutil.iter_modules(package.__path__, package.__name__ + ".")
]


@pytest.mark.parametrize("name", MODULES)
def test_examples_in_the_documentation_hold(name):
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_examples_are_run():
    finder = doctest.DocTestFinder(exclude_empty=True)
    forms = importlib.import_module("redolent.lexicon.forms")
    assert sum(len(test.examples) for test in finder.find(forms)) == 5
