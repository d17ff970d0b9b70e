"""What draws the figures in the browser: one copy for all of them, and another try where it did not come."""

from collections.abc import Iterator

import pytest
from lab_driver import blank_page
from playwright.sync_api import Page

from redolent.desk.panel import STATIC

pytestmark = pytest.mark.browser

# A library that fails to come the first time, and then counts what it draws.
DRAW = """async (code) => {
  const { default: figure } = await import(`data:text/javascript,${encodeURIComponent(code)}`);
  let asked = 0;
  const source = "module.exports = { newPlot: (el) => { el.textContent = 'drawn'; }, Plots: {}, purge() {} };";
  const widget_manager = { get_model: async () => {
    asked += 1;
    if (asked === 1) throw new Error("not there yet");
    return { get: () => source };
  } };
  const given = { library: "IPY_MODEL_1", figure: '{"data": [], "layout": {}}', config: {} };
  const model = { widget_manager, get: (name) => given[name] };
  const drawn = [];
  for (let number = 0; number < 3; number += 1) {
    const el = document.createElement("div");
    await figure.render({ model, el }).catch(() => {});
    drawn.push(el.textContent);
  }
  return { asked, drawn };
}"""


@pytest.fixture
def page() -> Iterator[Page]:
    with blank_page() as page:
        yield page


def test_a_figure_tries_again_where_the_library_did_not_come_and_shares_it_once_it_did(page: Page) -> None:
    done = page.evaluate(DRAW, (STATIC / "figure.js").read_text(encoding="utf-8"))
    assert done == {"asked": 2, "drawn": ["", "drawn", "drawn"]}
