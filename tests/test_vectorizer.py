"""The lexicon as a scikit-learn transformer: what it counts, and that it behaves as the library expects."""

import copy
import pickle

import numpy as np
import pandas as pd
import pytest
from scipy.sparse import issparse
from sklearn.base import clone
from sklearn.compose import ColumnTransformer
from sklearn.exceptions import NotFittedError
from sklearn.linear_model import LogisticRegression
from sklearn.model_selection import GridSearchCV
from sklearn.pipeline import FeatureUnion, Pipeline
from sklearn.utils import get_tags

from redolent.lexicon import LEVELS, Lexicon
from redolent.notes.vectorizer import LexiconVectorizer

NOTES = ["plum and quince, no smoke", "", "smoky, maybe clove", "fruity", "quince, more quince"]
QUINCE, PLUM = "orchard/pome/quince", "orchard/stone/plum"


@pytest.fixture(scope="module")
def lexicon():
    return Lexicon.load()


def counted(vectorizer, note):
    """Give the nodes counted in a note, by id."""
    row = vectorizer.fit_transform([note])
    names = vectorizer.get_feature_names_out()
    return {str(names[column]): int(row[0, column]) for column in row.indices}


# ---------------------------------------------------------------- what is counted


def test_counts_where_a_mention_stands():
    assert counted(LexiconVectorizer(), "quince, plum, more quince; fruity") == {
        QUINCE: 2,
        PLUM: 1,
        "fruit": 1,
    }


@pytest.mark.parametrize(
    ("level", "expected"),
    [
        ("realm", {"fruit": 4}),
        ("family", {"orchard": 3}),
        ("group", {"orchard/pome": 2, "orchard/stone": 1}),
        ("descriptor", {QUINCE: 2, PLUM: 1}),
    ],
)
def test_counts_at_a_level(level, expected):
    assert counted(LexiconVectorizer(level=level), "quince, plum, more quince; fruity") == expected


def test_ancestors_are_counted_on_request():
    by_group = LexiconVectorizer(level="group", ancestors=True)
    assert counted(by_group, "quince, plum; fruity") == {
        "fruit": 3, "orchard": 2, "orchard/pome": 1, "orchard/stone": 1,
    }  # fmt: skip
    everywhere = LexiconVectorizer(ancestors=True)
    assert counted(everywhere, "quince") == {"fruit": 1, "orchard": 1, "orchard/pome": 1, QUINCE: 1}


def test_denied_mentions_are_in_or_out():
    assert counted(LexiconVectorizer(), "no quince, plum") == {PLUM: 1}
    assert counted(LexiconVectorizer(denied=True), "no quince, plum") == {QUINCE: 1, PLUM: 1}


def test_hedged_mentions_are_in_or_out():
    assert counted(LexiconVectorizer(), "plum. maybe quince") == {QUINCE: 1, PLUM: 1}
    assert counted(LexiconVectorizer(hedged=False), "plum. maybe quince") == {PLUM: 1}


def test_personal_words_are_counted():
    note = "aunt's jar"
    assert counted(LexiconVectorizer(), note) == {}
    for personal in ({"aunt's jar": QUINCE}, [("aunt's jar", QUINCE)]):
        assert counted(LexiconVectorizer(personal=personal), note) == {QUINCE: 1}


def test_another_lexicon(lexicon):
    small = Lexicon(
        [node for node in lexicon.values() if node.id == "fruit" or lexicon.up_to(node.id, "realm") == "fruit"]
    )
    vectorizer = LexiconVectorizer(lexicon=small)
    assert counted(vectorizer, "plum, smoke, old leather") == {PLUM: 1}
    assert vectorizer.get_feature_names_out().tolist() == list(small)
    assert clone(vectorizer).fit(NOTES).get_feature_names_out().tolist() == list(small)


# ---------------------------------------------------------------- as scikit-learn expects


def test_lists_arrays_and_series_agree():
    expected = LexiconVectorizer().fit_transform(NOTES).toarray()
    assert expected.sum() == 7
    for given in (
        tuple(NOTES),
        iter(NOTES),
        np.array(NOTES),
        np.array(NOTES, dtype=object),
        pd.Series(NOTES, index=[9, 3, 3, 1, 0]),
        pd.Series(NOTES, dtype=object),
        pd.Series(NOTES, dtype="string"),
        pd.Series(NOTES, dtype="category"),
        pd.Index(NOTES),
    ):
        np.testing.assert_array_equal(LexiconVectorizer().fit_transform(given).toarray(), expected)


def test_sparse_csr():
    counts = LexiconVectorizer().fit_transform(NOTES)
    assert issparse(counts)
    assert counts.format == "csr"
    assert counts.dtype == np.int64
    assert counts.has_canonical_format  # sorted, without duplicates
    assert counts.data.min() > 0
    assert counts.shape == (5, len(LexiconVectorizer().fit(NOTES).vocabulary_))


def test_empty_note_is_a_row_of_zeros():
    counts = LexiconVectorizer(ancestors=True).fit_transform(["", "quince", "  \n", "the third cup"])
    assert counts.getnnz(axis=1).tolist() == [0, 4, 0, 0]


def test_no_notes():
    vectorizer = LexiconVectorizer(level="family").fit([])
    assert vectorizer.transform([]).shape == (0, len(vectorizer.vocabulary_))


@pytest.mark.parametrize("level", [None, *LEVELS])
@pytest.mark.parametrize("ancestors", [False, True])
def test_names_match_columns(level, ancestors, lexicon):
    vectorizer = LexiconVectorizer(level=level, ancestors=ancestors)
    counts = vectorizer.fit_transform(NOTES)
    names = vectorizer.get_feature_names_out()
    assert names.dtype == object
    assert all(type(name) is str for name in names)
    assert len(names) == len(set(names)) == counts.shape[1]
    assert {name: i for i, name in enumerate(names)} == vectorizer.vocabulary_
    at = {lexicon[name].level for name in names}
    deepest = level or "descriptor"
    assert at == (set(LEVELS[: LEVELS.index(deepest) + 1]) if ancestors or level is None else {level})
    row = vectorizer.transform(["quince"])
    assert names[row.indices[-1]] == lexicon.up_to(QUINCE, deepest)


def test_names_before_and_after_other_notes_are_the_same():
    first = LexiconVectorizer().fit(["quince"]).get_feature_names_out()
    np.testing.assert_array_equal(LexiconVectorizer().fit(["smoke"]).get_feature_names_out(), first)


def test_clone():
    personal = {"aunt's jar": QUINCE}
    vectorizer = LexiconVectorizer(level="group", denied=True, personal=personal).fit(NOTES)
    copied = clone(vectorizer)
    assert copied is not vectorizer
    assert copied.get_params() == vectorizer.get_params()
    assert not hasattr(copied, "vocabulary_")


def test_params():
    vectorizer = LexiconVectorizer()
    assert vectorizer.get_params() == {
        "level": None, "ancestors": False, "denied": False, "hedged": True, "lexicon": None, "personal": (),
    }  # fmt: skip
    assert vectorizer.set_params(level="family", ancestors=True) is vectorizer
    assert counted(vectorizer, "quince") == {"fruit": 1, "orchard": 1}
    with pytest.raises(ValueError, match="Invalid parameter 'depth'"):
        vectorizer.set_params(depth=2)
    assert repr(vectorizer) == "LexiconVectorizer(ancestors=True, level='family')"


def test_unfitted_error():
    for call in (lambda v: v.transform(NOTES), lambda v: v.get_feature_names_out()):
        with pytest.raises(NotFittedError, match="LexiconVectorizer instance is not fitted yet"):
            call(LexiconVectorizer())


def test_input_is_not_mutated():
    for given in (list(NOTES), np.array(NOTES, dtype=object), pd.Series(NOTES, index=list("abcde"))):
        before = copy.deepcopy(given)
        LexiconVectorizer().fit(given).transform(given)
        if isinstance(given, pd.Series):
            pd.testing.assert_series_equal(given, before)
        else:
            np.testing.assert_array_equal(given, before)
    personal = {"aunt's jar": QUINCE}
    vectorizer = LexiconVectorizer(personal=personal).fit(NOTES)
    assert vectorizer.personal is personal
    assert personal == {"aunt's jar": QUINCE}


def test_refit():
    vectorizer = LexiconVectorizer(level="realm").fit(NOTES)
    assert "orchard" not in vectorizer.vocabulary_
    again = vectorizer.set_params(level="family").fit(["quite other notes"])
    assert again is vectorizer
    expected = LexiconVectorizer(level="family").fit(NOTES)
    assert again.vocabulary_ == expected.vocabulary_
    np.testing.assert_array_equal(again.transform(NOTES).toarray(), expected.transform(NOTES).toarray())


def test_parameters_bite_at_fit_only():
    vectorizer = LexiconVectorizer().fit(NOTES)
    vectorizer.set_params(level="realm")
    assert vectorizer.transform(NOTES).shape[1] == len(vectorizer.get_feature_names_out()) > 100


def test_pickle():
    vectorizer = LexiconVectorizer(level="group", personal={"aunt's jar": QUINCE}).fit(NOTES)
    notes = [*NOTES, "aunt's jar"]
    loaded = pickle.loads(pickle.dumps(vectorizer))
    np.testing.assert_array_equal(loaded.transform(notes).toarray(), vectorizer.transform(notes).toarray())
    np.testing.assert_array_equal(loaded.get_feature_names_out(), vectorizer.get_feature_names_out())
    with pytest.raises(NotFittedError):
        pickle.loads(pickle.dumps(LexiconVectorizer())).transform(NOTES)


def test_tags_say_text():
    tags = get_tags(LexiconVectorizer())
    assert tags.input_tags.string
    assert not tags.input_tags.two_d_array
    assert tags.requires_fit
    assert not tags.target_tags.required


FRUIT = ["quince", "plum, plum", "ripe pear", "cherry", "apricot", "peach"]
FIRE = ["smoke", "smoky", "ash", "charred", "campfire", "burnt"]


def test_pipeline():
    model = Pipeline([("count", LexiconVectorizer(level="realm")), ("guess", LogisticRegression())])
    model.fit(FRUIT[:4] + FIRE[:4], ["a"] * 4 + ["b"] * 4)
    # No word of these stood in the notes learned from: only the realm tells.
    assert model.predict(["apricot and peach", "campfire"]).tolist() == ["a", "b"]
    assert set(model[:-1].get_feature_names_out()) >= {"fruit", "fire-and-cellar"}


def test_grid_search_cv():
    model = Pipeline([("count", LexiconVectorizer()), ("guess", LogisticRegression())])
    grid = {"count__level": ["descriptor", "realm"], "count__ancestors": [False, True]}
    search = GridSearchCV(model, grid, cv=3, error_score="raise")
    search.fit(pd.Series(FRUIT + FIRE), np.repeat(["a", "b"], 6))
    scores = dict(zip(map(str, search.cv_results_["params"]), search.cv_results_["mean_test_score"], strict=True))
    assert len(scores) == 4
    # Each word is written once, so that descriptors alone cannot tell held-out notes apart and realms can.
    assert scores["{'count__ancestors': False, 'count__level': 'realm'}"] == 1.0
    assert scores["{'count__ancestors': False, 'count__level': 'descriptor'}"] < 0.8


def test_in_a_column_transformer_and_a_union():
    frame = pd.DataFrame({"note": NOTES, "score": range(5)})
    columns = ColumnTransformer(
        [("note", LexiconVectorizer(level="realm"), "note"), ("keep", "passthrough", ["score"])]
    )
    out = columns.fit_transform(frame)
    assert out.shape == (5, len(columns.named_transformers_["note"].vocabulary_) + 1)
    assert "note__fruit" in columns.get_feature_names_out()
    union = FeatureUnion([("said", LexiconVectorizer()), ("all", LexiconVectorizer(denied=True))])
    assert union.fit_transform(NOTES).sum() == 7 + 8


# ---------------------------------------------------------------- what is refused


@pytest.mark.parametrize("missing", [None, float("nan"), np.nan, pd.NA, pd.NaT, 3, b"plum"])
def test_what_is_no_text_is_refused(missing):
    said = r"Note 1, counted from 0, is .+ and not text; leave it out"
    for notes in (["plum", missing], pd.Series(["plum", missing], dtype=object)):
        with pytest.raises(ValueError, match=said):
            LexiconVectorizer().fit(notes)
        with pytest.raises(ValueError, match=said):
            LexiconVectorizer().fit(NOTES).transform(notes)


def test_missing_in_a_series_of_strings_is_refused():
    for dtype in (None, "string", "category"):
        with pytest.raises(ValueError, match="Note 1, counted from 0"):
            LexiconVectorizer().fit_transform(pd.Series(["plum", None], dtype=dtype))


def test_what_is_no_column_of_notes_is_refused():
    for notes in ("plum", b"plum", {"a": "plum"}, None, 4):
        with pytest.raises(ValueError, match=f"of type {type(notes).__name__}; give a list, array or Series"):
            LexiconVectorizer().fit(notes)
    for notes in (np.array([NOTES]), pd.DataFrame({"note": NOTES})):
        with pytest.raises(ValueError, match="2 dimensions; give the one column"):
            LexiconVectorizer().fit(notes)


def test_wrong_parameters_are_refused_at_fit():
    with pytest.raises(ValueError, match="level is 'clan'; give None or one of realm, family, group, descriptor"):
        LexiconVectorizer(level="clan").fit(NOTES)
    with pytest.raises(ValueError, match=r"aunt's jar.* is placed at 'attic', which the lexicon does not hold"):
        LexiconVectorizer(personal={"aunt's jar": "attic"}).fit(NOTES)
