"""What all panels share: one look, a line for what went wrong, and safe text."""

import asyncio
import html
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from functools import wraps
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any

import ipywidgets as w
from sqlalchemy.exc import SQLAlchemyError
from traitlets import TraitError

from redolent.desk.reading import showable
from redolent.journal import Journal

STATIC = Path(__file__).parent / "static"
STYLE = STATIC / "desk.css"
BREATH = 0.1
"""Seconds that a kernel takes to answer that a cell is over."""


def safe(text: object) -> str:
    """Make text from people safe inside HTML: it is shown as text, whatever it holds."""
    return html.escape(showable(str(text)))


def check_folder(folder: Path) -> None:
    """Raise where the sheets could not be written: a plan without a pourer's key cannot be served."""
    try:
        TemporaryFile(dir=folder).close()
    except OSError as error:
        reason = error.strerror or str(error)
        raise ValueError(
            f"The sheets cannot be written to {folder.resolve()} ({reason}); make that folder writable."
        ) from error


def chief(description: str) -> w.Button:
    """Make the button that a screen is for."""
    button = w.Button(description=description)
    button.add_class("rd-chief")
    return button


def local_now() -> datetime:
    """Give the local time, aware."""
    return datetime.now().astimezone()


class Panel(w.VBox):
    """A column of widgets in the house style.

    Parameters
    ----------
    title : str
    journal : Journal, optional
        The taster's own where none is given.
    folder : path, optional
        Where files are written; the current folder where none is given.
    now : callable, optional
        Gives the local time, aware.
    """

    def __init__(
        self,
        title: str,
        journal: Journal | None = None,
        folder: str | Path = ".",
        now: Callable[[], datetime] | None = None,
    ) -> None:
        self.journal = journal or Journal.open()
        self._folder, self._now = Path(folder), now or local_now
        self.trouble = w.HTML()
        self._head = w.HTML(f"<style>{STYLE.read_text(encoding='utf-8')}</style><h2>{safe(title)}</h2>")
        super().__init__()
        self.add_class("rd-desk")

    def stack(self, *children: w.Widget) -> None:
        """Put the widgets under the title; the line for trouble under them, unless it stands among them."""
        self.children = (self._head, *children, *(() if self.trouble in children else (self.trouble,)))

    def complain(self, sentence: str) -> None:
        """Show one sentence that says what was wrong, or clear it."""
        self.trouble.value = f'<p class="rd-trouble" role="alert">{safe(sentence)}</p>' if sentence else ""

    def attempt(self, act: Callable[[], Any]) -> None:
        """Do what somebody asked for; complain in a sentence instead of failing."""
        self.complain("")
        try:
            act()
        except ValueError as error:
            self.complain(str(error))
        except (SQLAlchemyError, OSError) as error:
            reason = str(getattr(error, "orig", error)).splitlines()[0]
            self.complain(f"The journal could not be written ({reason}). What you typed is still here; try again.")


def taking_up() -> suppress:
    """Pass over what is not such as a panel keeps: an import or a shared file may have brought it."""
    return suppress(AttributeError, LookupError, RecursionError, TypeError, ValueError, TraitError)


def name_tasters(journal: Journal) -> tuple[tuple[str, ...], str]:
    """Give the names of the tasters, and of whoever wrote the newest note; nobody where there is none."""
    tasters, newest = journal.tasters(), journal.notes(limit=1)
    lately = next((one.name for one in tasters if newest and one.id == newest[0].taster_id), "")
    return tuple(one.name for one in tasters), lately


def afterwards(act: Callable[[], Any]) -> None:
    """Act once the cell that runs is over and its panel is on the screen; at once where there is no kernel."""
    try:
        loop = asyncio.get_running_loop()
    except RuntimeError:
        act()
    else:
        loop.call_later(BREATH, act)


def guarded(act: Callable[..., Any]) -> Callable[..., None]:
    """Let a panel's handler complain in a sentence instead of failing; what was typed stays where it is."""

    @wraps(act)
    def handler(panel: Panel, *_: Any) -> None:
        panel.attempt(lambda: act(panel))

    return handler
