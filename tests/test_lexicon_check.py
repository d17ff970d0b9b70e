"""The shipped lexicon is sound, and each fault in a lexicon is found where it is."""

from pathlib import Path

import pytest

from redolent.lexicon.check import UNSAFE, check
from redolent.lexicon.node import ALLERGENS

SOUND = """\
[realm]
id = "larder"
label = "larder"
definition = "What is kept cool."

[[family]]
id = "shelf"
label = "shelf"
sense = "nose"
definition = "What stands at the height of the eyes."

[[group]]
id = "shelf/fruit"
label = "shelf fruit"
definition = "Fruit that waits to ripen."

[[descriptor]]
id = "shelf/fruit/quince"
label = "quince"
alt_labels = ["membrillo"]
definition = "Hard yellow flesh with a scent of roses and lemon peel."
reference = { use = "smell", what = "a ripe quince", amount = "1 fruit", present = "cut, under a bowl" }

[[descriptor]]
id = "shelf/fruit/medlar"
label = "medlar"
definition = "Brown bletted pulp, somewhere between date and apple purée."
reference = { use = "taste", what = "bletted medlar", amount = "1 fruit", present = "pressed from its skin" }
"""
FILE = "larder.toml"
MEDLAR = 'what = "bletted medlar", amount = "1 fruit", present = "pressed from its skin"'


def findings_with(folder, old="", new="", base=SOUND):
    """Check a lexicon of one file, in which `new` was put for `old`."""
    if old:
        assert base.count(old) == 1
    text = base.replace(old, new) if old else base + new
    (folder / FILE).write_text(text, encoding="utf-8")
    return check(folder), text


def only(findings, text, node, says, line=None):
    """Assert that there is one finding, that it names file, line and node, and what it says."""
    assert [str(f) for f in findings] == [str(f) for f in findings[:1]]
    assert findings, "nothing was found"
    (finding,) = findings
    line = line or text.splitlines().index(f'id = "{node}"') + 1
    assert (finding.file, finding.line, finding.node) == (FILE, line, node)
    assert says in finding.says
    assert str(finding) == f"{FILE}:{line}: {node}: {finding.says}"


def with_reference(reference, allergens=()):
    """Write the medlar's entry with another reference."""
    declared = "allergens = [" + ", ".join(f'"{a}"' for a in allergens) + "]\n" if allergens else ""
    return SOUND[: SOUND.rindex("reference = ")] + f"reference = {{ {reference} }}\n{declared}"


def judged(folder, use, what, present="in a small bowl", amount="1 teaspoon", allergens=()):
    """Check a lexicon whose medlar has this reference."""
    base = with_reference(f'use = "{use}", what = "{what}", amount = "{amount}", present = "{present}"', allergens)
    return findings_with(folder, base=base)


def test_shipped_lexicon_is_sound():
    assert [str(finding) for finding in check()] == []


def test_a_sound_lexicon_is_sound(tmp_path):
    findings, _ = findings_with(tmp_path)
    assert findings == []


def test_findings_come_in_the_order_of_files_and_lines(tmp_path):
    text = SOUND.replace("Fruit that waits to ripen.", "").replace('sense = "nose"\n', "")
    (tmp_path / "b.toml").write_text(text, encoding="utf-8")
    (tmp_path / "a.toml").write_text("[realm\n", encoding="utf-8")
    places = [(f.file, f.line) for f in check(tmp_path)]
    assert places == [("a.toml", 1), ("b.toml", 7), ("b.toml", 12)]


def test_a_folder_without_files_is_a_finding(tmp_path):
    (finding,) = check(tmp_path)
    assert "no .toml file here" in str(finding)
    (finding,) = check(tmp_path / "nowhere")
    assert "no .toml file here" in str(finding)


# Form


FAULTS = {
    "no label": ('label = "medlar"\n', "", "shelf/fruit/medlar", "field 'label' is missing"),
    "empty label": ('label = "medlar"\n', 'label = " "\n', "shelf/fruit/medlar", "label"),
    "no definition": (
        'definition = "Fruit that waits to ripen."\n',
        "",
        "shelf/fruit",
        "field 'definition' is missing",
    ),
    "no reference": (f'reference = {{ use = "taste", {MEDLAR} }}\n', "", "shelf/fruit/medlar", "'reference'"),
    "short definition": (
        "Brown bletted pulp, somewhere between date and apple purée.",
        "Brown bletted pulp.",
        "shelf/fruit/medlar",
        "fewer than 6 words",
    ),
    "unknown field": (
        'label = "medlar"\n',
        'label = "medlar"\ncolour = "brown"\n',
        "shelf/fruit/medlar",
        "'colour'",
    ),
    "field of another level": (
        'label = "medlar"\n',
        'label = "medlar"\nsense = "nose"\n',
        "shelf/fruit/medlar",
        "unknown field 'sense'",
    ),
    "unknown field of a reference": (
        '"pressed from its skin" }',
        '"pressed from its skin", warm = "yes" }',
        "shelf/fruit/medlar",
        "'warm'",
    ),
    "bad sense": ('sense = "nose"', 'sense = "ear"', "shelf", "must be one of nose, tongue, touch, whole"),
    "no sense": ('sense = "nose"\n', "", "shelf", "'sense' must be one of"),
    "bad word class": (
        'label = "medlar"\n',
        'label = "medlar"\nword_class = "verb"\n',
        "shelf/fruit/medlar",
        "noun or adjective",
    ),
    "bad id": ('"shelf/fruit/medlar"', '"shelf/fruit/Medlar"', "shelf/fruit/Medlar", "3 slug(s)"),
    "id at the wrong depth": ('"shelf/fruit/medlar"', '"shelf/medlar"', "shelf/medlar", "3 slug(s)"),
    "orphan": ('"shelf/fruit/medlar"', '"shelf/nuts/medlar"', "shelf/nuts/medlar", "parent 'shelf/nuts' is"),
    "unknown related": (
        'label = "medlar"\n',
        'label = "medlar"\nrelated = ["shelf/fruit/nashi"]\n',
        "shelf/fruit/medlar",
        "related to 'shelf/fruit/nashi', which is nowhere",
    ),
    "label listed twice": (
        '["membrillo"]',
        '["membrillo", "Quince"]',
        "shelf/fruit/quince",
        "'Quince' is listed twice",
    ),
    "alternative listed twice": (
        '["membrillo"]',
        '["membrillo", "Membrillo"]',
        "shelf/fruit/quince",
        "listed twice",
    ),
    "empty alternative": ('["membrillo"]', '["membrillo", ""]', "shelf/fruit/quince", "empty label"),
    "ambiguous form": (
        'label = "medlar"\n',
        'label = "medlar"\nalt_labels = ["Membríllo"]\n',
        "shelf/fruit/medlar",
        f"'Membríllo' names shelf/fruit/quince too ({FILE}:18)",
    ),
    "ambiguous irregular form": (
        'label = "medlar"\n',
        'label = "medlar"\nforms = ["quince"]\n',
        "shelf/fruit/medlar",
        f"ambiguous: 'quince' names shelf/fruit/quince too ({FILE}:18)",
    ),
    "template definition": (
        "Brown bletted pulp, somewhere between date and apple purée.",
        "Hard yellow flesh with a scent of roses and lemon peel.",
        "shelf/fruit/medlar",
        f"the definition is that of shelf/fruit/quince with another word put in ({FILE}:18)",
    ),
    "template reference": (
        f'use = "taste", {MEDLAR}',
        'use = "smell", what = "a ripe medlar", amount = "1 fruit", present = "cut, under a bowl"',
        "shelf/fruit/medlar",
        f"the reference is that of shelf/fruit/quince with another word put in ({FILE}:18)",
    ),
    "reference as text": (
        f'{{ use = "taste", {MEDLAR} }}',
        '"a medlar"',
        "shelf/fruit/medlar",
        "a reference is a table, or the sentence",
    ),
    "reference as a list": (
        f'{{ use = "taste", {MEDLAR} }}',
        '["a medlar"]',
        "shelf/fruit/medlar",
        "reference",
    ),
    "label that is a number": ('label = "medlar"\n', "label = 5\n", "shelf/fruit/medlar", "label"),
    "alternatives as text": ('["membrillo"]', '"membrillo"', "shelf/fruit/quince", "alt_labels"),
    "alternatives that are numbers": ('["membrillo"]', "[5]", "shelf/fruit/quince", "alt_labels"),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "node", "says"), FAULTS.values(), ids=FAULTS)
def test_fault_of_form_is_found(tmp_path, old, new, node, says):
    findings, text = findings_with(tmp_path, old, new)
    only(findings, text, node, says)


def test_templates_are_found_under_other_labels(tmp_path):
    """A definition that names its own label in another form is still the same sentence."""
    base = SOUND.replace("Hard yellow flesh with a scent", "Smells of quinces and membrillo, with a scent")
    findings, text = findings_with(
        tmp_path,
        "Brown bletted pulp, somewhere between date and apple purée.",
        "Smells of medlars and medlar, with a scent of roses and lemon peel.",
        base,
    )
    only(findings, text, "shelf/fruit/medlar", "with another word put in")


def test_duplicate_id_is_found_at_the_second(tmp_path):
    extra = """
[[descriptor]]
id = "shelf/fruit/quince"
label = "loquat"
definition = "Tender orange flesh around large slippery seeds, gently tart."
reference = { use = "taste", what = "a loquat", amount = "1 fruit", present = "peeled" }
"""
    findings, text = findings_with(tmp_path, new=extra)
    last = len(text.splitlines()) - 3
    only(findings, text, "shelf/fruit/quince", f"stands already at {FILE}:18", last)


def test_duplicate_across_files_is_found(tmp_path):
    (tmp_path / "attic.toml").write_text(
        '[realm]\nid = "larder"\nlabel = "attic"\ndefinition = "What is kept dry."\n', encoding="utf-8"
    )
    findings, text = findings_with(tmp_path)
    only(findings, text, "larder", "the id stands already at attic.toml:2")


def test_ambiguity_across_files_is_found(tmp_path):
    (tmp_path / "attic.toml").write_text(
        '[realm]\nid = "attic"\nlabel = "Médlar"\ndefinition = "What is kept dry."\n', encoding="utf-8"
    )
    findings, text = findings_with(tmp_path)
    only(findings, text, "shelf/fruit/medlar", "'medlar' names attic too (attic.toml:2)")


@pytest.mark.parametrize(
    ("content", "line"),
    [
        (SOUND + "label = \n", 29),
        (SOUND.replace('label = "medlar"', 'label = "medlar"\nlabel = "medlars"'), 27),
    ],
    ids=["no value", "key twice"],
)
def test_bad_toml_names_its_line(tmp_path, content, line):
    findings, text = findings_with(tmp_path, base=content)
    only(findings, text, "-", "not valid TOML", line)


def test_bad_encoding_names_its_file(tmp_path):
    (tmp_path / FILE).write_bytes(SOUND.encode() + b"# caf\xe9\n")
    (finding,) = check(tmp_path)
    assert (finding.file, finding.node) == (FILE, "-")
    assert "utf-8" in finding.says


@pytest.mark.parametrize(
    "content",
    [
        SOUND.split("\n\n", 1)[1],
        SOUND + '\n[[descriptors]]\nid = "shelf/fruit/nashi"\nlabel = "nashi"\n',
        "",
    ],
    ids=["no realm", "unknown table", "empty"],
)
def test_what_would_be_lost_is_found(tmp_path, content):
    findings, _ = findings_with(tmp_path, base=content)
    assert [finding.file for finding in findings] == [FILE]


@pytest.mark.parametrize("written", ['  id = "shelf/fruit/Medlar"', "id = 'shelf/fruit/Medlar'"])
def test_line_is_named_however_the_id_is_written(tmp_path, written):
    findings, text = findings_with(tmp_path, 'id = "shelf/fruit/medlar"', written)
    only(findings, text, "shelf/fruit/Medlar", "3 slug(s)", text.splitlines().index(written) + 1)


def test_a_finding_is_one_printable_line(tmp_path):
    findings, _ = findings_with(tmp_path, '"shelf/fruit/medlar"', r'"shelf/fruit/\u001b[2J\nmedlar"')
    assert findings
    assert all(str(finding).isprintable() for finding in findings)


def test_an_unspoken_label_is_no_ambiguity(tmp_path):
    spoken = SOUND.replace('label = "larder"', 'label = "medlar"')
    findings, text = findings_with(tmp_path, base=spoken)
    only(findings, text, "shelf/fruit/medlar", f"'medlar' names larder too ({FILE}:2)")
    heading = 'spoken = false\ndefinition = "What is kept cool."'
    findings, _ = findings_with(tmp_path, 'definition = "What is kept cool."', heading, spoken)
    assert findings == []


def test_no_safe_reference_can_be_said(tmp_path):
    findings, _ = findings_with(
        tmp_path, f'{{ use = "taste", {MEDLAR} }}', '"no reference; learn it from a cup that shows it"'
    )
    assert findings == []


# References


@pytest.mark.parametrize("amount", ["20 ml", "1 teaspoon", "half a fruit", "½ cup", "two slices", "3 leaves"])
def test_amount_with_number_and_unit_is_sound(tmp_path, amount):
    assert judged(tmp_path, "taste", "bletted medlar", amount=amount)[0] == []


@pytest.mark.parametrize(
    "amount", ["2", "20", "some teaspoons", "a few ml", "plenty", "teaspoon"]
)  # fmt: skip
def test_amount_without_number_or_unit_is_found(tmp_path, amount):
    findings, text = judged(tmp_path, "taste", "bletted medlar", amount=amount)
    only(findings, text, "shelf/fruit/medlar", f"amount {amount!r} lacks a quantity or a unit")


@pytest.mark.parametrize("lost", ["what", "present"])
def test_missing_part_of_a_reference_is_found(tmp_path, lost):
    parts = {"use": "taste", "what": "bletted medlar", "amount": "1 fruit", "present": "in a bowl"}
    reference = ", ".join(f'{name} = "{value}"' for name, value in parts.items() if name != lost)
    findings, text = findings_with(tmp_path, base=with_reference(reference))
    only(findings, text, "shelf/fruit/medlar", f"the reference lacks {lost!r}")


def test_bad_use_is_found(tmp_path):
    findings, text = judged(tmp_path, "hearing", "bletted medlar")
    only(findings, text, "shelf/fruit/medlar", "use must be one of smell, taste, touch")


# What no reference may be: (use, what, why, the allergens it holds).
FORBIDDEN = [
    ("taste", "apricot kernels", "kernels are poisonous", []),
    ("taste", "one peach kernel", "kernels are poisonous", []),
    ("taste", "bitter almonds", "kernels are poisonous", ["nuts"]),
    ("taste", "essential oil of clove", "a neat essential oil is never tasted", []),
    ("taste", "foraged nettles", "foraged and ornamental plants are never tasted", []),
    ("taste", "daffodil petals", "foraged and ornamental plants are never tasted", []),
    ("taste", "mouldy orange", "mouldy or spoiled food is never tasted", []),
    ("taste", "spoiled cabbage", "mouldy or spoiled food is never tasted", []),
    ("taste", "washed white spirit", "solvents and cleaners are never tasted", []),
    ("taste", "acetone", "solvents and cleaners are never tasted", []),
    ("taste", "caffeine in water", "nothing dosed in milligrams is tasted", []),
    ("taste", "quinine in water", "nothing dosed in milligrams is tasted", []),
    ("taste", "citric acid, 50 mg", "nothing dosed in milligrams is tasted", []),
    ("taste", "raw egg white", "raw egg, meat, flour and pulses are never tasted", ["eggs"]),
    ("taste", "raw kidney beans", "raw egg, meat, flour and pulses are never tasted", []),
    ("smell", "smouldering rope", "smoke is never smelled close", []),
    ("smell", "a lit match", "smoke is never smelled close", []),
    ("smell", "smoke from a candle", "smoke is never smelled close", []),
    ("smell", "petrol", "solvents, fuels and glues are never smelled close", []),
    ("smell", "wood glue", "solvents, fuels and glues are never smelled close", []),
    ("smell", "nail varnish remover", "solvents, fuels and glues are never smelled close", []),
    ("smell", "mouldy orange", "mould is never smelled close", []),
    ("smell", "mildew on a curtain", "mould is never smelled close", []),
    ("smell", "caffeine tablets", "no caffeine or quinine", []),
    ("touch", "raw egg white", "nothing raw and unsafe touches the mouth", ["eggs"]),
    ("touch", "quinine in water", "nothing dosed in milligrams is tasted", []),
    ("touch", "alum, 20 mg", "nothing dosed in milligrams is tasted", []),
]


@pytest.mark.parametrize(("use", "what", "why", "allergens"), FORBIDDEN)
def test_unsafe_reference_is_found(tmp_path, use, what, why, allergens):
    findings, text = judged(tmp_path, use, what, allergens=allergens)
    only(findings, text, "shelf/fruit/medlar", f"unsafe reference: {why}")


def test_every_rule_of_safety_is_tried():
    rules = {(use, why) for use, rows in UNSAFE.items() for _, why in rows}
    assert rules == {(use, why) for use, _, why, _ in FORBIDDEN}


def test_what_is_unsafe_in_the_way_it_is_presented_is_found(tmp_path):
    findings, text = judged(tmp_path, "smell", "birch twigs", present="over a burning candle")
    only(findings, text, "shelf/fruit/medlar", "unsafe reference: smoke is never smelled close")


@pytest.mark.parametrize(
    ("use", "what", "allergens"),
    [
        ("taste", "bitter almond extract in water", ["nuts"]),
        ("taste", "caffeine-free cola", []),
        ("taste", "cooked kidney beans", []),
        ("smell", "essential oil of clove on paper", []),
        ("smell", "a spent match, cold", []),
        ("touch", "cold egg white, boiled", ["eggs"]),
    ],
)
def test_safe_neighbours_are_sound(tmp_path, use, what, allergens):
    assert judged(tmp_path, use, what, allergens=allergens)[0] == []


@pytest.mark.parametrize("what", ["cocoa powder", "powdered ginger", "ground cinnamon"])
def test_loose_powder_is_not_smelled_close(tmp_path, what):
    findings, text = judged(tmp_path, "smell", what)
    only(findings, text, "shelf/fruit/medlar", "a loose powder is not smelled close")
    assert judged(tmp_path, "smell", what, present="stirred into warm water")[0] == []
    assert judged(tmp_path, "smell", what, present="in a closed jar")[0] == []
    assert judged(tmp_path, "taste", what)[0] == []


# Annex II of Regulation (EU) No 1169/2011: a food that holds each.
HOLDS = {
    "gluten": "rye bread",
    "crustaceans": "boiled prawns",
    "eggs": "boiled eggs",
    "fish": "tinned anchovies",
    "peanuts": "salted peanuts",
    "soybeans": "tofu",
    "milk": "plain yoghurt",
    "nuts": "shelled hazelnuts",
    "celery": "celery sticks",
    "mustard": "wholegrain mustard",
    "sesame": "tahini",
    "sulphites": "red wine",
    "lupin": "boiled lupin beans",
    "molluscs": "steamed mussels",
}


def test_all_fourteen_allergens_are_tried():
    assert set(HOLDS) == set(ALLERGENS)
    assert len(ALLERGENS) == 14


@pytest.mark.parametrize("allergen", ALLERGENS)
def test_undeclared_allergen_is_found(tmp_path, allergen):
    findings, text = judged(tmp_path, "taste", HOLDS[allergen])
    only(findings, text, "shelf/fruit/medlar", f"allergens lack {allergen!r}")
    assert judged(tmp_path, "taste", HOLDS[allergen], allergens=[allergen])[0] == []


def test_allergen_in_the_way_it_is_presented_is_found(tmp_path):
    findings, text = judged(tmp_path, "taste", "mashed potato", present="with a knob of butter")
    only(findings, text, "shelf/fruit/medlar", "names 'butter' but allergens lack 'milk'")


def test_unknown_allergen_is_found(tmp_path):
    findings, text = judged(tmp_path, "taste", "bletted medlar", allergens=["pollen"])
    only(findings, text, "shelf/fruit/medlar", "allergen 'pollen' is none of: gluten, ")


@pytest.mark.parametrize(
    ("what", "present", "allergens"),
    [
        ("coconut milk", "cold", []),
        ("oat drink", "cold", []),
        ("boiled potato", "with no butter", []),
        ("boiled potato", "no butter, no cream", []),
        ("boiled potato", "without any butter", []),
        ("dairy-free spread", "on a spoon", []),
        ("peanut butter", "on a spoon", ["peanuts"]),
        ("almond milk", "cold", ["nuts"]),
        ("butter beans", "boiled", []),
        ("ginger beer", "poured cold", []),
        ("rice crackers", "broken", []),
        ("potato flour", "stirred into water", []),
        ("crab apple", "cut", []),
        ("oyster mushrooms", "fried", []),
        ("wine vinegar", "stirred into water", []),
        ("rice", "in a wine glass", []),
        ("a knob of ginger", "almond-sized", []),
    ],
)
def test_words_that_hold_no_allergen_are_sound(tmp_path, what, present, allergens):
    assert [str(f) for f in judged(tmp_path, "taste", what, present, allergens=allergens)[0]] == []


@pytest.mark.parametrize(
    ("what", "allergen"),
    [
        ("coconut milk and cow's milk", "milk"),
        ("bread with no butter", "gluten"),
        ("no butter but cream", "milk"),
        ("crab apple with crab", "crustaceans"),
        ("rice bread beside wheat bread", "gluten"),
        ("wine vinegar and wine", "sulphites"),
    ],
)
def test_an_exception_hides_nothing_else(tmp_path, what, allergen):
    findings, text = judged(tmp_path, "taste", what)
    only(findings, text, "shelf/fruit/medlar", f"allergens lack {allergen!r}")


def test_files_are_read_where_they_are(tmp_path):
    """A lexicon is a folder: what lies below or beside it is no part of it."""
    findings_with(tmp_path)
    (tmp_path / "notes.txt").write_text("[realm\n", encoding="utf-8")
    Path(tmp_path / "below").mkdir()
    (tmp_path / "below" / "x.toml").write_text("[realm\n", encoding="utf-8")
    assert check(tmp_path) == []
