"""Start a JupyterLab the way `redolent open` does and drive it in Chromium."""

import os
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from queue import Empty, Queue
from urllib.parse import unquote, urlsplit

import nbformat
from playwright.sync_api import Locator, Page, expect, sync_playwright

from redolent.cli.lab import START
from redolent.shipped import shipped

CHROMIUM = Path("/usr/bin/chromium")
DESKTOP = (1280, 800)
TABLET = (768, 1024)

_ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/\S+\?token=\w+")
_OPEN = "import sys; from redolent.cli.lab import open_lab; from pathlib import Path; sys.exit(open_lab({}))"


def notebooks(folder: Path) -> Path:
    """Return the shipped notebooks, or a tiny one of its own in `folder` while there are none."""
    try:
        place = shipped("notebooks")
    except FileNotFoundError:
        place = folder
    if (place / START).exists():
        return place
    folder.mkdir(parents=True, exist_ok=True)
    write_notebook(folder / START, ["import sys\nprint(sys.executable)"])
    return folder


def write_notebook(path: Path, sources: list[str]) -> None:
    """Write a notebook with hidden code cells between texts, like those that are shipped."""
    text = "# Notes\n\nClick ▶ twice to begin."
    cells = [nbformat.v4.new_markdown_cell(text)]
    cells += [nbformat.v4.new_code_cell(source, metadata={"jupyter": {"source_hidden": True}}) for source in sources]
    # When the last cell is run, JupyterLab adds an empty one; a text at the end prevents that.
    cells.append(nbformat.v4.new_markdown_cell("That is all."))
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    book = nbformat.v4.new_notebook(cells=cells, metadata={"kernelspec": kernel})
    # Cell ids are drawn at random; the same notebook must have the same bytes.
    for number, cell in enumerate(book.cells):
        cell.id = f"cell-{number}"
    nbformat.write(book, path)


@contextmanager
def running_lab(
    home: Path,
    folder: Path | None = None,
    env: Mapping[str, str] | None = None,
    source: Path | None = None,
    within: float = 60,
    pages: bool = False,
) -> Iterator[str]:
    """Run JupyterLab in its own process with `home` as the person's home; yield its address."""
    arguments = f"{_path(folder)}, browser=False, source={_path(source)}, pages={pages}"
    child = subprocess.Popen(
        [sys.executable, "-c", _OPEN.format(arguments)],
        env=person_environment(home) | dict(env or {}),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,
    )
    said: Queue[str | None] = Queue()
    reader = threading.Thread(target=_read, args=(child, said), daemon=True)
    reader.start()
    try:
        yield _await_address(said, within)
    finally:
        _end(child)
        reader.join(10)
        assert child.stdout is not None
        child.stdout.close()


def person_environment(home: Path) -> dict[str, str]:
    """Return this process's environment with another home and no other user folders."""
    env = {name: value for name, value in os.environ.items() if not name.startswith(("XDG_", "REDOLENT_"))}
    return env | {"HOME": str(home), "USERPROFILE": str(home)}


def _path(path: Path | None) -> str:
    return "None" if path is None else f"Path({str(path)!r})"


def _read(child: "subprocess.Popen[str]", said: "Queue[str | None]") -> None:
    assert child.stdout is not None
    for line in child.stdout:
        said.put(line)
    said.put(None)


def _await_address(said: "Queue[str | None]", within: float) -> str:
    deadline = time.monotonic() + within
    lines: list[str] = []
    while time.monotonic() < deadline:
        try:
            line = said.get(timeout=0.5)
        except Empty:
            continue
        if line is None:
            break
        lines.append(line)
        if address := _ADDRESS.search(line):
            return address.group()
    raise AssertionError("JupyterLab gave no address; it said:\n" + "".join(lines))


def _end(child: "subprocess.Popen[str]") -> None:
    """End the process, its server and, through the server, its kernels."""
    child.terminate()
    with suppress(subprocess.TimeoutExpired):
        child.wait(30)
    # Nothing is left here unless the tidy end failed; kernels end by themselves without a server.
    with suppress(ProcessLookupError):
        os.killpg(child.pid, signal.SIGKILL)
    child.wait(10)


@contextmanager
def blank_page(size: tuple[int, int] = DESKTOP, **context: bool) -> Iterator[Page]:
    """Start Chromium and give an empty page; `context` is what Playwright's contexts take."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM if CHROMIUM.exists() else None,
            args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
        )
        try:
            yield browser.new_context(viewport={"width": size[0], "height": size[1]}, **context).new_page()
        finally:
            browser.close()


@contextmanager
def chromium_page(
    url: str, size: tuple[int, int] = DESKTOP, asked: list[str] | None = None, touch: bool = False
) -> Iterator[Page]:
    """Open the address in Chromium and wait until the notebook's kernel is ready; list in `asked` what it asks for."""
    with blank_page(size, has_touch=touch) as page:
        if asked is not None:
            page.on("request", lambda request: asked.append(request.url))
            page.on("websocket", lambda socket: asked.append(socket.url))
        page.goto(url)
        await_notebook(page)
        yield page


def await_notebook(page: Page, within: float = 45) -> None:
    """Wait until the notebook is laid out and its kernel is connected and idle."""
    expect(page.locator(".jp-Notebook .jp-Cell").first).to_be_visible(timeout=within * 1000)
    # The page shows "idle" for a moment before it asks for a kernel, so the server is asked, too.
    deadline = time.monotonic() + within
    while not _is_connected(page):
        if time.monotonic() > deadline:
            raise AssertionError(f"No kernel was ready for {page.url} within {within:.0f} seconds.")
        page.wait_for_timeout(50)
    await_idle(page)


def _is_connected(page: Page) -> bool:
    """Return whether the kernel of the notebook in the page is idle and has the page connected."""
    address = urlsplit(page.url)
    sessions = page.request.get(f"{address.scheme}://{address.netloc}/api/sessions").json()
    path = unquote(address.path).partition("/tree/")[2]
    return any(
        session["path"] == path
        and session["kernel"]["connections"] > 0
        and session["kernel"]["execution_state"] == "idle"
        for session in sessions
    )


def await_idle(page: Page) -> None:
    """Wait until the kernel has nothing to do."""
    idle = page.locator(".jp-NotebookPanel:not(.lm-mod-hidden) .jp-Notebook-ExecutionIndicator[data-status=idle]")
    expect(idle).to_be_visible(timeout=45_000)


def click_run(page: Page) -> None:
    """Click ▶ in the notebook's toolbar once."""
    page.locator('.jp-NotebookPanel-toolbar [data-jp-item-name="run"] [data-command]').click()


def begin(page: Page, within: float = 60) -> None:
    """Do what the notebook's one instruction says, click ▶ twice, and wait for the panel; seconds."""
    click_run(page)
    page.wait_for_timeout(300)
    click_run(page)
    expect(page.locator(".rd-desk").first).to_be_visible(timeout=within * 1000)


def outputs(page: Page) -> Locator:
    """Return the outputs of the notebook's code cells."""
    return page.locator(".jp-CodeCell .jp-OutputArea-output")


def folder_of(home: Path) -> Path:
    """Return the folder that is used for a person with this home when none is named."""
    said = subprocess.run(
        [sys.executable, "-c", "from redolent.cli import lab; print(lab.default_folder())"],
        env=person_environment(home),
        capture_output=True,
        text=True,
        check=True,
    )
    return Path(said.stdout.strip())


__all__ = [
    "DESKTOP",
    "TABLET",
    "await_idle",
    "await_notebook",
    "begin",
    "chromium_page",
    "click_run",
    "folder_of",
    "notebooks",
    "outputs",
    "person_environment",
    "running_lab",
    "write_notebook",
]
