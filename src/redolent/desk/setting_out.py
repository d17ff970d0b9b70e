"""Setting out a tasting: coffees, cups, dose, water, and how things are in the kitchen."""

import json
from dataclasses import dataclass
from datetime import date
from typing import Any

import ipywidgets as w

from redolent.desk.fold import Fold
from redolent.desk.panel import safe, taking_up
from redolent.desk.state_form import StateForm
from redolent.journal import Journal
from redolent.tasting import cautions, dose, grind, setting
from redolent.tasting.design import WHY_REPEATS
from redolent.tasting.orders import FEWEST, MOST, MOST_REPEATS
from redolent.tasting.units import (
    MASSES,
    VOLUMES,
    parse_altitude,
    parse_volume,
    write_celsius,
    write_mass,
    write_temperature,
    write_volume,
)
from redolent.tasting.water import plan_water

SETTINGS = "tasting settings"
WAYS = {"Somebody pours for me": "helper", "I am alone at the table": "self-reported"}
_UNITS = ("volume", "mass", "temperature")


def details(title: str, *sentences: str, unfolded: bool = False) -> str:
    """Write sentences that can be unfolded, or folded; they are escaped here."""
    items = "".join(f"<li>{safe(sentence)}</li>" for sentence in sentences)
    return f"<details{' open' if unfolded else ''}><summary>{safe(title)}</summary><ul>{items}</ul></details>"


@dataclass(frozen=True, slots=True)
class Serve:
    """Dose and water as they were set out."""

    dose: dose.Dose
    altitude_m: float


class SettingOut(w.VBox):
    """The form from which a tasting is drawn.

    Parameters
    ----------
    journal : Journal
        Remembers what was entered.
    today : date
    """

    def __init__(self, journal: Journal, today: date) -> None:
        self._journal, self._today = journal, today
        self._loading = True
        self.taster = w.Combobox(description="Taster", placeholder="your name", ensure_option=False)
        self.who = w.Dropdown(options=[("rather not say", ""), *((who, who) for who in cautions.WHO)])
        self.who.description = "Who tastes"
        self.coffees = w.VBox()
        self.more = w.Button(description="Another coffee")
        self.cups = w.Dropdown(options=[1, 2, 3, 4], value=1, description="Cups of each")
        self.cup = w.Text(value="200 ml", description="Cup volume")
        self.strength = w.BoundedFloatText(dose.STRENGTH, min=20, max=120, step=1, description="Strength, g/l")
        self.scale = w.ToggleButtons(options=[(f"{s:g} g", s) for s in dose.SCALES], description="Scale shows")
        self.altitude = w.Text(value="0 m", description="Altitude")
        self.volume = w.Dropdown(options=list(VOLUMES), description="Volumes in")
        self.mass = w.Dropdown(options=list(MASSES), description="Masses in")
        self.temperature = w.Dropdown(options=["°C", "°F"], description="Temperatures")
        self.outlook, self.ready, self.cautions = w.HTML(), w.HTML(), w.HTML()
        self.way = w.ToggleButtons(options=WAYS)
        self.state = StateForm()
        self.verdict = w.Dropdown(
            options=[("choose", ""), *((v, v) for v in grind.VERDICTS)], description="The best cup"
        )
        self.keep_verdict = w.Button(description="Keep the verdict")
        self.next_step = w.HTML()
        super().__init__()
        self._lay_out()
        self._recall()
        self._loading = False
        for box in self._remembered().values():
            box.observe(lambda _: self._changed(), "value")
        self.more.on_click(lambda _: self.add_coffee())
        self.keep_verdict.on_click(lambda _: self._keep_verdict())
        self._changed()

    # ---- what is read off the form

    def serve(self) -> Serve:
        """Give dose and altitude; a ValueError says which entry cannot be."""
        return Serve(
            dose.dose_cup(parse_volume(self.cup.value), self.strength.value, self.scale.value),
            parse_altitude(self.altitude.value),
        )

    def named(self) -> list[dict[str, Any]]:
        """Give the coffees that have a name: name, origin, process, roast date."""
        return [row for row in map(_read_row, self.coffees.children) if row["name"]]

    def setup(self) -> dict[str, Any]:
        """Give how the table is set out, as it is kept with the plan."""
        serve = self.serve()
        return {
            "cup_ml": serve.dose.cup_ml,
            "dose_g": serve.dose.rounded_g,
            "strength": serve.dose.strength,
            "altitude_m": serve.altitude_m,
            "who": self.who.value,
            **{unit: getattr(self, unit).value for unit in _UNITS},
        }

    def circumstances(self) -> list[tuple[str, str]]:
        """Give what was tapped, as (kind, value)."""
        return self.state.tapped()

    def add_coffee(self) -> None:
        """Add a row for one more coffee."""
        if len(self.coffees.children) < MOST:
            self._add_row({})
            self._changed()

    # ---- the form itself

    def _lay_out(self) -> None:
        self.children = (
            self.taster, self.who,
            w.HTML("<h3>The coffees</h3>"), self.coffees, w.HBox([self.more]),
            self.cups, w.HTML(details("Why some cups may be alike", WHY_REPEATS)),
            w.HTML("<h3>Dose and water</h3>"), self.cup, self.strength, self.scale, self.altitude, self.outlook,
            Fold("Units", self.volume, self.mass, self.temperature),
            self.state,
            Fold("A trial of the grind", w.HTML(_steps(grind.STEPS)), self.verdict, w.HBox([self.keep_verdict]),
                 self.next_step),
            self.ready, self.cautions, w.HTML("<h3>Who pours</h3>"), self.way,
        )  # fmt: skip

    def _remembered(self) -> dict[str, Any]:
        names = ("taster", "who", "cups", "cup", "strength", "scale", "altitude", "way", *_UNITS)
        return {name: getattr(self, name) for name in names}

    def _recall(self) -> None:
        kept: dict[str, Any] = {}
        with taking_up():
            kept = dict(json.loads(self._journal.drafts().get(SETTINGS, "{}")))
        for name, box in self._remembered().items():
            if name in kept and (not hasattr(box, "options") or name == "taster" or kept[name] in _choices(box)):
                with taking_up():
                    box.value = kept[name]
        self.taster.options = tuple(taster.name for taster in self._journal.tasters())
        with taking_up():
            for row in kept.get("coffees", [])[:MOST]:
                self._add_row(row)
        while len(self.coffees.children) < FEWEST:
            self._add_row({})

    def _add_row(self, row: dict[str, Any]) -> None:
        number = len(self.coffees.children) + 1
        name = w.Combobox(description=f"Coffee {number}", placeholder="its name", ensure_option=False)
        name.options = tuple(dict.fromkeys(coffee.name for coffee in self._journal.coffees()))
        origin = w.Text(description="Origin", placeholder="if you like")
        process = w.Text(description="Process", placeholder="if you like")
        roast = w.DatePicker(description="Roasted on")
        note = w.HTML()
        name.value, origin.value, process.value = row.get("name", ""), row.get("origin", ""), row.get("process", "")
        roast.value = date.fromisoformat(row["roast_date"]) if row.get("roast_date") else None
        boxes = (name, origin, process, roast)
        for box in boxes:
            box.observe(lambda _: self._changed(), "value")
        self.coffees.children += (w.VBox([name, Fold("Origin, process, roast", origin, process, roast), note]),)
        self.coffees.children[-1].boxes = boxes
        self.coffees.children[-1].note = note
        self.more.disabled = number >= MOST

    def _changed(self) -> None:
        if self._loading:
            return
        for row in self.coffees.children:
            note = setting.roast_note(row.boxes[3].value, self._today)
            row.note.value = f'<p class="rd-quiet">{safe(note)}</p>' if note else ""
        self._foresee()
        kept = {name: box.value for name, box in self._remembered().items()}
        rows = [row | {"roast_date": row["roast_date"] and row["roast_date"].isoformat()} for row in self._rows()]
        self._journal.save_draft(SETTINGS, json.dumps(kept | {"coffees": rows}))

    def _rows(self) -> list[dict[str, Any]]:
        return [_read_row(row) for row in self.coffees.children]

    def _foresee(self) -> None:
        most = max(len(self.named()), FEWEST) * self.cups.value + MOST_REPEATS
        try:
            serve = self.serve()
            self.outlook.value = foresee(serve, most, {unit: getattr(self, unit).value for unit in _UNITS})
        except ValueError as error:
            self.outlook.value = f'<p class="rd-trouble">{safe(error)}</p>'
            return
        alone = self.way.value == "self-reported"
        self.ready.value = details("What lies ready", *setting.list_equipment(most, alone)) + details(
            "How to measure, grind and keep the water quiet", *setting.GUIDANCE
        )
        caffeine = cautions.estimate_caffeine(serve.dose.rounded_g, serve.dose.cup_ml, most)
        told = (
            write_celsius(cautions.BURNS, self.temperature.value),
            cautions.caution_caffeine(caffeine, self.who.value),
            cautions.SPOONS,
            cautions.GROUNDS,
            cautions.ALLERGENS,
            cautions.LOCAL,
        )
        self.cautions.value = "<h3>Take care</h3><ul>" + "".join(f"<li>{safe(one)}</li>" for one in told) + "</ul>"

    def _keep_verdict(self) -> None:
        if not self.verdict.value:
            self.next_step.value = "<p>Choose the cup that was best, or “no difference”.</p>"
            return
        taster = self._journal.find_taster(self.taster.value)
        taster_id = taster.id if taster is not None else None
        self._journal.note_circumstance("grind", self.verdict.value, taster_id=taster_id)
        step = grind.VERDICTS[self.verdict.value]
        self.next_step.value = f'<p class="rd-sentence" role="status">Kept. {safe(step)}</p>'


def foresee(serve: Serve, cups: int, units: dict[str, str]) -> str:
    """Say what a cup and the table take, as HTML."""
    one, mass, volume = serve.dose, units["mass"], units["volume"]
    digits = 0 if one.scale_g >= 1 else 1
    error = f", {one.error_percent:+.1f} % by rounding" if round(one.error_percent, 1) else ""
    coffee, water = dose.table_total(one, cups)
    boil = plan_water(serve.altitude_m)
    low, high = (write_temperature(c, units["temperature"]) for c in (boil.low_c, boil.high_c))
    lines = [
        f"<b>{write_mass(one.rounded_g, mass, digits)}</b> of coffee for {write_volume(one.cup_ml, volume)}{error} "
        f"({one.strength:g} g/l, {one.per_us_fl_oz:.2f} g a US fl oz).",
        f"For up to {cups} cups, with waste: {write_mass(coffee, mass, 0)} of coffee, {write_volume(water, volume)} "
        "of water.",
        f"Water at {low} to {high}. {safe(write_celsius(boil.advice, units['temperature']))}",
    ]
    warning = f'<p class="rd-trouble">{safe(one.warning)}</p>' if one.warning else ""
    return "".join(f"<p>{line}</p>" for line in lines) + warning


def _read_row(row: Any) -> dict[str, Any]:
    name, origin, process, roast = (box.value for box in row.boxes)
    return {"name": " ".join(name.split()), "origin": origin, "process": process, "roast_date": roast}


def _choices(box: Any) -> list[Any]:
    options = box.options.items() if isinstance(box.options, dict) else box.options
    return [option[1] if isinstance(option, tuple) else option for option in options]


def _steps(steps: tuple[str, ...]) -> str:
    return "<ol>" + "".join(f"<li>{safe(step)}</li>" for step in steps) + "</ol>"
