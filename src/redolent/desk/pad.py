"""The note pad: a text area whose words light up as they are read."""

import anywidget
import traitlets

from redolent.desk.panel import STATIC
from redolent.desk.reading import list_words, split_text
from redolent.lexicon import Lexicon
from redolent.notes import Reading


class Pad(anywidget.AnyWidget):
    """A text area over a layer of lit words.

    Attributes
    ----------
    text : str
        What stands in the pad. The browser sends it a moment after the last key; it is not echoed.
    segments, words : list of dict
        What `show` made of a reading, for the browser.
    label, placeholder : str
        For those who hear the page, and for the empty pad.
    store, kept : str
        Where the browser keeps what it sent, until `kept`, the text that is on the disk, is the same; nowhere
        where `store` is empty.
    head, state : str
        The cup of a pad that stands among others, and what is to be said of its note.
    opened : bool
        Whether it is the one that is open at first.
    """

    _esm = STATIC / "pad.js"

    text = traitlets.Unicode("").tag(sync=True, echo_update=False)
    segments: traitlets.List[dict[str, object]] = traitlets.List().tag(sync=True, echo_update=False)
    words: traitlets.List[dict[str, str]] = traitlets.List().tag(sync=True, echo_update=False)
    label = traitlets.Unicode("Your note").tag(sync=True)
    placeholder = traitlets.Unicode("").tag(sync=True)
    store = traitlets.Unicode("").tag(sync=True)
    kept = traitlets.Unicode("").tag(sync=True)
    head = traitlets.Unicode("").tag(sync=True)
    state = traitlets.Unicode("").tag(sync=True)
    opened = traitlets.Bool(False).tag(sync=True)

    def show(self, reading: Reading, lexicon: Lexicon) -> None:
        """Light the words of a reading and list their places."""
        with self.hold_sync():
            self.segments = split_text(reading, lexicon)
            self.words = list_words(reading, lexicon)
