"""Read many notes into one tidy frame: in this process, on all cores, or by Dask.

A corpus larger than memory is read by Dask (the extra ``redolent[dask]``), a partition at a time, with the
same function::

    mentions = corpus.map_partitions(read_many, meta=infer_meta(corpus), clear_divisions=True)

``corpus`` is a Dask Series of strings whose index names each note once; ``lexicon=`` and ``personal=`` are
passed on.
"""

import os
import reprlib
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from math import ceil
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from redolent.lexicon import Lexicon
from redolent.notes.match import Personal
from redolent.notes.reader import read

if TYPE_CHECKING:
    import pandas as pd

NUMBERS = ("start", "end")
TRUTHS = ("present", "hedged")
COLUMNS = ("note", "start", "end", "text", "node", "present", "strength", "hedged", "how")

# Several chunks a worker keep all of them busy to the end; none is so large that its rows weigh on memory.
_CHUNKS_A_WORKER = 4
_LARGEST_CHUNK = 5000  # notes

_values = attrgetter(*COLUMNS[1:])
_Row = tuple[Any, ...]


def read_many(
    notes: "Iterable[str] | pd.Series",
    *,
    lexicon: Lexicon | None = None,
    personal: Personal = (),
    jobs: int = 1,
) -> "pd.DataFrame":
    """Read notes into a frame with a row a mention.

    Parameters
    ----------
    notes : iterable of str, or Series
    lexicon : Lexicon, optional
        The one that ships with the package where none is given.
    personal : mapping or iterable of (str, str), optional
        A taster's own words and the ids of the nodes where that taster placed them.
    jobs : int
        How many processes read; -1 for one on each core that this process may use. The result is the same.
        A script that asks for more than one calls from under ``if __name__ == "__main__":``, as
        `multiprocessing` wants it.

    Returns
    -------
    DataFrame
        In the order of the notes and of their texts; a note without a mention leaves no row. Columns:
        ``note`` (its label in the Series, else its place, from 0), ``start`` and ``end`` (code points),
        ``text``, ``node``, ``present``, ``strength`` ("slight", "strong" or missing), ``hedged``, ``how``;
        see `Mention`.

    Raises
    ------
    ValueError
        Where `notes` are not one column of texts, a note is missing, or `jobs` is neither -1 nor 1 or more.

    >>> read_many(["quince, no smoke", "", "quinces"])[["note", "text", "present", "how"]].values.tolist()
    [[0, 'quince', True, 'exact'], [0, 'smoke', False, 'exact'], [2, 'quinces', True, 'form']]
    """
    import pandas as pd

    workers = _count_workers(jobs)
    texts = list_texts(notes)
    pairs = tuple(personal.items() if isinstance(personal, Mapping) else personal)
    frame = pd.DataFrame(_read(texts, partial(_read_chunk, lexicon=lexicon, personal=pairs), workers), columns=COLUMNS)
    written = pd.Index([""]).dtype  # str from pandas 3 on, object before
    kinds = dict.fromkeys(NUMBERS, "int64") | dict.fromkeys(TRUTHS, "bool")
    frame = frame.astype({name: kinds.get(name, written) for name in COLUMNS[1:]})
    index = notes.index if isinstance(notes, pd.Series) else pd.RangeIndex(len(texts))
    frame["note"] = index.to_flat_index().take(frame["note"].to_numpy("int64"))
    return frame


def infer_meta(corpus: Any) -> "pd.DataFrame":
    """Give the empty frame that tells Dask the columns and types of what `read_many` makes of `corpus`.

    Parameters
    ----------
    corpus : Series of Dask or pandas

    """
    import pandas as pd

    return read_many(pd.Series([], index=pd.Index([], dtype=corpus.index.dtype), dtype=object))


def list_texts(notes: Iterable[str]) -> list[str]:
    """Give the notes as a list, once it is sure that each is a text.

    Raises
    ------
    ValueError
        Where `notes` are not one column of texts or a note is missing.
    """
    if isinstance(notes, str | bytes | Mapping) or not isinstance(notes, Iterable):
        raise ValueError(
            f"The notes are of type {type(notes).__name__}; give a list, array or Series of strings, "
            "also for a single note."
        )
    dimensions = getattr(notes, "ndim", 1)
    if dimensions != 1:
        raise ValueError(f"The notes have {dimensions} dimensions; give the one column that holds the texts.")
    texts = list(notes)
    for i, text in enumerate(texts):
        if not isinstance(text, str):
            raise ValueError(
                f"Note {i}, counted from 0, is {reprlib.repr(text)} and not text; "
                "leave it out, or put '' where nothing was written."
            )
    return texts


def _count_workers(jobs: int) -> int:
    if not isinstance(jobs, int) or isinstance(jobs, bool) or (jobs < 1 and jobs != -1):
        raise ValueError(f"jobs is {jobs!r}; give 1 or more processes, or -1 for all cores.")
    if jobs != -1:
        return jobs
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _read(texts: list[str], read_chunk: partial[list[_Row]], workers: int) -> list[_Row]:
    if workers == 1 or len(texts) < 2:
        return read_chunk((0, texts))
    size = min(_LARGEST_CHUNK, ceil(len(texts) / (workers * _CHUNKS_A_WORKER)))
    chunks = [(first, texts[first : first + size]) for first in range(0, len(texts), size)]
    with ProcessPoolExecutor(min(workers, len(chunks))) as pool:
        return [row for rows in pool.map(read_chunk, chunks) for row in rows]


def _read_chunk(
    chunk: tuple[int, list[str]], lexicon: Lexicon | None, personal: tuple[tuple[str, str], ...]
) -> list[_Row]:
    """Read notes that stand together; each row begins with the place of its note among all notes."""
    first, texts = chunk
    return list(_rows(first, texts, lexicon, personal))


def _rows(first: int, texts: list[str], lexicon: Lexicon | None, personal: Personal) -> Iterator[_Row]:
    for place, text in enumerate(texts, first):
        for mention in read(text, lexicon=lexicon, personal=personal).mentions:
            yield (place, *_values(mention))
