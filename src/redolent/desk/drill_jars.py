"""Jars: kitchen references picked for the household, smelled blind one by one, and opened after the last."""

import json
from collections.abc import Sequence
from pathlib import Path

import ipywidgets as w

from redolent.blind import Seal, seal
from redolent.desk.drill import Drill, Given, Words
from redolent.desk.household_form import HouseholdForm
from redolent.desk.jar_sheets import FILES, write_jar_sheets
from redolent.desk.jar_verdict import tell_smelled
from redolent.desk.panel import check_folder, chief, safe, taking_up
from redolent.journal import SEALED_DRAFT
from redolent.lexicon import LEVELS, Level
from redolent.practice import Household, Jar, JarSet, Smelled, judge_jars, pick_jars
from redolent.practice.jars import FEWEST, GOALS, MOST


class JarDrill(Drill):
    """A set of jars; one that waits is taken up again.

    Parameters
    ----------
    *given
        As of a `Drill`.
    household : HouseholdForm
    folder : Path
        Where the sheets are written.
    chosen : sequence of str
        The places that somebody chose, instead of a goal; what the household may not meet is replaced.

    Attributes
    ----------
    picked : JarSet or None
        Those that are being smelled. They say what is in them: no widget may carry it before the last answer.
    sealed : Seal or None
    smelled : Smelled or None
        Once the jars are open.
    """

    key = "jars"

    def __init__(self, *given: *Given, household: HouseholdForm, folder: Path, chosen: Sequence[str] = ()) -> None:
        super().__init__(*given)
        self.household, self._folder, self._chosen = household, folder, tuple(chosen)
        self.way = w.ToggleButtons(options=[("Somebody prepares them", "helper"), ("I am alone", "self-reported")])
        self.goal = w.ToggleButtons(description="Goal", options=GOALS)
        self.family = w.Dropdown(
            description="Family",
            options=[(node.label, node.id) for node in self.lexicon.at("family") if node.sense == "nose"],
        )
        self.number = w.BoundedIntText(description="Jars", min=FEWEST, max=MOST, value=8)
        self.draw, self.ready = chief("Pick the jars"), chief("The jars are ready")
        self.answer = Words(lambda: self.attempt(self._keep_typed))
        self.lock = chief("Lock the answer")
        self.was = self.choosing(self.uncover)
        self.level = w.ToggleButtons(description="Judge to the", options=LEVELS, value="descriptor")
        self.picked: JarSet | None = None
        self.sealed: Seal | None = None
        self.smelled: Smelled | None = None
        self._texts: dict[str, tuple[str, float]] = {}
        self._told: tuple[str, float] | None = None
        self.on(self.draw, self.pick)
        self.on(self.ready, self._next)
        self.on(self.lock, self.lock_answer)
        self.goal.observe(lambda _: self._offer_family(), "value")
        self.level.observe(lambda _: self._show_smelled() if self.smelled else None, "value")
        self._offer_family()

    # ---- what people do

    def begin(self, minutes: int) -> None:
        """Take up the set that waits, or ask about the household before anything is picked."""
        typed = self._take_up()
        if typed is not None:
            self._next(typed)
            return
        goal = () if self._chosen else (self.goal, self.family, self.number)
        self.show(
            w.HTML("<h3>Before anything is picked</h3>"), self.household, self.way, *goal, buttons=(self.draw,)
        )  # fmt: skip

    def close(self) -> None:
        """Leave the screen; the set waits in its draft."""
        super().close()
        self.picked = self.sealed = self.smelled = None

    def pick(self) -> None:
        """Pick the jars for this household, seal the key and write the sheets."""
        household = self.household.household()
        check_folder(self._folder)
        jars = self._pick(household)
        self.picked, self.sealed, self.smelled, self._texts, self._told = jars, seal(jars.key), None, {}, None
        self.answer.fill()
        write_jar_sheets(jars, self.sealed, household, self.lexicon, self._folder)
        self._save()
        lie = "".join(f"<li>{safe(name)}</li>" for name in FILES.values())
        cautions = "".join(f"<li>{safe(said)}</li>" for said in household.cautions)
        whose = (
            "for whoever prepares, and not for you"
            if self.way.value == "helper"
            else "what you need; stick each label under its jar by the key, and shuffle with your eyes shut"
        )
        self.question.value = (
            f"<h3>{len(jars.jars)} jars are picked</h3><p>In the folder <b>{safe(self._folder.resolve())}</b> "
            f"lie {whose}:</p><ul>{lie}</ul><p>What is in them is told once "
            f"the last answer is locked. Take your time: the jars wait for you here.</p><ul>{cautions}</ul>"
        )
        self.show(self.question, buttons=(self.ready,))

    def lock_answer(self) -> None:
        """Lock what a jar is said to hold."""
        if not self.answer.value.strip():
            raise ValueError("Write what it reminds you of; “no idea” is an answer, too.")
        told, waiting = (self.answer.value, self.seconds), self._waiting
        if self.way.value == "helper" or len(waiting) == 1:
            self._texts[waiting[0]] = told
        else:
            self._told = told
        self.answer.fill()
        self._save()
        self._next()

    def uncover(self) -> None:
        """Keep which jar it was, of somebody who is alone."""
        if self._told is None:
            return  # the code was given, and could not be saved: it is asked for again when the jars are taken up
        self._texts[self.was.value], self._told = self._told, None
        self._save()
        self._next()

    # ---- one jar after the other

    def _pick(self, household: Household) -> JarSet:
        lexicon, rng = self.lexicon, self._rng
        if self._chosen:
            number = max(FEWEST, len(self._chosen))
            return pick_jars("weak spots", number, household, lexicon, rng, weak=self._chosen)
        goal, number = self.goal.value, self.number.value
        weak = self.learner.weak() if goal == "weak spots" else []
        if goal == "weak spots" and not weak:
            raise ValueError("No weak spot is known yet; begin with a balanced set, and what is missed will be one.")
        return pick_jars(goal, number, household, lexicon, rng, family=self.family.value, weak=weak)

    def _next(self, typed: str = "") -> None:
        assert self.picked is not None
        waiting, number = self._waiting, len(self.picked.jars)
        if not waiting:
            self._open()
            return
        if self._told is not None:
            self.was.offer([(code, code) for code in sorted(waiting)])
            self.question.value = f"<h3>Locked: {safe(self._told[0])}</h3><p>Now look under the jar: which code?</p>"
            self.show(self.question, self.was)
            return
        jar = f"Jar {waiting[0]}" if self.way.value == "helper" else "Any jar that you have not smelled yet"
        self.question.value = (
            f"<h3>{jar} ({number - len(waiting) + 1} of {number})</h3><p>Two or three short sniffs. What is it? "
            "The first word that you are sure enough to write counts; “no idea” is an answer.</p>"
        )
        self.answer.fill(typed)
        self.show(self.question, self.answer, buttons=(self.lock,))
        self._asked_at = self.learner.now()

    @property
    def _waiting(self) -> list[str]:
        assert self.picked is not None
        return [code for code in self.picked.codes if code not in self._texts]

    def _open(self) -> None:
        assert self.sealed is not None
        self.smelled = found = self._judge("descriptor")
        # The seal says to which set an answer belongs; codes come again in other sets.
        rows = [
            (
                self.key,
                one.node,
                f"{one.code} {self.sealed.commitment}",
                one.text,
                one.answered == one.node,
                self._texts[one.code][1],
            )
            for one in found.answers
        ]
        self.learner.record(rows, drop_draft=self._draft_key)
        self._show_smelled()

    def _judge(self, level: Level) -> Smelled:
        assert self.picked is not None
        texts = {code: text for code, (text, _) in self._texts.items()}
        return judge_jars(self.picked, texts, self.lexicon, level=level, personal=self.learner.personal)

    def _show_smelled(self) -> None:
        assert self.sealed is not None
        self.told.value = (
            f"{tell_smelled(self._judge(self.level.value), self.lexicon)}"
            f"<p class='rd-quiet'>The nonce that opens the key: {safe(self.sealed.nonce)}</p>"
        )
        self.show(w.HTML("<h3>The jars are open</h3>"), self.level, self.told)

    def _offer_family(self) -> None:
        self.family.layout.display = "" if self.goal.value == "family" else "none"

    # ---- jars that wait

    @property
    def _draft_key(self) -> str:
        return f"{SEALED_DRAFT}{self.learner.taster_id}"

    def _keep_typed(self) -> None:
        if self.picked is not None and self.smelled is None:
            self._save()

    def _save(self) -> None:
        """Keep the set until its last answer is locked: it survives a restart, and nothing of it is an event yet."""
        assert self.picked is not None
        assert self.sealed is not None
        kept: dict[str, object] = {"goal": self.picked.goal, "key": self.picked.key, "texts": self._texts}
        kept |= {"commitment": self.sealed.commitment, "nonce": self.sealed.nonce, "typed": self.answer.value}
        kept |= {"way": self.way.value, "told": self._told}
        self.learner.journal.save_draft(self._draft_key, json.dumps(kept))

    def _take_up(self) -> str | None:
        """Take up a set that waits; give what was typed of the next answer, None where there is no such set."""
        with taking_up():
            kept = json.loads(self.learner.journal.drafts()[self._draft_key])
            jars = tuple(Jar(code, self.lexicon[node].id) for code, node in kept["key"].items())
            texts = {code: (str(text), float(seconds)) for code, (text, seconds) in kept["texts"].items()}
            told = (str(kept["told"][0]), float(kept["told"][1])) if kept["told"] else None
            typed, sealed = str(kept["typed"]), Seal(str(kept["commitment"]), str(kept["nonce"]))
            self.way.value = kept["way"]
            self.picked, self.sealed, self.smelled = JarSet(kept["goal"], jars), sealed, None
            self._texts, self._told = texts, told
            return typed
        return None
