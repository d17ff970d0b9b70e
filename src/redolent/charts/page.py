"""The whole page of progress: four steps and what next, each headed by a finding, with its figures."""

from dataclasses import dataclass

import pandas as pd
import plotly.graph_objects as go

from redolent.charts.accumulation import draw_accumulation
from redolent.charts.completeness import draw_completeness
from redolent.charts.levels import draw_credits, draw_levels
from redolent.charts.marks import draw_marks
from redolent.charts.recognition import draw_recognition
from redolent.charts.repeats import draw_repeats
from redolent.charts.returning import draw_returning
from redolent.charts.shelves import draw_shelves
from redolent.charts.triangles import draw_triangles
from redolent.progress import Result, Review


@dataclass(frozen=True, slots=True)
class Exhibit:
    """A finding with its statistics, its figure and its table, if it has them."""

    finding: str
    numbers: str = ""
    figure: go.Figure | None = None
    table: pd.DataFrame | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """A step of the page: the first exhibit heads it."""

    name: str
    exhibits: tuple[Exhibit, ...]

    @property
    def finding(self) -> str:
        """The sentence that heads the step."""
        return self.exhibits[0].finding


def lay_out(review: Review) -> tuple[Step, ...]:
    """Lay the findings out in the order in which they are read."""
    grown, groups, families = review.accumulation, review.group_accumulation, review.family_accumulation
    broader = [Exhibit(one.finding, one.numbers) for one in (groups, families) if one.distinct]
    windows = [Exhibit(review.windows.finding, review.windows.numbers)] if review.windows else []
    marks = [_exhibit(review.marks, draw_marks(review.marks))] if len(review.marks.attributes) else []
    return (
        Step(
            "Words",
            (
                _exhibit(grown, draw_accumulation(grown)),
                *broader,
                *windows,
                _exhibit(review.vocabulary, draw_completeness(review.vocabulary)),
                _exhibit(review.places, draw_shelves(review.places)),
            ),
        ),
        Step(
            "Precision",
            (
                _exhibit(review.precision, draw_levels(review.precision)),
                Exhibit(f"{review.precision.credit_headline}.", "", draw_credits(review.precision)),
                _exhibit(review.vague),
            ),
        ),
        Step(
            "Consistency",
            (
                _exhibit(review.repeats, draw_repeats(review.repeats)),
                _exhibit(review.returning, draw_returning(review.returning)),
                _exhibit(review.recognition, draw_recognition(review.recognition)),
                *marks,
            ),
        ),
        Step("Discrimination", (_exhibit(review.triangles, draw_triangles(review.triangles)),)),
        Step("What next", (_exhibit(review.advice),)),
    )


def _exhibit(result: Result, figure: go.Figure | None = None) -> Exhibit:
    return Exhibit(result.finding, result.numbers, figure)
