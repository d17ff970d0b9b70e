"""Text as people type it, stored so that every string comes back as it was."""

import re

from sqlalchemy import Dialect, Text
from sqlalchemy.types import TypeDecorator

from redolent.journal.error import UnreadableError

# SYMBOL FOR ESCAPE: printable, and hardly ever typed, so that what is stored stays readable.
ESCAPE = "\u241b"

_UNSTORABLE = re.compile(f"[\0\ud800-\udfff{ESCAPE}]")
_ESCAPED = re.compile(f"{ESCAPE}([0-9a-f]{{4}})")


def escape(text: str) -> str:
    """Write NUL, lone surrogates and the escape character as the escape character and four hex digits.

    Neither SQLite's tools nor PostgreSQL keep a NUL in a text, and UTF-8 has no place for a lone surrogate.
    """
    return _UNSTORABLE.sub(lambda found: f"{ESCAPE}{ord(found[0]):04x}", text)


def unescape(stored: str) -> str:
    """Undo `escape`."""
    # Hardly any text has one, and looking for it is quick.
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), stored) if ESCAPE in stored else stored


def shorten(value: object) -> str:
    """Show a value that came from outside in a sentence, as much of it as tells which it is."""
    shown = repr(value)
    return shown if len(shown) <= 60 else f"{shown[:57]}..."


class Verbatim(TypeDecorator[str]):
    """A text column that gives back exactly the string that was put in."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """Escape on the way in."""
        return None if value is None else escape(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> str | None:
        """Unescape on the way out."""
        try:
            return None if value is None else unescape(value)
        except TypeError:
            raise UnreadableError("A text holds something else.") from None
