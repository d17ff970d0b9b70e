"""Likeness of all pairs of servings at once: `redolent.notes.similarity.reading_similarity`, in arrays."""

import numpy as np

from redolent.lexicon import LEVELS, Lexicon
from redolent.notes.similarity import Profile


class Likeness:
    """The similarity of every two of some nodes, and of servings that name them.

    Wu–Palmer for two places, best-match average for two servings; what one side denies finds nothing: see
    `redolent.notes.similarity`, which says the same of one pair.

    Parameters
    ----------
    profiles : iterable of Profile
        Of all servings that will be asked for.
    lexicon : Lexicon
    """

    def __init__(self, profiles: list[Profile], lexicon: Lexicon) -> None:
        nodes = sorted({node for profile in profiles for node in profile.present})
        self._place = {node: i for i, node in enumerate(nodes)}
        self._paths = [(*(above.id for above in lexicon.ancestors(node)), node) for node in nodes]
        codes: dict[str, int] = {}
        path = np.full((len(nodes), len(LEVELS)), -1)
        for i, steps in enumerate(self._paths):
            path[i, : len(steps)] = [codes.setdefault(step, len(codes)) for step in steps]
        depth = (path >= 0).sum(axis=1)
        shared = np.zeros((len(nodes), len(nodes)), dtype=np.int8)
        for step in path.T:
            # Two codes are the same only where everything above them is.
            shared += (step[:, np.newaxis] == step) & (step[:, np.newaxis] >= 0)
        self._similarity = 2 * shared / np.maximum(depth[:, np.newaxis] + depth, 1)

    def of(self, profiles: list[Profile]) -> np.ndarray:
        """Give the similarity of every two servings, each of which asserts something.

        Returns
        -------
        ndarray of float, shape (servings, servings)
        """
        sizes = np.array([len(profile.present) for profile in profiles])
        starts = sizes.cumsum() - sizes
        places = np.array([self._place[node] for profile in profiles for node in sorted(profile.present)])
        similarity = self._similarity[np.ix_(places, places)]
        if any(profile.denied for profile in profiles):
            denied = self._denied(places, profiles)
            by_other = np.repeat(denied, sizes, axis=1)
            similarity = np.where(by_other | by_other.T, 0.0, similarity)
        best = np.maximum.reduceat(similarity, starts, axis=1)
        found = np.add.reduceat(best, starts, axis=0)
        return (found + found.T) / (sizes[:, np.newaxis] + sizes)

    def _denied(self, places: np.ndarray, profiles: list[Profile]) -> np.ndarray:
        """Say which of the places each serving denies, itself or by a broader place: shape (places, servings)."""
        denied = np.zeros((len(places), len(profiles)), dtype=bool)
        for column, profile in enumerate(profiles):
            if profile.denied:
                denied[:, column] = [
                    self._paths[place][-1] not in profile.present and not profile.denied.isdisjoint(self._paths[place])
                    for place in places
                ]
        return denied
