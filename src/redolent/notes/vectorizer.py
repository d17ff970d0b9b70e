"""Notes as features for scikit-learn: how often each place of the lexicon is mentioned."""

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from sklearn.base import BaseEstimator, TransformerMixin
from sklearn.utils import Tags
from sklearn.utils.validation import check_is_fitted

from redolent.lexicon import LEVELS, Level, Lexicon
from redolent.notes.many import list_texts
from redolent.notes.match import Personal
from redolent.notes.reader import read


class LexiconVectorizer(TransformerMixin, BaseEstimator):
    """Turn notes into sparse counts over the nodes of a lexicon.

    The columns come from the lexicon and `fit` learns nothing from the notes, so that the matrices of any two
    samples fit each other.

    Parameters
    ----------
    level : {"realm", "family", "group", "descriptor"}, optional
        Count at this level: a narrower mention counts at the node above it, a broader one ("fruity", where
        the level is "group") has no column. By default every node is a column, and a mention counts where it
        stands.
    ancestors : bool, default=False
        Count each mention at the nodes above as well; these are columns too, so that broad mentions count.
    denied : bool, default=False
        Count what a note denies ("no smoke") like what it asserts.
    hedged : bool, default=True
        Count what a note doubts ("maybe clove").
    lexicon : Lexicon, optional
        The one that ships with the package where none is given.
    personal : mapping or sequence of (str, str), optional
        A taster's own words and the ids of the nodes where that taster placed them.

    Attributes
    ----------
    lexicon_ : Lexicon
        The lexicon the notes are read with.
    vocabulary_ : dict of str to int
        The columns by node id, in the order of the lexicon.

    >>> vectorizer = LexiconVectorizer(level="family")
    >>> counts = vectorizer.fit_transform(["plum and quince, no smoke", "smoky"])
    >>> families = vectorizer.get_feature_names_out().tolist()
    >>> counts[:, [families.index("orchard"), families.index("hearth")]].toarray().tolist()
    [[2, 0], [0, 1]]
    """

    def __init__(
        self,
        *,
        level: Level | None = None,
        ancestors: bool = False,
        denied: bool = False,
        hedged: bool = True,
        lexicon: Lexicon | None = None,
        personal: Personal = (),
    ) -> None:
        self.level = level
        self.ancestors = ancestors
        self.denied = denied
        self.hedged = hedged
        self.lexicon = lexicon
        self.personal = personal

    def fit(self, X: Iterable[str], y: Any = None) -> "LexiconVectorizer":
        """Take the columns from the lexicon.

        Parameters
        ----------
        X : list, array or Series of str
            Checked to be notes; nothing else is done with them.
        y : ignored

        Raises
        ------
        ValueError
            Where a note is missing or no text, the level is unknown, or a personal word is placed nowhere.
        """
        list_texts(X)
        if self.level is not None and self.level not in LEVELS:
            raise ValueError(f"level is {self.level!r}; give None or one of {', '.join(LEVELS)}.")
        lexicon = Lexicon.load() if self.lexicon is None else self.lexicon
        personal = tuple(self.personal.items() if isinstance(self.personal, Mapping) else self.personal)
        for word, node in personal:
            if node not in lexicon:
                raise ValueError(f"The personal word {word!r} is placed at {node!r}, which the lexicon does not hold.")
        self.lexicon_ = lexicon
        self.vocabulary_ = {node: i for i, node in enumerate(_columns(lexicon, self.level, self.ancestors))}
        self._personal = personal
        self._counted_at = {node: _counted_at(node, lexicon, self.vocabulary_, self.ancestors) for node in lexicon}
        return self

    def transform(self, X: Iterable[str]) -> csr_matrix:
        """Count the mentions of each note.

        Parameters
        ----------
        X : list, array or Series of str

        Returns
        -------
        csr_matrix of int64, shape (notes, columns)
            In the order of the notes; an empty note is a row of zeros.

        Raises
        ------
        NotFittedError
            Before `fit`.
        ValueError
            Where a note is missing or no text.
        """
        check_is_fitted(self)
        indptr, indices, data = [0], [], []
        for text in list_texts(X):
            counts = self._count(text)
            for column in sorted(counts):
                indices.append(column)
                data.append(counts[column])
            indptr.append(len(indices))
        shape = (len(indptr) - 1, len(self.vocabulary_))
        return csr_matrix((np.array(data, np.int64), np.array(indices, np.int32), indptr), shape=shape)

    def fit_transform(self, X: Iterable[str], y: Any = None) -> csr_matrix:
        """Do `fit` and `transform`, going through `X` once."""
        texts = list_texts(X)
        return self.fit(texts).transform(texts)

    def get_feature_names_out(self, input_features: Any = None) -> NDArray[np.object_]:
        """Give the ids of the nodes that the columns stand for.

        Parameters
        ----------
        input_features : ignored

        Returns
        -------
        ndarray of str objects, shape (columns,)
        """
        check_is_fitted(self)
        return np.array(list(self.vocabulary_), dtype=object)

    def __sklearn_tags__(self) -> Tags:
        tags = super().__sklearn_tags__()
        tags.input_tags.string = True
        tags.input_tags.one_d_array = True
        tags.input_tags.two_d_array = False
        return tags

    def _count(self, text: str) -> Counter[int]:
        mentions = read(text, lexicon=self.lexicon_, personal=self._personal).mentions
        return Counter(
            column
            for m in mentions
            if (m.present or self.denied) and (self.hedged or not m.hedged)
            for column in self._counted_at[m.node]
        )


def _columns(lexicon: Lexicon, level: Level | None, ancestors: bool) -> list[str]:
    if level is None:
        return list(lexicon)
    levels = LEVELS[: LEVELS.index(level) + 1] if ancestors else (level,)
    return [node.id for node in lexicon.values() if node.level in levels]


def _counted_at(node: str, lexicon: Lexicon, columns: Mapping[str, int], ancestors: bool) -> tuple[int, ...]:
    chain = [*(above.id for above in lexicon.ancestors(node)), node]
    counted = tuple(columns[place] for place in chain if place in columns)
    return counted if ancestors else counted[-1:]
