"""Invented coffees, and the words in which invented tasters speak of them."""

from dataclasses import dataclass

NOSE = {
    "almond": "nut-bowl/tree-nut/almond",
    "apricot": "orchard/stone/apricot",
    "banana": "tropical-stall/flesh/banana",
    "bergamot": "citrus-grove/peel/bergamot",
    "black tea": "herb-garden/tea-leaf/black-tea",
    "blackcurrant": "berry-patch/bush/blackcurrant",
    "blueberry": "berry-patch/bush/blueberry",
    "brown sugar": "sugar-pan/sugar/brown-sugar",
    "cedar": "workshop/wood/cedar",
    "cinnamon": "spice-drawer/warm-spice/cinnamon",
    "clove": "spice-drawer/warm-spice/clove",
    "cocoa powder": "cocoa-house/dark-cocoa/cocoa-powder",
    "dark chocolate": "cocoa-house/dark-cocoa/dark-chocolate",
    "dates": "preserve-shelf/dried/date",
    "forest floor": "open-ground/earth/forest-floor",
    "grapefruit": "citrus-grove/sharp-citrus/grapefruit",
    "green apple": "orchard/pome/green-apple",
    "hazelnut": "nut-bowl/tree-nut/hazelnut",
    "hibiscus": "flower-border/infused-flower/hibiscus",
    "honey": "sugar-pan/syrup/honey",
    "jasmine": "flower-border/blossom/jasmine",
    "lavender": "flower-border/garden-flower/lavender",
    "lemon": "citrus-grove/sharp-citrus/lemon",
    "lime": "citrus-grove/sharp-citrus/lime",
    "liquorice": "spice-drawer/seed-spice/liquorice",
    "lychee": "tropical-stall/perfumed/lychee",
    "malt": "bakehouse/grain/malt",
    "mango": "tropical-stall/flesh/mango",
    "milk chocolate": "cocoa-house/milky-cocoa/milk-chocolate",
    "mushroom": "open-ground/earth/mushroom",
    "orange blossom": "flower-border/blossom/orange-blossom",
    "peach": "orchard/stone/peach",
    "pineapple": "tropical-stall/flesh/pineapple",
    "plum": "orchard/stone/plum",
    "raisin": "preserve-shelf/dried/raisin",
    "rhubarb": "berry-patch/bush/rhubarb",
    "rose": "flower-border/garden-flower/rose",
    "rum": "cellar/wine-and-spirit/rum",
    "strawberry jam": "preserve-shelf/jam/strawberry-jam",
    "tobacco": "workshop/hide-and-tobacco/cured-tobacco",
    "toffee": "sugar-pan/caramel/toffee",
    "tomato": "vegetable-plot/salad/tomato",
    "vanilla": "sugar-pan/confection/vanilla",
    "walnut": "nut-bowl/tree-nut/walnut",
    "yoghurt": "dairy/cultured-dairy/yoghurt",
}

MOUTH = {
    "balanced": "whole-cup/balance/balanced",
    "bright": "whole-cup/liveliness/bright",
    "citric acidity": "tongue/sour/citric-acidity",
    "clean": "whole-cup/clarity/clean",
    "complex": "whole-cup/depth/complex",
    "creamy": "touch/texture/creamy",
    "heavy body": "touch/weight/heavy",
    "juicy": "touch/texture/juicy",
    "light body": "touch/weight/light",
    "long finish": "passage/finish/long-finish",
    "malic acidity": "tongue/sour/malic-acidity",
    "short finish": "passage/finish/short-finish",
    "silky": "touch/texture/silky",
    "smooth": "touch/texture/smooth",
    "syrupy": "touch/texture/syrupy",
    "tart": "tongue/sour/tart",
    "tea-like body": "touch/weight/tea-like-body",
}

BROAD = {
    "fruity": "fruit",
    "berries": "berry-patch",
    "citrusy": "citrus-grove",
    "stone fruit": "orchard/stone",
    "tropical": "tropical-stall",
    "dried fruit": "preserve-shelf/dried",
    "jammy": "preserve-shelf/jam",
    "floral": "flower-border",
    "herbal": "herb-garden",
    "vegetal": "vegetable-plot",
    "spicy": "spice-drawer",
    "caramelly": "sugar-pan/caramel",
    "sugary": "sugar-pan/sugar",
    "chocolatey": "cocoa-house",
    "milky": "dairy",
    "nutty": "nut-bowl",
    "boozy": "cellar/wine-and-spirit",
    "woody": "workshop/wood",
    "earthy": "open-ground/earth",
    "sweet": "tongue/sweet",
    "some acidity": "tongue/sour",
    "a nice body": "touch/weight",
}
"""What somebody says who cannot say more, and the place above the descriptors that it names."""

NOUNS = frozenset({"berries", "stone fruit", "dried fruit", "some acidity", "a nice body"})
"""The broad words that are nouns; the others are adjectives. Of the narrow ones all of `NOSE` are nouns."""

ABSENT = ("smoke", "rubber", "ash", "bitterness", "paper", "mould", "salt")
"""What a note may say is not there; no coffee below has any of it."""

SLIPS = {
    "apricot": "aprikot",
    "banana": "bananna",
    "bergamot": "bergamont",
    "blueberry": "bluberry",
    "cinnamon": "cinamon",
    "dark chocolate": "dark choclate",
    "grapefruit": "grapefuit",
    "hazelnut": "hazlenut",
    "hibiscus": "hibicus",
    "lavender": "lavendar",
    "liquorice": "liqourice",
    "mushroom": "mushrom",
    "pineapple": "pinapple",
    "rhubarb": "rubarb",
    "tobacco": "tobbaco",
    "walnut": "wallnut",
}


@dataclass(frozen=True, slots=True)
class InventedCoffee:
    """A coffee that does not exist.

    Attributes
    ----------
    name, origin, process : str
    nose, mouth : tuple of str
        What is truly in the cup: words of `NOSE` and `MOUTH`.
    """

    name: str
    origin: str
    process: str
    nose: tuple[str, ...]
    mouth: tuple[str, ...]


COFFEES = (
    InventedCoffee(
        "Quebrada Lumenia",
        "Tarigo valley",
        "washed",
        ("orange blossom", "lemon", "black tea", "honey", "peach"),
        ("citric acidity", "tea-like body", "clean"),
    ),
    InventedCoffee(
        "Monte Vespil",
        "Serra Calanda hills",
        "pulped natural",
        ("hazelnut", "milk chocolate", "toffee", "plum", "vanilla"),
        ("creamy", "balanced", "short finish"),
    ),
    InventedCoffee(
        "Arbessa Wold",
        "Arbessa highland",
        "natural",
        ("blueberry", "strawberry jam", "dark chocolate", "hibiscus", "rose"),
        ("syrupy", "complex", "long finish"),
    ),
    InventedCoffee(
        "Gatundiri Ridge",
        "Gatundiri",
        "washed",
        ("blackcurrant", "grapefruit", "tomato", "rhubarb", "brown sugar"),
        ("tart", "juicy", "long finish"),
    ),
    InventedCoffee(
        "Bukit Lamora",
        "Lamora island",
        "wet-hulled",
        ("cedar", "mushroom", "tobacco", "liquorice", "forest floor"),
        ("heavy body", "short finish"),
    ),
    InventedCoffee(
        "Selva Ocarina",
        "Ocarina forest",
        "honey",
        ("mango", "apricot", "almond", "jasmine", "brown sugar"),
        ("malic acidity", "smooth", "balanced"),
    ),
    InventedCoffee(
        "Rio Tandeco",
        "Tandeco river",
        "anaerobic natural",
        ("pineapple", "cinnamon", "rum", "banana", "yoghurt"),
        ("syrupy", "complex"),
    ),
    InventedCoffee(
        "Alto Serrim",
        "Serrim plateau",
        "natural",
        ("walnut", "cocoa powder", "raisin", "malt", "clove", "dates"),
        ("heavy body", "smooth"),
    ),
    InventedCoffee(
        "Halesso Gora",
        "Halesso",
        "washed",
        ("bergamot", "lavender", "green apple", "lychee", "lime"),
        ("silky", "bright", "light body"),
    ),
)
