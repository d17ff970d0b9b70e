"""The notes panel: who, which cup, which stage, what it smells and tastes of."""

import json
from collections.abc import Callable
from datetime import datetime

import ipywidgets as w
import numpy as np

from redolent.desk.pad import Pad
from redolent.desk.panel import Panel, chief, guarded, safe, taking_up
from redolent.desk.reading import read_for, split_text
from redolent.journal import Journal, Note
from redolent.lexicon import Lexicon
from redolent.notes import Reading
from redolent.tasting import GUIDE, STAGES, find_cup, find_tasting, name_cup, tidy_cup

DRAFT = "notes panel"
NEWEST = 10


class NotesPanel(Panel):
    """Write a note, see it read, save it.

    Parameters
    ----------
    journal : Journal, optional
    lexicon : Lexicon, optional
    now : callable, optional
        Gives the local time, aware.
    seed : int or None
        For the codes of cups that have none.
    """

    def __init__(
        self,
        journal: Journal | None = None,
        lexicon: Lexicon | None = None,
        now: Callable[[], datetime] | None = None,
        seed: int | None = None,
    ) -> None:
        super().__init__("Write a note", journal, now=now)
        self.lexicon = lexicon or Lexicon.load()
        self._own_clock = now is None
        self._rng = np.random.default_rng(seed)
        self._places = _places(self.lexicon)
        self._all = False
        self.reading = Reading("")

        self.taster = w.Combobox(description="Taster", placeholder="your name", ensure_option=False)
        self.cup = w.Combobox(description="Coffee", placeholder="its name, or the code of the cup", ensure_option=False)
        self.stage = w.ToggleButtons(options=[(GUIDE[name].label, name) for name in STAGES], value="hot")
        self.task = w.HTML()
        self.pad = Pad(label="Your note", placeholder="What do you smell and taste? Your own words, as they come.")
        self.save = chief("Save the note")
        self.status = w.HTML()
        self.unplaced = w.Dropdown(description="This word")
        self.place = w.Combobox(description="stands at", placeholder="type to find a place", ensure_option=True)
        self.place.options = tuple(self._places)
        self.keep = w.Button(description="Keep it as my word")
        self.take_back = w.Button(description="Take it back")
        self.unplaced_words, self.kept_word = w.HTML(), w.HTML()
        self.placing = w.VBox([self.unplaced_words, self.unplaced, self.place, w.HBox([self.keep])])
        self.kept = w.HBox([self.kept_word, self.take_back])
        self.listing = w.HTML()
        self.more = w.Button(description="Show all notes")

        self._recall()
        self.stack(
            self.taster, self.cup, self.stage, self.task, self.pad, self.placing, self.kept,
            self.trouble, w.HBox([self.save]), self.status, self.listing, self.more,
        )  # fmt: skip
        self.taster.observe(lambda _: self.read_again(), "value")
        self.stage.observe(lambda _: self._guide(), "value")
        self.pad.observe(lambda _: self._typed(), "text")
        self.save.on_click(lambda _: self.save_note())
        self.keep.on_click(lambda _: self.keep_word())
        self.take_back.on_click(lambda _: self.forget_word())
        self.more.on_click(lambda _: self._show_all())
        self._last_word = ("", "")
        self.kept.layout.display = "none"
        self._guide()
        self._read()
        self._list()

    # ---- what people do

    @guarded
    def save_note(self) -> None:
        """Save what stands in the pad; say so once it is on the disk."""
        text = self.pad.text
        if not text.strip():
            raise ValueError("There is no note yet: write what you smell or taste first.")
        # What can be wrong is asked first, so that a note which is refused leaves nothing behind.
        tidy_cup(self.cup.value)
        taster = self.journal.taster(self.taster.value)
        tasting = find_tasting(self.journal, self._now())
        serving = find_cup(self.journal, tasting, self.cup.value, self._rng)
        note = self.journal.save_note(
            taster_id=taster.id,
            serving_id=serving.id,
            stage=self.stage.value,
            text=text,
            # The journal's own clock is not misled by one that is set back.
            at=None if self._own_clock else self._now(),
            drop_draft=DRAFT,
        )
        self.pad.text = ""
        self._offer()
        self.status.value = (
            f'<p role="status">Saved at {note.written_at:%H:%M}: {safe(GUIDE[note.stage].label)}, '
            f"{safe(name_cup(self.journal, serving))}, {safe(taster.name)}.</p>"
        )
        self._list()

    @guarded
    def keep_word(self) -> None:
        """Give the chosen word the chosen place, for this taster."""
        if not self.place.value:
            raise ValueError("Choose the place where this word stands; typing a few letters finds it.")
        taster = self.journal.taster(self.taster.value)
        word, node = self.unplaced.value, self._places[self.place.value]
        self.journal.add_personal_word(taster.id, word, node)
        self._last_word = (taster.id, word)
        self.kept_word.value = (
            f"<p>For {safe(taster.name)}, “{safe(word)}” now stands at {safe(self.lexicon.place(node))}.</p>"
        )
        self.kept.layout.display = ""
        self.place.value = ""
        self._offer()
        self._read()
        self._list()

    @guarded
    def forget_word(self) -> None:
        """Take the last word back that was placed."""
        self.journal.drop_personal_word(*self._last_word)
        self.kept.layout.display = "none"
        self._read()
        self._list()

    # ---- what the panel shows

    def _recall(self) -> None:
        """Take up where the last note or draft left off."""
        self._offer()
        newest = self.journal.notes(limit=1)
        if newest:
            names = {taster.id: taster.name for taster in self.journal.tasters()}
            self.taster.value = names.get(newest[0].taster_id, "")
        draft = self.journal.drafts().get(DRAFT)
        if draft:
            with taking_up():
                self._take_up(draft)

    def _take_up(self, draft: str) -> None:
        """Put a draft back with the taster, cup and stage it was typed under."""
        kept = json.loads(draft)
        self.taster.value, self.cup.value = kept["taster"], kept["cup"]
        self.stage.value, self.pad.text = kept["stage"], kept["text"]

    def _draft(self) -> str:
        kept = {"taster": self.taster.value, "cup": self.cup.value, "stage": self.stage.value}
        return json.dumps(kept | {"text": self.pad.text})

    def _offer(self) -> None:
        self.taster.options = tuple(taster.name for taster in self.journal.tasters())
        self.cup.options = tuple(dict.fromkeys(coffee.name for coffee in self.journal.coffees()))

    def _guide(self) -> None:
        stage = GUIDE[self.stage.value]
        caution = f"<br><b>{safe(stage.caution)}</b>" if stage.caution else ""
        self.task.value = f'<p class="rd-quiet">{safe(stage.task)}{caution}</p>'

    @guarded
    def _typed(self) -> None:
        self._read()
        if self.pad.text:
            self.status.value = ""
            self.journal.save_draft(DRAFT, self._draft())
        else:
            self.journal.drop_draft(DRAFT)

    def _own_words(self) -> dict[str, str]:
        taster = self.journal.find_taster(self.taster.value)
        return self.journal.personal_words(taster.id) if taster else {}

    @guarded
    def read_again(self) -> None:
        """Read the pad anew: another taster has other words."""
        self._read()

    def _read(self) -> None:
        self.reading = read_for(self.pad.text, self._own_words(), self.lexicon)
        self.pad.show(self.reading, self.lexicon)
        words = list(dict.fromkeys(word.text for word in self.reading.unplaced))
        chosen = self.unplaced.value
        self.unplaced.options = words
        self.unplaced.value = chosen if chosen in words else next(iter(words), None)
        self.placing.layout.display = "" if words else "none"
        self.unplaced_words.value = (
            f'<p class="rd-quiet">No place yet: {safe(", ".join(words))}. You may give a word a place of your own.</p>'
        )

    @guarded
    def _show_all(self) -> None:
        self._all = True
        self._list()

    def _list(self) -> None:
        notes = self.journal.notes(limit=None if self._all else NEWEST + 1)
        shown = notes if self._all else notes[:NEWEST]
        self.more.layout.display = "none" if len(notes) <= len(shown) else ""
        self.listing.value = list_notes(shown, self.journal, self.lexicon)


def _places(lexicon: Lexicon) -> dict[str, str]:
    """Map the words of each realm, family and group to its id."""
    return {lexicon.place(node_id): node_id for node_id in lexicon if lexicon[node_id].level != "descriptor"}


def list_notes(notes: list[Note], journal: Journal, lexicon: Lexicon) -> str:
    """Write notes as HTML, newest first, each with its stage, cup, taster and time; all text escaped."""
    if not notes:
        return '<h3>Saved notes</h3><p class="rd-quiet">None yet.</p>'
    tasters = {taster.id: taster.name for taster in journal.tasters()}
    coffees = {coffee.id: coffee.name for coffee in journal.coffees()}
    servings = {serving.id: serving for serving in journal.servings()}
    words = {taster_id: journal.personal_words(taster_id) for taster_id in {note.taster_id for note in notes}}
    items = []
    for note in notes:
        serving = servings[note.serving_id]
        cup = coffees.get(serving.coffee_id or "", "") or f"cup {serving.code}"
        reading = read_for(note.text, words[note.taster_id], lexicon)
        body = "".join(
            f'<span class="rd-lit-{part["sense"]}">{safe(part["shown"])}</span>'
            if part["sense"]
            else safe(part["shown"])
            for part in split_text(reading, lexicon)
        )
        items.append(
            f'<div class="rd-note"><div class="rd-quiet">{safe(GUIDE[note.stage].label)} · {safe(cup)} · '
            f"{safe(tasters[note.taster_id])} · {note.written_at.day} {note.written_at:%b %Y, %H:%M}</div>"
            f"<q>{body}</q></div>"
        )
    return "<h3>Saved notes, newest first</h3>" + "".join(items)
