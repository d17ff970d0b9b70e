"""The tree itself: loaded from TOML, walked, searched, and turned into surface forms."""

import hashlib
import tomllib
from collections.abc import Iterator, Mapping
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

from redolent.lexicon.forms import derive, fold
from redolent.lexicon.node import LEVELS, Level, Node, Reference
from redolent.shipped import shipped


class Lexicon(Mapping[str, Node]):
    """A mapping from node id to `Node`, in the order of the files.

    Parameters
    ----------
    nodes : iterable of Node
        Parents before their children.
    fingerprint : str
        A hash of the content the nodes came from; readings are cached under it.
    """

    def __init__(self, nodes: Iterator[Node] | list[Node], fingerprint: str = "") -> None:
        self._nodes = {node.id: node for node in nodes}
        self._children: dict[str | None, list[str]] = {}
        for node in self._nodes.values():
            self._children.setdefault(node.parent, []).append(node.id)
        self.fingerprint = fingerprint

    @classmethod
    def load(cls, folder: str | Path | None = None) -> "Lexicon":
        """Load the lexicon that ships with the package, or the one in `folder`.

        Raises
        ------
        FileNotFoundError
            Where `folder` holds no TOML file.
        ValueError
            Where a file is not TOML or an entry lacks its id or label; the message names the file.
        """
        return _load(Path(folder).resolve() if folder is not None else shipped("lexicon"))

    def __getitem__(self, node_id: str) -> Node:
        return self._nodes[node_id]

    def __hash__(self) -> int:
        return id(self)

    def __eq__(self, other: object) -> bool:
        return self is other

    def __iter__(self) -> Iterator[str]:
        return iter(self._nodes)

    def __len__(self) -> int:
        return len(self._nodes)

    def children(self, node_id: str | None = None) -> list[Node]:
        """Give the nodes right under `node_id`; the realms where it is None."""
        return [self._nodes[i] for i in self._children.get(node_id, [])]

    def ancestors(self, node_id: str) -> list[Node]:
        """Give the nodes from the realm down to the parent of `node_id`."""
        chain: list[Node] = []
        parent = self._nodes[node_id].parent
        while parent is not None:
            chain.append(self._nodes[parent])
            parent = chain[-1].parent
        return chain[::-1]

    def at(self, level: Level) -> list[Node]:
        """Give all nodes of one level."""
        return [node for node in self._nodes.values() if node.level == level]

    def place(self, node_id: str) -> str:
        """Say where a node stands, in words: ``fruit › orchard › pome fruit › quince``."""
        return " › ".join(node.label for node in (*self.ancestors(node_id), self._nodes[node_id]))

    def up_to(self, node_id: str, level: Level) -> str:
        """Give the id of the ancestor at `level`, or `node_id` itself where it stands at or above it."""
        for node in self.ancestors(node_id):
            if node.level == level:
                return node.id
        return node_id

    @cached_property
    def form_index(self) -> dict[str, str]:
        """Every surface form, folded, with its words separated by one space, and the id of its node.

        A written label, alternative or irregular form beats a derived one; of two derived ones the broader
        node wins.
        """
        index = dict(self.written_index)
        for level in LEVELS:
            for node in self.at(level):
                for label in node.labels if node.spoken else ():
                    for form in derive(label, node.word_class):
                        index.setdefault(form, node.id)
        return index

    @cached_property
    def written_index(self) -> dict[str, str]:
        """The part of `form_index` that entries spell out: labels, alternatives and irregular forms."""
        index: dict[str, str] = {}
        for node in self._nodes.values():
            for label in node.labels if node.spoken else ():
                index.setdefault(next(derive(label)), node.id)
        return index

    def surface_forms(self) -> list[str]:
        """Give every surface form as text: labels and alternatives as written, then the derived ones."""
        written = {label: None for node in self._nodes.values() if node.spoken for label in node.labels}
        return list(written | dict.fromkeys(self.form_index))

    def find(self, word: str) -> Node | None:
        """Give the node that `word` names, in any of its forms, or None."""
        node_id = self.form_index.get(" ".join(fold(word).replace("-", " ").split()))
        return self._nodes[node_id] if node_id else None

    def search(self, words: str) -> list[Node]:
        """Give the nodes whose labels or definition hold all of `words`, narrowest label match first."""
        wanted = fold(words).split()
        hits = []
        for node in self._nodes.values():
            labels, text = fold(" ".join(node.labels)), fold(node.definition)
            if wanted and all(w in labels or w in text for w in wanted):
                hits.append((not all(w in labels for w in wanted), len(labels), node))
        return [node for *_, node in sorted(hits, key=lambda hit: hit[:2])]


@lru_cache(maxsize=4)
def _load(folder: Path) -> Lexicon:
    files = sorted(folder.glob("*.toml"))
    if not files:
        raise FileNotFoundError(f"No lexicon in {folder}: a lexicon is a folder with one .toml file a realm.")
    nodes: list[Node] = []
    digest = hashlib.sha256()
    for file in files:
        raw = file.read_bytes()
        digest.update(raw)
        try:
            nodes.extend(_nodes(tomllib.loads(raw.decode("utf-8"))))
        except (tomllib.TOMLDecodeError, UnicodeDecodeError, AttributeError, KeyError, TypeError) as error:
            raise ValueError(f"{file.name} cannot be read ({error}); `redolent lexicon check` says more.") from error
    return Lexicon(nodes, digest.hexdigest()[:16])


def _nodes(data: dict[str, Any]) -> Iterator[Node]:
    realm = data["realm"]
    yield _node(realm, "realm", None, None)
    senses = {}
    for family in data.get("family", []):
        senses[family["id"]] = family["sense"]
        yield _node(family, "family", realm["id"], family["sense"])
    for level in LEVELS[2:]:
        for entry in data.get(level, []):
            parent = entry["id"].rpartition("/")[0]
            yield _node(entry, level, parent, senses.get(parent.split("/")[0]))


def _node(entry: dict[str, Any], level: Level, parent: str | None, sense: Any) -> Node:
    if not (isinstance(entry["id"], str) and isinstance(entry["label"], str)):
        raise TypeError("an id or a label is no text")
    reference = entry.get("reference")
    return Node(
        id=entry["id"],
        level=level,
        label=entry["label"],
        parent=parent,
        sense=sense,
        definition=entry.get("definition", ""),
        alt_labels=tuple(entry.get("alt_labels", ())),
        forms=tuple(entry.get("forms", ())),
        word_class=entry.get("word_class", "noun"),
        reference=Reference(**reference) if isinstance(reference, dict) else None,
        allergens=tuple(entry.get("allergens", ())),
        scope_note=entry.get("scope_note", ""),
        related=tuple(entry.get("related", ())),
        spoken=entry.get("spoken", True),
    )
