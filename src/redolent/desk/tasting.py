"""A tasting from kettle to reveal: set out, taste stage by stage, be coached, lay open."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from string import ascii_uppercase
from typing import Any

import ipywidgets as w
import numpy as np

from redolent.blind import Seal, seal, verify
from redolent.coach import ask
from redolent.desk.check_list import CheckList
from redolent.desk.clock import Clock
from redolent.desk.fold import Fold
from redolent.desk.line_marks import LineMarks
from redolent.desk.notes import list_notes
from redolent.desk.pad import Pad
from redolent.desk.panel import Panel, check_folder, chief, guarded, safe
from redolent.desk.reading import read_for
from redolent.desk.setting_out import SettingOut, details
from redolent.desk.state_form import StateForm
from redolent.desk.table_sheets import name_table_sheet, tell_dose, write_table_sheets
from redolent.desk.warmth import Warmth
from redolent.journal import Coffee, Journal, Note, Plan, Serving, Taster
from redolent.lexicon import Lexicon
from redolent.practice import find_pairs
from redolent.progress import mention_frame
from redolent.tasting import (
    GUIDE,
    STEPS,
    TastedCup,
    day_name,
    design_tasting,
    find_coffee,
    lay_open,
    plan_water,
    reveal_sheet,
    solo_steps,
    tell_reveal,
)
from redolent.tasting.units import write_celsius

_STEPS = {step.name: step for step in STEPS}
_SILENCED = ("coach", "silenced")
_LOOKED = "I looked under a cup"


class TastingPanel(Panel):
    """A whole tasting on one screen.

    Parameters
    ----------
    journal : Journal, optional
    lexicon : Lexicon, optional
    folder : path, optional
        Where the sheets are written; the current folder where none is given.
    now : callable, optional
        Gives the local time, aware.
    seed : int or None
        For tests only: a tasting whose seed is known is not blind and is stored so.
    """

    def __init__(
        self,
        journal: Journal | None = None,
        lexicon: Lexicon | None = None,
        folder: str | Path = ".",
        now: Callable[[], datetime] | None = None,
        seed: int | None = None,
    ) -> None:
        super().__init__("A tasting", journal, folder, now)
        self.lexicon = lexicon or Lexicon.load()
        self._seed = seed
        self._rng = np.random.default_rng(seed)
        self.plan: Plan | None = None
        self.servings: list[Serving] = []
        self.pads: dict[tuple[str, str], Pad] = {}
        self.notes: dict[tuple[str, str], Note] = {}
        self._words: dict[str, str] = {}
        self._moving = False

        self.form: SettingOut | None = None
        self.begin = chief("Draw the order and set the table")
        self.step = w.ToggleButtons(options=[(step.label, step.name) for step in STEPS])
        self.step.add_class("rd-steps")
        self.task, self.before, self.how = w.HTML(), w.HTML(), w.HTML()
        self.clock = Clock()
        self.table = w.VBox()
        self.table.add_class("rd-pads")
        self.lock, self.onward = chief("Lock the notes of this stage"), w.Button()
        self.status, self.coach = w.HTML(), w.HTML()
        self.silence = w.Button(description="No more questions in this tasting")
        self.warmth, self.marks = Warmth(self.clock), LineMarks()
        self.state = StateForm()
        self.state_fold = Fold("How you are, and the room", self.state)
        self.looked = w.Button(description=_LOOKED)
        self.stood: list[w.Dropdown] = []
        self.lay_open_button = chief("Lay the cups open")
        self.revealed = w.HTML()
        self.save = w.Button(description="Save as HTML")
        self.again = w.Button(description="Set out another tasting")

        self.begin.on_click(lambda _: self.set_table())
        self.step.observe(lambda _: self._moved(), "value")
        self.clock.observe(lambda _: self._poured(), "pours")
        self.lock.on_click(lambda _: self.lock_stage())
        self.onward.on_click(lambda _: self.go_on())
        self.silence.on_click(lambda _: self.silence_coach())
        self.warmth.keep.on_click(lambda _: self.note_reading())
        self.marks.keep.on_click(lambda _: self.note_lines())
        self.marks.cup.observe(lambda _: self._show_marks(), "value")
        for tap in self.state.taps.values():
            tap.observe(lambda _: self.note_state(), "value")
        self.looked.on_click(lambda _: self.look())
        self.lay_open_button.on_click(lambda _: self.reveal())
        self.save.on_click(lambda _: self.save_reveal())
        self.again.on_click(lambda _: self.set_out())
        self._resume()

    # ---- set out

    @guarded
    def set_out(self) -> None:
        """Show the form for a new tasting."""
        self.plan = None
        self.form = SettingOut(self.journal, self._now().date())
        self.stack(self.form, self.trouble, w.HBox([self.begin]))

    @guarded
    def set_table(self) -> None:
        """Draw repeats, order and codes, seal the key, write the sheets, and begin."""
        assert self.form is not None
        taster = self.journal.taster(self.form.taster.value)
        rows, setup = self.form.named(), self.form.setup()
        coffees = [self._coffee(row) for row in rows]
        if len(coffees) < 2 or len({coffee.id for coffee in coffees}) < len(coffees):
            raise ValueError("Name two different coffees or more.")
        check_folder(self._folder)
        alone = self.form.way.value == "self-reported"
        served = self._served(taster, len(coffees))
        design = design_tasting(len(coffees), self._rng, cups=self.form.cups.value, served=served)
        # Alone, nothing is drawn beforehand but the codes and what stands twice: the taster shuffles, and looks later.
        key = {"codes": list(design.codes), "repeats": design.repeated} if alone else design.key
        sealed = seal(key)
        now = self._now()
        plan = self.journal.plan_tasting(
            taster_id=taster.id,
            name=f"{day_name(now)}, {now:%H:%M}",
            blinding="not blind" if self._seed is not None and not alone else self.form.way.value,
            coffees=[coffee.id for coffee in coffees],
            codes=design.codes,
            key=key,
            commitment=sealed.commitment,
            nonce=sealed.nonce,
            setup=setup | {"way": self.form.way.value, "cups": self.form.cups.value},
            at=now,
        )
        for kind, value in self.form.circumstances():
            self.journal.note_circumstance(kind, value, tasting_id=plan.tasting_id, taster_id=taster.id, at=now)
        self._serve(plan)

    # ---- taste

    @guarded
    def lock_stage(self) -> None:
        """Save the notes of this stage as they stand; what is changed later is a coached revision."""
        stage = _STEPS[self.step.value].stage
        saved = self._lock(stage)
        if not saved and any(locked == stage for _, locked in self.notes):
            raise ValueError("Nothing has changed since these notes were locked.")
        if not saved:
            raise ValueError("There is no note to lock yet: write what you smell or taste first.")
        self.status.value = f'<p role="status">Locked at {self._now():%H:%M}: {safe(", ".join(saved))}.</p>'
        self._mark_steps()
        self._tell_coach()

    @guarded
    def go_on(self) -> None:
        """Go to the next step."""
        names = list(_STEPS)
        self.step.value = names[min(names.index(self.step.value) + 1, len(names) - 1)]

    @guarded
    def silence_coach(self) -> None:
        """Ask nothing more in this tasting."""
        assert self.plan is not None
        self.journal.note_circumstance(*_SILENCED, tasting_id=self.plan.tasting_id, taster_id=self.plan.taster_id)
        self._tell_coach()

    @guarded
    def note_reading(self) -> None:
        """Keep a reading of the thermometer, and expect the cups' warmth by it."""
        self.warmth.note(self._serving(self.warmth.cup.value), self._now())

    @guarded
    def note_lines(self) -> None:
        """Keep the marks on the lines for the chosen cup."""
        assert self.plan is not None
        serving, stage = self._serving(self.marks.cup.value), _STEPS[self.step.value].stage
        self.marks.note(self.journal, self.plan, serving, stage, self._now())

    @guarded
    def note_state(self) -> None:
        """Keep how the taster and the room are now."""
        if self.plan is not None and not self._moving:
            self.state.note(self.journal, self.plan, self._now())

    @guarded
    def look(self) -> None:
        """Note that the taster saw what is in a cup: the tasting is not blind."""
        assert self.plan is not None
        self.plan = self.journal.unblind_tasting(self.plan.tasting_id)
        self._tell_how()

    # ---- reveal

    @guarded
    def reveal(self) -> None:
        """Lock what stands in the pads, open the key, and lay the cups open."""
        assert self.plan is not None
        order = None
        if self._alone:
            if any(box.value is None for box in self.stood):
                raise ValueError("Look under each cup and say what stood there.")
            order = "".join(box.value for box in self.stood)
        for stage in GUIDE:
            self._lock(stage)
        self.plan = self.journal.reveal_tasting(self.plan.tasting_id, order=order, at=self._now())
        self._show_reveal()

    @guarded
    def save_reveal(self) -> None:
        """Write the reveal to a file."""
        assert self.plan is not None
        name = f"tasting {self._started:%Y-%m-%d %H%M%S}.html"
        notes = list_notes(list(self.notes.values()), self.journal, self.lexicon)
        page = reveal_sheet(
            self._laid_open(), self.lexicon, notes=notes, taster=self._taster.name, day=day_name(self._started)
        )
        (self._folder / name).write_text(page, encoding="utf-8")
        self.status.value = f'<p role="status">Saved as <b>{safe(name)}</b>.</p>'

    # ---- what the panel shows

    @guarded
    def _resume(self) -> None:
        """Go on with a tasting that was interrupted, or set out a new one."""
        for plan in self.journal.plans()[:1]:
            if plan.revealed_at is None:
                self._serve(plan)
                return
        self.set_out()

    def _serve(self, plan: Plan) -> None:
        self.plan = plan
        self.servings = self.journal.servings(plan.tasting_id)
        self._taster: Taster = next(t for t in self.journal.tasters() if t.id == plan.taster_id)
        self._started = next(t.started_at for t in self.journal.tastings() if t.id == plan.tasting_id)
        self._words = self.journal.personal_words(plan.taster_id)
        self._confused: dict[str, str] | None = None
        ids = {serving.id for serving in self.servings}
        self.notes = {(n.serving_id, n.stage): n for n in self.journal.notes(plan.taster_id) if n.serving_id in ids}
        self._drafts = self.journal.drafts()
        self.pads = {}
        write_table_sheets(
            self.journal, plan, self._folder, taster=self._taster, started=self._started, names=self._names()
        )
        codes = [serving.code for serving in self.servings]
        with self.clock.hold_sync():
            self.clock.store = f"redolent pours {plan.tasting_id}"
            self.clock.codes = codes
            self.clock.pours = self._pours()
        self.warmth.serve(self.journal, plan.tasting_id, codes, plan.setup.get("temperature", "°C"))
        self.marks.serve(codes)
        self._moving = True
        self.state.show(self.journal, plan)
        self._moving = False
        self.revealed.value = ""
        step = self._drafts.get(self._step_key)
        self._mark_steps(step if step in _STEPS else "dry")
        self._show()

    def _moved(self) -> None:
        if not self._moving and self.plan is not None:
            self._go()

    @guarded
    def _go(self) -> None:
        self.journal.save_draft(self._step_key, self.step.value)
        self._show()

    def _show(self) -> None:
        assert self.plan is not None
        step = _STEPS[self.step.value]
        self.clock.step = step.name
        self.status.value = ""
        unit = self.plan.setup.get("temperature", "°C")
        task, caution = (safe(write_celsius(said, unit)) for said in (step.task, step.caution))
        self.task.value = f"<p>{task}{f'<br><b>{caution}</b>' if caution else ''}</p>"
        if step.name == "pour":
            water = plan_water(self.plan.setup.get("altitude_m", 0.0)).advice
            self.task.value += f"<p>Each cup: {tell_dose(self.plan.setup)}. {safe(write_celsius(water, unit))}</p>"
        self._tell_how()
        if step.name == "reveal":
            self._ask_truth()
            return
        self.looked.description = _LOOKED
        self.table.children = [self._pad(serving, step.stage) for serving in self.servings] if step.stage else []
        following = STEPS[STEPS.index(step) + 1]
        self.onward.description = f"Next: {following.label}"
        hot = step.name in ("hot", "warm", "cool")
        self._show_marks()
        self._tell_coach()
        self.stack(
            self.step, self.task, self.before, self.clock, self.table, self.trouble,
            w.HBox([self.lock, self.onward] if step.stage else [self.onward]),
            self.status, self.coach, w.HBox([self.silence]),
            *(self.warmth.widgets if hot or step.name in ("break", "skim") else ()),
            *(self.marks.widgets if hot else ()),
            self.state_fold, self.how, w.HBox([self.looked]),
        )  # fmt: skip

    def _pad(self, serving: Serving, stage: str) -> Pad:
        """Give the pad of a cup and stage, with what was typed there; made when it is first shown."""
        if (serving.id, stage) in self.pads:
            return self.pads[serving.id, stage]
        key, note = _draft_key(serving, stage), self.notes.get((serving.id, stage))
        text = self._drafts.get(key, note.text if note else "")
        pad = Pad(
            text=text,
            kept=text,
            store=f"redolent {key}",
            label=f"Cup {serving.position}, {serving.code}, {GUIDE[stage].label}",
            head=f"{serving.position} · {serving.code}",
            placeholder="What do you smell and taste? Your own words, as they come.",
            opened=serving.position == 1,
        )
        self.pads[serving.id, stage] = pad
        self._read(pad)
        self._tell_state(serving, stage)
        pad.observe(lambda _: self._typed(serving, stage), "text")
        return pad

    def _typed(self, serving: Serving, stage: str) -> None:
        """Light and keep what was typed; a question about another cup goes while this note is open."""
        pad, note, key = self.pads[serving.id, stage], self.notes.get((serving.id, stage)), _draft_key(serving, stage)
        self._read(pad)
        self._keep(pad, key, note.text if note else "")
        self._tell_state(serving, stage)
        if note is None and self.coach.value:
            self._tell_coach()

    def _keep(self, pad: Pad, key: str, saved: str) -> None:
        text = pad.text

        def act(_: Panel) -> None:
            if text == saved:
                self.journal.drop_draft(key)
            else:
                self.journal.save_draft(key, text)
            pad.kept = text

        guarded(act)(self)

    def _read(self, pad: Pad) -> None:
        pad.show(read_for(pad.text, self._words, self.lexicon), self.lexicon)

    def _tell_state(self, serving: Serving, stage: str) -> None:
        pad, note = self.pads[serving.id, stage], self.notes.get((serving.id, stage))
        if note is not None and pad.text == note.text:
            pad.state = f"locked {note.written_at:%H:%M}" + (", revised" if note.revision > 1 else "")
        elif note is not None:
            pad.state = "locked; changes not kept yet"
        else:
            pad.state = "draft" if pad.text.strip() else ""

    def _lock(self, stage: str) -> list[str]:
        """Save what stands in the pads of a stage; give the codes of the cups that were saved."""
        assert self.plan is not None
        saved = []
        for serving in self.servings:
            note, key = self.notes.get((serving.id, stage)), _draft_key(serving, stage)
            pad = self.pads.get((serving.id, stage))
            text = pad.text if pad else self._drafts.get(key, "")
            if not text.strip() or (note and text == note.text):
                continue
            note = self.journal.save_note(
                taster_id=self.plan.taster_id,
                serving_id=serving.id,
                stage=stage,
                text=text,
                at=self._now(),
                coached=note is not None,
                note_id=note.note_id if note else None,
                drop_draft=key,
            )
            self.notes[serving.id, stage] = note
            self._drafts.pop(key, None)
            saved.append(serving.code)
            if pad:
                pad.kept = text
                self._tell_state(serving, stage)
        return saved

    def _tell_coach(self) -> None:
        """Ask one question about each note that is locked and vague; nothing while a note of the stage is open."""
        assert self.plan is not None
        stage = _STEPS[self.step.value].stage
        silenced = any((c.kind, c.value) == _SILENCED for c in self.journal.circumstances(self.plan.tasting_id))
        locked = [(s, self.notes[s.id, stage]) for s in self.servings if (s.id, stage) in self.notes]
        open_still = any(
            (s.id, stage) not in self.notes and self.pads[s.id, stage].text.strip()
            for s in self.servings
            if (s.id, stage) in self.pads
        )
        asked = [] if silenced or open_still else [(s, self._question(note)) for s, note in locked]
        told = [_tell_question(serving.code, question) for serving, question in asked if question]
        self.coach.value = (
            '<h3>A question, if you like</h3><p class="rd-quiet">There is no wrong note, only a vaguer one. What you '
            "add now is kept beside the note, as a later revision that is not measured.</p>" + "".join(told)
            if told
            else ""
        )
        self.silence.layout.display = "" if told else "none"
        self.lock.description = "Keep the revision" if locked and not open_still else "Lock the notes of this stage"

    def _question(self, note: Note) -> Any:
        confused = self._find_confused()
        return ask(read_for(note.text, self._words, self.lexicon), self.lexicon, confused=confused)

    def _find_confused(self) -> dict[str, str]:
        """Give the places that this taster took for one another, in jars and in repeats before this tasting."""
        assert self.plan is not None
        if self._confused is None:
            mentions = mention_frame(
                self.journal.notes_frame(self.plan.taster_id), lexicon=self.lexicon, personal=self._words
            )
            # What stands on the table is sealed, and the question must not tell of it.
            before = mentions[mentions["tasting_id"] != self.plan.tasting_id]
            drills = self.journal.drills_frame(self.plan.taster_id)
            pairs = find_pairs(drills, before, self.lexicon, personal=self._words)
            self._confused = dict(pair.nodes for pair in reversed(pairs))
        return self._confused

    def _mark_steps(self, value: str | None = None) -> None:
        """Mark the stages that hold a locked note."""
        done = {stage for _, stage in self.notes}
        value = value or self.step.value
        options = [(f"{step.label} ✓" if step.stage in done else step.label, step.name) for step in STEPS]
        self._moving = True
        if options != list(self.step.options):
            self.step.options = options
        self.step.value = value
        self._moving = False

    def _show_marks(self) -> None:
        if self.plan is not None and self.marks.cup.value is not None:
            serving, stage = self._serving(self.marks.cup.value), _STEPS[self.step.value].stage
            self.marks.show(self.journal, serving, stage)

    def _tell_how(self) -> None:
        """Say how the tasting is kept blind: before the first cup is smelled, and below for who looks it up later."""
        assert self.plan is not None
        first = self.step.value == "dry"
        told = self._how(unfolded=first and not self.notes)
        for box, value in ((self.before, told if first else ""), (self.how, "" if first else told)):
            box.value, box.layout.display = value, "" if value else "none"
        self.looked.layout.display = "none" if self.plan.blinding == "not blind" else ""

    def _how(self, *, unfolded: bool) -> str:
        assert self.plan is not None
        if self.plan.blinding == "not blind":
            return "<p><b>Not blind.</b> This tasting stays out of consistency.</p>"
        if self._alone:
            letters = ascii_uppercase[: len(self.plan.coffees)] * self.plan.setup["cups"]
            repeats = self.journal.pourer_plan(self.plan.tasting_id).key["repeats"]
            steps = solo_steps(self._names(), letters + repeats, tell_dose(self.plan.setup))
            return details("How to be blind to your own cups", *steps, unfolded=unfolded)
        table, key = (name_table_sheet(kind, self._started) for kind in ("table", "key"))
        return (
            f'<p class="rd-quiet">The pourer\'s key is in the file <b>{safe(key)}</b>: hand it to whoever pours, '
            f"and do not open it. The table sheet is <b>{safe(table)}</b>.</p>"
        )

    def _ask_truth(self) -> None:
        assert self.plan is not None
        self.coach.value = ""
        asks: list[w.Widget] = []
        if self._alone:
            options = [(name, letter) for letter, name in self._names().items()]
            self.stood = [
                w.Dropdown(options=options, value=None, description=f"{s.position} · {s.code}") for s in self.servings
            ]
            asks = [w.HTML("<p>Look under the cups. What stood there?</p>"), *self.stood]
        # Who is alone looks now, as they should; only a look before that takes the blindness away.
        self.looked.description = "I looked before I had written" if self._alone else _LOOKED
        self.stack(self.step, self.task, *asks, self.trouble, w.HBox([self.lay_open_button, self.looked]), self.how)

    def _show_reveal(self) -> None:
        assert self.plan is not None
        sealed = self.journal.open_plan(self.plan.tasting_id)
        same = verify(sealed.key, Seal(self.plan.commitment, sealed.nonce))
        how = {"self-reported": "Self-reported.", "not blind": "Not blind: kept out of consistency."}
        opened = (
            "The key is the one that was sealed before the first cup."
            if same
            else "The key is not the one that was sealed; do not trust this tasting."
        )
        self.revealed.value = f'<p class="rd-quiet">{opened} {how.get(self.plan.blinding, "")}</p>' + tell_reveal(
            self._laid_open(), self.lexicon
        )
        self.status.value = ""
        self.checks = CheckList(self.journal, self.plan.taster_id, self.plan.tasting_id, self.lexicon)
        self.stack(self.revealed, self.trouble, w.HBox([self.save, self.again]), self.status, self.checks)

    def _laid_open(self) -> Any:
        assert self.plan is not None
        servings = self.journal.servings(self.plan.tasting_id)
        names = {coffee.id: coffee.name for coffee in self.journal.coffees()}
        first = {key: self.journal.revisions(note.note_id)[0].text for key, note in self.notes.items()}
        cups = [
            TastedCup(
                s.code,
                names.get(s.coffee_id or "", ""),
                {stage: text for (serving_id, stage), text in first.items() if serving_id == s.id},
            )
            for s in servings
        ]
        ids = {s.id for s in servings}
        earlier = {n.text for n in self.journal.notes(self.plan.taster_id) if n.serving_id not in ids}
        readings = (read_for(text, self._words, self.lexicon) for text in earlier)
        known = {mention.node for reading in readings for mention in reading.mentions if mention.present}
        words = {word: node for word, node in self._words.items() if node in self.lexicon}
        return lay_open(cups, self.lexicon, personal=words, known=known)

    # ---- pours

    @guarded
    def _poured(self) -> None:
        """Keep the pour times that the browser tells of."""
        if self.plan is None:
            return
        known = self._pours()
        for code, pour in self.clock.pours.items():
            if known.get(code, {}).get("at") == pour["at"] or code not in self.clock.codes:
                continue
            serving = self._serving(code)
            at = datetime.fromtimestamp((pour["at"] or pour["set"]) / 1000, UTC).astimezone(self._now().tzinfo)
            self.journal.record_stage(
                self.plan.tasting_id, "crust", "pour" if pour["at"] else "pour taken back", serving.id, at
            )

    def _pours(self) -> dict[str, dict[str, int | None]]:
        """Give the pour of each cup as the journal has it, the last word of each."""
        assert self.plan is not None
        codes = {serving.id: serving.code for serving in self.servings}
        pours: dict[str, dict[str, int | None]] = {}
        for event in self.journal.stage_events(self.plan.tasting_id):
            if event.event in ("pour", "pour taken back") and event.serving_id in codes:
                at = round(event.at.timestamp() * 1000)
                pours[codes[event.serving_id]] = {"at": at if event.event == "pour" else None, "set": at}
        return pours

    # ---- odds and ends

    @property
    def _alone(self) -> bool:
        return self.plan is not None and self.plan.setup.get("way") == "self-reported"

    @property
    def _step_key(self) -> str:
        return f"tasting step {self.plan.tasting_id}" if self.plan else ""

    def _serving(self, code: str) -> Serving:
        return next(serving for serving in self.servings if serving.code == code)

    def _coffee(self, row: dict[str, Any]) -> Coffee:
        """Find or enter a coffee; a bare name means the newest of that name."""
        if row["origin"] or row["process"] or row["roast_date"]:
            return self.journal.coffee(**row)
        return find_coffee(self.journal, row["name"])

    def _names(self) -> dict[str, str]:
        assert self.plan is not None
        names = {coffee.id: coffee.name for coffee in self.journal.coffees()}
        return {letter: names[one] for letter, one in zip(ascii_uppercase, self.plan.coffees, strict=False)}

    def _served(self, taster: Taster, coffees: int) -> list[int]:
        """Give the rows of the square that this taster's tables of as many coffees had; they stay in the kernel."""
        plans = [plan for plan in self.journal.plans(taster.id) if len(plan.coffees) == coffees]
        keys = [self.journal.pourer_plan(plan.tasting_id).key for plan in plans]
        return [key["row"] for key in keys if "row" in key]


def _draft_key(serving: Serving, stage: str) -> str:
    return f"tasting {serving.id} {stage}"


def _tell_question(code: str, question: Any) -> str:
    """Write a question as HTML, with what to compare and why it is asked behind a fold."""
    compare = details("What you could compare", *question.references) if question.references else ""
    why = details("Why this question", question.why)
    return f'<div class="rd-note"><p><b>{safe(code)}</b> {safe(question.asks)}</p>{compare}{why}</div>'
