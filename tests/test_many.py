"""Many notes into one frame: the same rows whoever reads them."""

import os
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor

import numpy as np
import pandas as pd
import pytest

from redolent.lexicon import Lexicon
from redolent.notes import many, read
from redolent.notes.many import infer_meta, read_many

COLUMNS = ["note", "start", "end", "text", "node", "present", "strength", "hedged", "how"]
NOTES = ["plum and a hint of quince", "", "No smoke. Maybe quinces", "☕ intense plum", "nothing to say"]
QUINCE, PLUM, SMOKE = "orchard/pome/quince", "orchard/stone/plum", "hearth/smoke"
EXPECTED = [
    (0, 0, 4, "plum", PLUM, True, None, False, "exact"),
    (0, 19, 25, "quince", QUINCE, True, "slight", False, "exact"),
    (2, 3, 8, "smoke", SMOKE, False, None, False, "exact"),
    (2, 16, 23, "quinces", QUINCE, True, None, True, "form"),
    (3, 10, 14, "plum", PLUM, True, "strong", False, "exact"),
]


def rows(frame):
    return list(frame.astype(object).where(frame.notna(), None).itertuples(index=False, name=None))


def corpus(n):
    """Invent notes of several lengths, empty ones among them."""
    words = ["plum", "no smoke", "maybe quince", "very sour", "apricots", "cup 4", "smoky, not ashy"]
    rng = np.random.default_rng(7)
    return [", ".join(rng.choice(words, size)) for size in rng.integers(0, 9, n)]


def test_a_row_a_mention():
    frame = read_many(NOTES)
    assert list(frame.columns) == COLUMNS
    assert rows(frame) == EXPECTED
    assert frame.index.equals(pd.RangeIndex(5))


def test_rows_are_the_mentions_of_read():
    notes = corpus(60)
    expected = [
        (i, m.start, m.end, m.text, m.node, m.present, m.strength, m.hedged, m.how)
        for i, note in enumerate(notes)
        for m in read(note).mentions
    ]
    assert len(expected) > 100
    assert rows(read_many(notes)) == expected


@pytest.mark.parametrize("notes", [NOTES, [], [""], ["plum"]])
def test_types_do_not_depend_on_what_is_found(notes):
    written = pd.Series(["plum"]).dtype
    types = read_many(notes).dtypes
    assert types[["note", "start", "end"]].eq("int64").all()
    assert types[["present", "hedged"]].eq("bool").all()
    assert types[["text", "node", "strength", "how"]].eq(written).all()


def test_any_iterable():
    for given in (tuple(NOTES), iter(NOTES), (note for note in NOTES), np.array(NOTES), pd.Index(NOTES)):
        assert rows(read_many(given)) == EXPECTED


@pytest.mark.parametrize(
    "index",
    [
        pd.Index([10, 11, 12, 13, 14]),
        pd.Index(list("vwxyz")),
        pd.Index(["a", "b", "b", "a", "a"]),
        pd.date_range("2031-05-04", periods=5, tz="Asia/Kathmandu"),
        pd.MultiIndex.from_product([["one"], range(5)]),
    ],
)
def test_series_give_their_labels(index):
    frame = read_many(pd.Series(NOTES, index=index))
    assert list(frame["note"]) == [index[row[0]] for row in EXPECTED]
    assert rows(frame.drop(columns="note")) == [row[1:] for row in EXPECTED]


def test_labels_join_the_mentions_to_their_notes():
    notes = pd.DataFrame({"text": NOTES, "cup": [1, 1, 2, 2, 3]}, index=list("abcde"))
    joined = read_many(notes["text"]).merge(notes, left_on="note", right_index=True, suffixes=("", "_of_note"))
    assert joined["cup"].tolist() == [1, 1, 2, 2, 2]
    for row in joined.itertuples():
        assert row.text_of_note[row.start : row.end] == row.text


def test_input_is_not_mutated():
    notes = pd.Series(NOTES, index=list("abcde"))
    before = notes.copy(deep=True)
    read_many(notes)
    pd.testing.assert_series_equal(notes, before)


@pytest.mark.parametrize("jobs", [2, 3, -1])
@pytest.mark.parametrize("n", [0, 1, 3, 157])
def test_jobs_change_nothing(jobs, n):
    notes = pd.Series(corpus(n), index=pd.RangeIndex(1000, 1000 + n))
    pd.testing.assert_frame_equal(read_many(notes, jobs=jobs), read_many(notes))


def test_jobs_share_lexicon_and_personal_words():
    lexicon = Lexicon.load()
    fruit = Lexicon([node for node in lexicon.values() if lexicon.up_to(node.id, "realm") == "fruit"])
    notes = ["aunt's jar", "smoke and plum"] * 6
    for personal in ({"aunt's jar": QUINCE}, iter([("aunt's jar", QUINCE)])):
        frame = read_many(notes, lexicon=fruit, personal=personal, jobs=2)
        assert frame["node"].tolist() == [QUINCE, PLUM] * 6
        assert frame["note"].tolist() == list(range(12))


def test_how_many_processes_read(monkeypatch):
    started = []

    class Watched(ProcessPoolExecutor):
        def __init__(self, workers):
            started.append(workers)
            super().__init__(workers)

    monkeypatch.setattr(many, "ProcessPoolExecutor", Watched)
    if hasattr(os, "sched_getaffinity"):
        monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0, 1, 2})
    else:
        monkeypatch.setattr(os, "cpu_count", lambda: 3)
    for jobs, expected in [(1, []), (2, [2]), (-1, [3]), (50, [9])]:
        started.clear()
        read_many(["plum"] * 9, jobs=jobs)
        assert started == expected


def test_jobs_where_processes_are_spawned(tmp_path):
    # As on macOS and Windows, where a worker inherits nothing.
    script = tmp_path / "script.py"
    script.write_text(
        "import multiprocessing\n"
        "from redolent.notes.many import read_many\n"
        "if __name__ == '__main__':\n"
        "    multiprocessing.set_start_method('spawn')\n"
        "    frame = read_many(['plum', 'wibble', 'my jar'], personal={'my jar': 'fruit'}, jobs=2)\n"
        "    print(frame[['note', 'node']].values.tolist())\n"
    )
    done = subprocess.run([sys.executable, script], capture_output=True, text=True, timeout=120, check=True)
    assert done.stdout.strip() == "[[0, 'orchard/stone/plum'], [2, 'fruit']]"


@pytest.mark.parametrize("jobs", [0, -2, 1.5, "2", None, True])
def test_wrong_jobs_are_refused(jobs):
    with pytest.raises(ValueError, match=r"jobs is .+; give 1 or more processes, or -1 for all cores"):
        read_many(NOTES, jobs=jobs)


@pytest.mark.parametrize("missing", [None, float("nan"), pd.NA, 7])
def test_missing_notes_are_refused(missing):
    for notes in (["plum", missing], pd.Series(["plum", missing], dtype=object)):
        with pytest.raises(ValueError, match=r"Note 1, counted from 0, is .+ and not text"):
            read_many(notes)


def test_what_is_no_column_of_notes_is_refused():
    for notes in ("plum", b"plum", {"a": "plum"}, None):
        with pytest.raises(ValueError, match=f"of type {type(notes).__name__}; give a list, array or Series"):
            read_many(notes)
    with pytest.raises(ValueError, match="2 dimensions"):
        read_many(pd.DataFrame({"note": NOTES}))


def test_importing_loads_no_pandas():
    code = "import sys, redolent.notes.many; print({'pandas', 'sklearn', 'dask'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True)
    assert done.stdout.strip() == "set()"


# ---------------------------------------------------------------- Dask


@pytest.mark.parametrize("labels", [range(500, 740), [f"n{i:03}" for i in range(240)]])
def test_meta_is_what_read_many_gives(labels):
    notes = pd.Series(corpus(240), index=pd.Index(labels))
    meta = infer_meta(notes)
    assert len(meta) == 0
    pd.testing.assert_series_equal(meta.dtypes, read_many(notes).dtypes)


@pytest.mark.parametrize("scheduler", ["threads", "processes"])
def test_dask_reads_the_same(scheduler):
    dd = pytest.importorskip("dask.dataframe", reason="needs the extra redolent[dask]")
    notes = pd.Series(corpus(240), index=pd.RangeIndex(500, 740))
    partitioned = dd.from_pandas(notes, npartitions=4)
    mentions = partitioned.map_partitions(
        read_many, meta=infer_meta(partitioned), clear_divisions=True, personal={"cup 4": QUINCE}
    )
    assert mentions.npartitions == 4
    assert not mentions.known_divisions
    assert list(mentions.columns) == COLUMNS
    read_at_once = read_many(notes, personal={"cup 4": QUINCE})
    read_by_dask = mentions.compute(scheduler=scheduler, num_workers=2).reset_index(drop=True)
    pd.testing.assert_frame_equal(read_by_dask, read_at_once)
    often = mentions.groupby("node").size().compute(scheduler="threads", num_workers=2)
    assert often[QUINCE] == (read_at_once["node"] == QUINCE).sum() > 50


def test_a_cluster_reads_the_same(tmp_path):
    dd = pytest.importorskip("dask.dataframe", reason="needs the extra redolent[dask]")
    distributed = pytest.importorskip("distributed", reason="needs the extra redolent[dask]")
    notes = pd.Series(corpus(240), index=pd.RangeIndex(500, 740))
    partitioned = dd.from_pandas(notes, npartitions=4)
    mentions = partitioned.map_partitions(
        read_many, meta=infer_meta(partitioned), clear_divisions=True, personal={"cup 4": QUINCE}
    )
    with (
        distributed.LocalCluster(
            host="127.0.0.1",
            n_workers=2,
            threads_per_worker=1,
            processes=True,
            dashboard_address=None,
            local_directory=tmp_path,
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        read_by_cluster = client.compute(mentions).result(timeout=60).reset_index(drop=True)
        readers = client.run(lambda: (os.getpid(), "redolent.notes.reader" in sys.modules))
    pd.testing.assert_frame_equal(read_by_cluster, read_many(notes, personal={"cup 4": QUINCE}))
    assert len({os.getpid(), *(process for process, _ in readers.values())}) == 3
    assert any(has_read for _, has_read in readers.values())


def test_dask_keeps_written_labels():
    dd = pytest.importorskip("dask.dataframe", reason="needs the extra redolent[dask]")
    notes = pd.Series(NOTES, index=list("abcde"))
    partitioned = dd.from_pandas(notes, npartitions=2)
    mentions = partitioned.map_partitions(read_many, meta=infer_meta(partitioned), clear_divisions=True)
    computed = mentions.compute(scheduler="synchronous")
    assert list(computed["note"]) == ["a", "a", "c", "c", "d"]
    pd.testing.assert_series_equal(computed.dtypes, mentions.dtypes)
