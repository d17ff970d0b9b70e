"""What is printed fits one page, in A4 and in Letter."""

import re
from collections.abc import Iterator
from string import ascii_uppercase

import pytest
from lab_driver import blank_page
from playwright.sync_api import Page

from redolent import tasting, triangle
from redolent.blind import seal
from redolent.tasting import design_tasting
from redolent.triangle import design_run

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with blank_page() as page:
        yield page


def tasting_sheets() -> list[str]:
    """Give the sheets of the largest table: eight coffees and two repeats."""
    design = design_tasting(8, repeats=2, rng=1)
    sealed = seal({"order": design.order})
    names = {letter: f"A coffee of a rather long name, lot {letter}" for letter in ascii_uppercase[:8]}
    return [
        tasting.table_sheet(design.codes, sealed.commitment, taster="Ilse Varga", day="14 March 2026"),
        tasting.pourer_sheet(design.codes, design.order, sealed, names, dose="11.0 g and 200 ml", taster="Ilse Varga"),
    ]


def run_sheets() -> list[str]:
    """Give the sheets of a run of 24 triads, as many as the panel plans at most for one difference."""
    design = design_run(24, 1)
    sealed = seal(design.key)
    return [
        triangle.table_sheet(design.codes, sealed.commitment, taster="Ilse Varga", day="14 March 2026"),
        triangle.pourer_sheet(design.codes, design.orders, sealed, coffee_a="Lot 3", coffee_b="Lot 4"),
    ]


@pytest.mark.parametrize("format", ["A4", "Letter"])
@pytest.mark.parametrize("sheet", [*tasting_sheets(), *run_sheets()], ids=["table", "key", "triads", "triads' key"])
def test_a_sheet_prints_on_one_page(page: Page, sheet: str, format: str):
    page.set_content(sheet)
    assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=format))) == 1
