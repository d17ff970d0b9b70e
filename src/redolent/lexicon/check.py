"""Check the lexicon's files: what a careful editor would find, with file and line."""

import re
import tomllib
from collections import defaultdict
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from redolent.lexicon.forms import derive, fold
from redolent.lexicon.node import ALLERGENS, LEVELS, NO_REFERENCE, SENSES, USES
from redolent.shipped import shipped

_COMMON = {"id", "label", "alt_labels", "forms", "definition", "scope_note"}
FIELDS = {
    "realm": _COMMON | {"spoken"},
    "family": _COMMON | {"spoken", "sense"},
    "group": _COMMON | {"spoken", "word_class", "related"},
    "descriptor": _COMMON | {"word_class", "related", "reference", "allergens"},
}
PARTS = ("use", "what", "amount", "present")
SHORTEST_DEFINITION = 6  # words

_SLUG = r"[a-z0-9]+(?:-[a-z0-9]+)*"
_DEPTH = {"realm": 1, "family": 1, "group": 2, "descriptor": 3}
_AMOUNT = re.compile(
    r"(\d|½|¼|¾|\b(one|two|three|four|five|six|half|quarter)\b).*"
    r"\b(k?g|ml|l|cm|mm|tea\w*|table\w*|lea(f|ves)|sprig|piece|sheet|cup|drop|pod|stick|clove|seed|bean|bag|cube|square|"
    r"strip|stem|stalk|head|fruit|half|segment|berry|nut|kernel|tin|bottle|glass|pinch|wedge|ring|petal|flower|"
    r"blossom|twig|block|bar|biscuit|sweet|chunk|shaving|star|roll|coin|stone|pebble|gram|litre|portion|cracker|"
    r"egg|slice|\w+s)\b",
    re.IGNORECASE,
)

# What no reference may be, by the sense it is for. Each row: a pattern, and what the finding says.
UNSAFE = {
    "taste": (
        (
            r"\b(apricot|peach|cherry|plum) kernels?\b|\bbitter almonds?\b(?! (flavour|extract))",
            "kernels are poisonous",
        ),
        (r"\bessential oil\b", "a neat essential oil is never tasted"),
        (
            r"\bforaged\b|\bwild mushroom|\blil(y|ies)\b|\boleander|\bfoxglove|\bdaffodil|\bhyacinth"
            r"|\bgeranium lea",
            "foraged and ornamental plants are never tasted",
        ),
        (
            r"\bmould(y|ed)?\b(?! cheese)|\bspoil(ed|t)\b|\brotten\b",
            "mouldy or spoiled food is never tasted",
        ),
        (
            r"\bacetone|\bturpentine|\bwhite spirit\b|\bpetrol\b|\bsolvent|\bnail varnish|\bparaffin oil"
            r"|\bbleach|\bsoap\b",
            "solvents and cleaners are never tasted",
        ),
        (r"\bcaffeine\b|\bquinine\b|\d ?mg\b|\bmilligram", "nothing dosed in milligrams is tasted"),
        (
            r"\braw (egg|meat|chicken|mince|pork|dough|flour|kidney)",
            "raw egg, meat, flour and pulses are never tasted",
        ),
    ),
    "smell": (
        (
            r"\bsmoke from\b|\bburning\b|\blit match|\blighted\b|\bsmouldering\b",
            "smoke is never smelled close",
        ),
        (
            r"\bacetone|\bturpentine|\bwhite spirit\b|\bpetrol\b|\bdiesel|\bnail varnish|\bsolvent|\bglue\b"
            r"|\bbleach|\bammonia|\bparaffin oil|\blighter fluid",
            "solvents, fuels and glues are never smelled close",
        ),
        (r"\bmould(y|ed)\b(?! cheese)|\bmildew", "mould is never smelled close"),
        (r"\bcaffeine\b|\bquinine\b", "no caffeine or quinine"),
    ),
    "touch": (
        (r"\braw (egg|meat|chicken|dough|flour)", "nothing raw and unsafe touches the mouth"),
        (r"\bquinine\b|\bcaffeine\b|\d ?mg\b", "nothing dosed in milligrams is tasted"),
    ),
}

# A loose powder is not smelled close; these words say that it is bound or kept shut.
_POWDER = re.compile(r"\b(powder|powdered|ground (?!almond|coffee))", re.IGNORECASE)
_BOUND = re.compile(
    r"stir|dissolv|mix|whisk|water|oil|milk|paste|wet|damp|infus|steep|syrup|melt|cover|lid|closed|cloth|settl"
    r"|butter|bloom|simmer|warm",
    re.IGNORECASE,
)

# Words that betray an allergen, and phrases that hold such a word and not the allergen.
_PLANT_MILKS = r"(coconut|almond|oat|soya|soy|rice|hazelnut|cashew|plant)[ -](milk|cream|yogh?urt)"
ALLERGEN_WORDS = {
    "gluten": (
        r"bread|toast|wheat|barley|rye|malt|biscuits?|cakes?|pastry|crackers?|couscous|bulgur|spelt|semolina"
        r"|beer|ale|lager|stout|flour|croissant|brioche|dough|crumpet|bagel|bran",
        r"(rice|corn|maize|buckwheat|oat|seed) ?(bread|cakes?|crackers?|bran)|ginger (beer|ale)|root beer"
        r"|cake tin|rosin cake|rye grass|for pastry"
        r"|(soya|rice|corn|maize|chickpea|potato|gram|buckwheat|almond|coconut|tapioca|banana|nut|chestnut"
        r"|millet|teff|sorghum) flour",
    ),
    "milk": (
        r"milk|butter|cream|cheese|yogh?urt|custard|ghee|kefir|whey|ice cream|fudge|buttermilk|mascarpone"
        r"|ricotta",
        _PLANT_MILKS + r"|(peanut|nut|almond|cocoa|apple|shea|cashew|seed) butter|butter (beans?|lettuce)"
        r"|cream of tartar|cream (soda|crackers?)|(cleansing|hand|shaving|face|cold|sun) cream"
        r"|(to|a thin|like) cream|milk thistle",
    ),
    "eggs": (
        r"eggs?|custard|meringue|mayonnaise|lemon curd|brioche",
        r"custard (powder|apple|creams?)|powdered custard|egg ?(cup|plant)",
    ),
    "peanuts": (r"peanuts?", None),
    "soybeans": (r"soya|soy|tofu|miso|tempeh|edamame|natto|tamari", None),
    "nuts": (
        r"almonds?|hazelnuts?|walnuts?|cashews?|pecans?|pistachios?|macadamias?|brazil nuts?|marzipan|praline"
        r"|nougat|gianduja|frangipane",
        r"(almond|hazelnut|walnut)-(shaped|sized)|size of an? (almond|hazelnut|walnut)"
        r"|walnut (wood|plank|shavings?|sawdust|board)",
    ),
    "celery": (r"celery|celeriac", None),
    "mustard": (r"mustard", None),
    "sesame": (r"sesame|tahini|halva", r"sunflower halva"),
    "fish": (
        r"anchov(y|ies)|fish sauce|mackerel|cod|sardines?|salmon|tuna|kipper|haddock|bonito",
        r"salmon-(pink|fleshed|coloured)",
    ),
    "crustaceans": (r"prawns?|shrimps?|crab|lobster", r"crab[ -]apple"),
    "molluscs": (r"oysters?|mussels?|clams?|squid|octopus", r"oyster (mushrooms?|plant)|empty \w+ shells?"),
    "lupin": (r"lupins?|lupini", None),
    "sulphites": (
        r"wine|sherry|cider|sultanas?|dried apricots?|vermouth|port",
        r"(wine|sherry) (glass|bottle|cork|gums?|yeast|cooler)|(cider|wine) vinegar|cider apples?"
        r"|unsulphured \w+( \w+)?",
    ),
}
# "without milk", "no butter", "nut-free" name what is not there.
_WITHOUT = r"(without|with no|no) (any )?\w+|\w+-free"


@dataclass(frozen=True, slots=True)
class Finding:
    """Something wrong, and where."""

    file: str
    line: int
    node: str
    says: str

    def __str__(self) -> str:
        line = f"{self.file}:{self.line}: {self.node}: {self.says}"
        return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in line)


@dataclass(frozen=True, slots=True)
class _Entry:
    file: str
    line: int
    level: str
    data: dict[str, Any]

    @property
    def id(self) -> str:
        return str(self.data.get("id", "?"))

    def finding(self, says: str) -> Finding:
        return Finding(self.file, self.line, self.id, says)

    def labels(self) -> list[str]:
        label = [self.data["label"]] if "label" in self.data else []
        return [*label, *self.data.get("alt_labels", []), *self.data.get("forms", [])]

    def sound(self) -> "_Entry":
        """Leave out the fields whose value is of a wrong kind, which no further check could read."""
        return replace(self, data={k: v for k, v in self.data.items() if not _fault(k, v)})


def check(folder: str | Path | None = None) -> list[Finding]:
    """Check every TOML file of a lexicon.

    Parameters
    ----------
    folder : path, optional
        The shipped lexicon where none is given.

    Returns
    -------
    list of Finding
        Empty where all is well; else in the order of files and lines.
    """
    root = Path(folder) if folder is not None else shipped("lexicon")
    files = sorted(root.glob("*.toml"))
    if not files:
        return [Finding(root.name, 0, "-", "no .toml file here; a lexicon is a folder with one file a realm")]
    findings: list[Finding] = []
    entries: list[_Entry] = []
    for file in files:
        try:
            text = file.read_text(encoding="utf-8")
            data = tomllib.loads(text)
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
            line = re.search(r"line (\d+)", str(error))
            findings.append(Finding(file.name, int(line.group(1)) if line else 0, "-", f"not valid TOML: {error}"))
            continue
        findings += [Finding(file.name, 0, "-", says) for says in _tables(data)]
        entries += _entries(file.name, text, data)
    for entry in entries:
        findings += _kinds(entry)
    entries = [entry.sound() for entry in entries]
    for entry in entries:
        findings += _fields(entry)
        findings += map(entry.finding, _reference(entry.data))
    findings += _ids([entry for entry in entries if "id" in entry.data])
    findings += _surface(entries)
    findings += _masked(entries)
    return sorted(findings, key=lambda f: (f.file, f.line))


def _tables(data: dict[str, Any]) -> Iterator[str]:
    """Find what a file lacks, and what the lexicon would not read of it."""
    for name in sorted(set(data) - set(LEVELS)):
        yield f"unknown table {name!r}; a table is one of {', '.join(LEVELS)}"
    if not isinstance(data.get("realm"), dict):
        yield "the file needs one realm, under [realm]"
    for level in LEVELS[1:]:
        if not _all_are(dict, data.get(level, [])):
            yield f"each {level} stands under [[{level}]]"


def _all_are(kind: type, values: object) -> bool:
    return isinstance(values, list) and all(isinstance(value, kind) for value in values)


def _entries(file: str, text: str, data: dict[str, Any]) -> Iterator[_Entry]:
    """Pair each table with the line of its id."""
    lines = _lines_of_ids(text)
    for level in LEVELS:
        tables = data.get(level, [])
        for table in tables if isinstance(tables, list) else [tables]:
            if isinstance(table, dict):
                at = lines[str(table.get("id"))]
                yield _Entry(file, at.pop(0) if at else 0, level, table)


def _lines_of_ids(text: str) -> dict[str, list[int]]:
    """Give the lines where each id stands: TOML readers keep no line numbers."""
    lines: dict[str, list[int]] = defaultdict(list)
    for number, line in enumerate(text.split("\n"), 1):
        if re.match(r"""\s*["']?id["']?\s*=""", line):
            with suppress(tomllib.TOMLDecodeError):
                lines[str(tomllib.loads(line)["id"])].append(number)
    return lines


def _fault(name: str, value: object) -> str:
    """Say what is wrong with the kind of a field's value; nothing where it is right."""
    if name in ("id", "label", "definition", "scope_note"):
        return "" if isinstance(value, str) and value.strip() else "must be text, and not empty"
    if name in ("alt_labels", "forms", "allergens", "related"):
        return "" if _all_are(str, value) else "must be a list of texts"
    if name == "spoken":
        return "" if isinstance(value, bool) else "must be true or false"
    return ""


def _kinds(entry: _Entry) -> Iterator[Finding]:
    for name in ("id", "label", "definition"):
        if name not in entry.data:
            yield entry.finding(f"field {name!r} is missing")
    for name, value in entry.data.items():
        if fault := _fault(name, value):
            yield entry.finding(f"field {name!r} {fault}")


def _fields(entry: _Entry) -> Iterator[Finding]:
    for name in sorted(set(entry.data) - FIELDS[entry.level]):
        yield entry.finding(f"unknown field {name!r}")
    if entry.level == "family" and entry.data.get("sense") not in SENSES:
        yield entry.finding(f"field 'sense' must be one of {', '.join(SENSES)}")
    if entry.data.get("word_class", "noun") not in ("noun", "adjective"):
        yield entry.finding("field 'word_class' must be noun or adjective")
    if entry.level != "descriptor":
        return
    if "reference" not in entry.data:
        yield entry.finding(f"field 'reference' is missing; where no safe one exists write {NO_REFERENCE!r}")
    if "definition" in entry.data and len(entry.data["definition"].split()) < SHORTEST_DEFINITION:
        yield entry.finding(f"the definition has fewer than {SHORTEST_DEFINITION} words; say what sets it apart")


def _reference(data: dict[str, Any]) -> Iterator[str]:
    """Find what is wrong with an entry's reference and its allergens."""
    declared = data.get("allergens", [])
    for name in declared:
        if name not in ALLERGENS:
            yield f"allergen {name!r} is none of: {', '.join(ALLERGENS)}"
    reference = data.get("reference", NO_REFERENCE)
    if not isinstance(reference, dict):
        if reference != NO_REFERENCE:
            yield f"a reference is a table, or the sentence {NO_REFERENCE!r}"
        return
    faults = list(_parts(reference))
    yield from faults or (*_dangers(reference), *_undeclared(_said(reference), declared))


def _parts(reference: dict[str, Any]) -> Iterator[str]:
    for name in sorted(set(reference) - set(PARTS)):
        yield f"unknown field {name!r} of the reference"
    for name in PARTS:
        if name not in reference:
            yield f"the reference lacks {name!r}"
        elif not isinstance(reference[name], str) or not reference[name].strip():
            yield f"the reference's {name!r} must be text, and not empty"
        elif name == "use" and reference[name] not in USES:
            yield f"the reference's use must be one of {', '.join(USES)}"
        elif name == "amount" and not _AMOUNT.search(reference[name]):
            yield f"the reference's amount {reference[name]!r} lacks a quantity or a unit"


def _said(reference: dict[str, str]) -> str:
    return re.sub(r"\bcaffeine-free\b", "", f"{reference['what']}, {reference['present']}")


def _dangers(reference: dict[str, str]) -> Iterator[str]:
    said = _said(reference)
    for pattern, why in UNSAFE[reference["use"]]:
        if re.search(pattern, said, re.IGNORECASE):
            yield f"unsafe reference: {why}"
    if reference["use"] == "smell" and _POWDER.search(reference["what"]) and not _BOUND.search(said):
        yield "unsafe reference: a loose powder is not smelled close; stir it into something or keep it shut"


def _undeclared(said: str, declared: list[str]) -> Iterator[str]:
    for allergen, (words, but) in ALLERGEN_WORDS.items():
        harmless = rf"\b({but}|{_WITHOUT})\b" if but else rf"\b({_WITHOUT})\b"
        bare = re.sub(harmless, " ", said, flags=re.IGNORECASE)
        found = re.search(rf"\b({words})\b", bare, re.IGNORECASE)
        if found and allergen not in declared:
            yield f"the reference names {found.group(0)!r} but allergens lack {allergen!r}"


def _ids(entries: list[_Entry]) -> Iterator[Finding]:
    seen: dict[str, _Entry] = {}
    known = {entry.id for entry in entries}
    for entry in entries:
        if not re.fullmatch("/".join([_SLUG] * _DEPTH[entry.level]), entry.id):
            yield entry.finding(f"the id of a {entry.level} is {_DEPTH[entry.level]} slug(s) joined by '/'")
        if entry.id in seen:
            yield entry.finding(f"the id stands already at {seen[entry.id].file}:{seen[entry.id].line}")
        seen[entry.id] = entry
        parent = entry.id.rpartition("/")[0]
        if entry.level in ("group", "descriptor") and parent not in known:
            yield entry.finding(f"its parent {parent!r} is nowhere")
        for other in entry.data.get("related", []):
            if other not in known:
                yield entry.finding(f"related to {other!r}, which is nowhere")


def _surface(entries: list[_Entry]) -> Iterator[Finding]:
    owner: dict[str, _Entry] = {}
    for entry in entries:
        if entry.data.get("spoken") is False:
            continue
        mine: set[str] = set()
        for label in entry.labels():
            form = next(derive(label)).strip()
            if not form:
                yield entry.finding("an empty label or form")
            elif form in mine:
                yield entry.finding(f"{label!r} is listed twice")
            elif form in owner:
                other = owner[form]
                yield entry.finding(f"ambiguous: {label!r} names {other.id} too ({other.file}:{other.line})")
            else:
                owner[form] = entry
            mine.add(form)


def _masked(entries: list[_Entry]) -> Iterator[Finding]:
    """Find definitions and references that are one sentence with another word put in."""
    seen: dict[tuple[str, str], _Entry] = {}
    for entry in entries:
        reference = entry.data.get("reference")
        texts = {"definition": entry.data.get("definition", "")}
        if isinstance(reference, dict):
            texts["reference"] = " | ".join(str(reference.get(part, "")) for part in PARTS)
        for kind, text in texts.items():
            mask = _mask(text, entry.labels())
            if not mask.strip(" .|"):
                continue
            other = seen.setdefault((kind, mask), entry)
            if other is not entry:
                yield entry.finding(
                    f"the {kind} is that of {other.id} with another word put in ({other.file}:{other.line})"
                )


def _mask(text: str, labels: list[str]) -> str:
    words = " ".join(re.split(r"[\s\-]+", fold(text)))
    for label in sorted(labels, key=len, reverse=True):
        for form in sorted(derive(label), key=len, reverse=True):
            words = re.sub(rf"\b{re.escape(form)}\b", "…", words)
    return words
