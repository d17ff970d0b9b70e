"""The sheets of a set of jars: files that the kernel writes and no widget carries."""

from pathlib import Path

from redolent.blind import Seal
from redolent.lexicon import Lexicon
from redolent.practice import Household, JarSet, key_page, label_page, shopping_page

FILES = {"shopping": "jars, what to buy.html", "labels": "jars, labels.html", "key": "jars, key.html"}


def write_jar_sheets(jars: JarSet, sealed: Seal, household: Household, lexicon: Lexicon, folder: Path) -> None:
    """Write what to buy, the labels and the key into a folder."""
    pages = {
        "shopping": shopping_page(jars, household, lexicon),
        "labels": label_page(jars, sealed.commitment),
        "key": key_page(jars, sealed, lexicon),
    }
    for name, page in pages.items():
        (folder / FILES[name]).write_text(page, encoding="utf-8")
