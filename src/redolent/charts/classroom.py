"""The page of a class: what it did, said and learned, with names for the educator or without for everybody."""

import pandas as pd

from redolent.charts.page import Exhibit, Step
from redolent.classroom import ClassReview

MOST_COFFEES = 12
"""Coffees that a page shows, those that most met first."""


def lay_out_class(review: ClassReview, *, names: bool = False) -> tuple[Step, ...]:
    """Lay the findings on a class out in the order in which they are read.

    Parameters
    ----------
    review : ClassReview
    names : bool
        Whether people are named: for the educator's eyes. Without, no name and no single person's number is shown.
    """
    told = review.attendance, review.changes, review.apart, review.swaps, review.triangles
    did, changed, apart, swaps, triangles = (Exhibit(one.tell(names=names), one.numbers) for one in told)
    coffees = [
        Exhibit(one.finding, one.numbers, table=_headed(one.shelves(names=names)))
        for one in review.coffees[:MOST_COFFEES]
    ] or [Exhibit("No coffee was met by two yet, so there is nothing to lay side by side.")]
    families = review.agreement.families
    alpha = pd.DataFrame(
        {
            "family": families["label"],
            "named in": [f"{round(100 * share)} %" for share in families["named"]],
            **_alphas(families),
        }
    )
    checked = pd.DataFrame({"place": review.checks.places["label"], **_alphas(review.checks.places)})
    people = _people(review) if names else None
    means = review.marks.means
    panel = pd.DataFrame(
        {
            "coffee": means["coffee"],
            "line": means["attribute"],
            "tasters": means["tasters"],
            "mean": [f"{value:.0f}" for value in means["mean"]],
            "95 % interval": [
                f"{low:.0f} to {high:.0f}" for low, high in zip(means["low"], means["high"], strict=True)
            ],
        }
    )
    return (
        Step("Who has done what", (Exhibit(did.finding, did.numbers, table=people),)),
        Step("Learning", (changed,)),
        Step("What the class said", tuple(coffees)),
        Step(
            "Mention agreement",
            (
                Exhibit(review.agreement.finding, review.agreement.numbers, table=_filled(alpha)),
                Exhibit(review.checks.finding, review.checks.numbers, table=_filled(checked)),
            ),
        ),
        Step("Standing apart", (apart, swaps)),
        Step("Odd cups", (triangles,)),
        Step("Line marks", (Exhibit(review.marks.finding, review.marks.numbers, table=_filled(panel)),)),
    )


def lay_out_student(review: ClassReview, taster: str) -> Step:
    """Lay out what the class shows of one taster; nobody else is named."""
    return Step("Beside the class", tuple(Exhibit(sentence) for sentence in review.about(taster).values()))


def _people(review: ClassReview) -> pd.DataFrame:
    names = {"taster": "name", "last": "last note"}
    return review.attendance.tasters.rename(columns=names).assign(
        **{"last note": [str(day) if day is not None else "" for day in review.attendance.tasters["last"]]}
    )


def _alphas(rows: pd.DataFrame) -> dict[str, list[str]]:
    """Give the columns of an agreement; an interval that cannot be drawn stays empty."""
    ends = zip(rows["low"], rows["high"], strict=True)
    return {
        "alpha": [_number(value) for value in rows["alpha"]],
        "95 % interval": ["" if low is None else f"{_number(low)} to {_number(high)}" for low, high in ends],
    }


def _headed(shelves: pd.DataFrame) -> pd.DataFrame:
    return shelves.rename(columns={"words": "words, and how many said each"})


def _filled(table: pd.DataFrame) -> pd.DataFrame | None:
    return table if len(table) else None


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}".replace("-", "−")
