"""The notebooks as pages: no code, no click, no token no entry, and nothing asked of another host."""

import time
import urllib.request
from collections.abc import Iterator
from urllib.parse import urlsplit

import pytest
from lab_driver import blank_page, running_lab
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

pytest.importorskip("voila")


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    home = tmp_path_factory.mktemp("home")
    with running_lab(home, env={"REDOLENT_JOURNAL": str(home / "journal.db")}, pages=True) as url:
        yield url


@pytest.fixture
def page() -> Iterator[Page]:
    with blank_page() as page:
        yield page


def test_the_pad_is_ready_without_a_click_and_no_other_host_is_asked(address: str, page: Page) -> None:
    requests: list[str] = []
    page.on("request", lambda request: requests.append(request.url))
    begun = time.monotonic()
    page.goto(address)
    expect(page.locator(".rd-area")).to_be_visible(timeout=60_000)
    print(f"\npad ready after {time.monotonic() - begun:.1f} s")
    assert page.locator(".jp-InputArea-editor:visible").count() == 0
    page.locator(".rd-area").press_sequentially("no smoke, a hint of quince")
    expect(page.locator(".rd-read li")).to_have_count(2)
    for name, shown in (
        ("Tasting", "The coffees"),
        ("Odd cup out", "What do you want to find out?"),
        ("Progress", "nothing to show yet"),
    ):
        page.get_by_role("navigation").get_by_role("link", name=name).click()
        expect(page.get_by_text(shown)).to_be_visible(timeout=60_000)
        expect(page.locator(".rd-menu [aria-current]")).to_have_text(name)
    hosts = {urlsplit(url).hostname for url in requests if urlsplit(url).scheme in ("http", "https", "ws", "wss")}
    assert hosts == {"127.0.0.1"}


def test_a_page_without_the_token_is_refused(address: str) -> None:
    with urllib.request.urlopen(address.partition("?")[0]) as answer:
        assert "/login" in answer.url
        assert "rd-menu" not in answer.read().decode()
