"""The practice panel: a few minutes of one drill at a time, and jars smelled blind."""

import json
from collections.abc import Callable
from dataclasses import asdict
from datetime import datetime
from pathlib import Path

import ipywidgets as w
import numpy as np

from redolent.blind import Seal, seal
from redolent.desk.countdown import Countdown
from redolent.desk.household_form import HouseholdForm
from redolent.desk.panel import Panel, check_folder, chief, guarded, name_tasters, safe, taking_up
from redolent.journal import SEALED_DRAFT, Journal
from redolent.lexicon import LEVELS, Lexicon
from redolent.practice import (
    DRILLS,
    Jar,
    JarSet,
    Pair,
    PlaceQuestion,
    RecallQuestion,
    Smelled,
    VagueNote,
    ask_place,
    ask_recall,
    ask_vague,
    compose_session,
    find_pairs,
    grade,
    judge_jars,
    judge_place,
    judge_recall,
    judge_sharpened,
    key_page,
    label_page,
    list_cards,
    list_due,
    pick_jars,
    shopping_page,
)
from redolent.practice.jars import FEWEST, GOALS, MOST
from redolent.practice.place import STEPS
from redolent.progress import mention_frame

MINUTES = (3, 5, 10)
INTRODUCTIONS = {
    "place": "A word, a definition or a reference is shown; walk down to where it stands in the lexicon. This is about "
    "our filing, and never enters your progress.",
    "name": "A place is given; write what comes to mind in 60 seconds. Spelling is forgiven.",
    "sharpen": "One of your own vague notes comes back with its coffee; write it again, one level deeper.",
    "apart": "Two words that you take for one another, with what to prepare and what to attend to.",
    "jars": "Kitchen references, smelled blind. Somebody prepares them, or you do and shuffle.",
}
_TASTE = "Smell what says “to smell”; only what says “to taste” goes into the mouth, a little of it."
FILES = {"shopping": "jars, what to buy.html", "labels": "jars, labels.html", "key": "jars, key.html"}


class PracticePanel(Panel):
    """Drills between tastings.

    Parameters
    ----------
    journal : Journal, optional
    lexicon : Lexicon, optional
    folder : path, optional
        Where the sheets of the jars are written.
    now : callable, optional
        Gives the local time, aware.
    seed : int or None
        For what is drawn.
    """

    def __init__(
        self,
        journal: Journal | None = None,
        lexicon: Lexicon | None = None,
        folder: str | Path = ".",
        now: Callable[[], datetime] | None = None,
        seed: int | None = None,
    ) -> None:
        super().__init__("Practise", journal, folder, now)
        self.lexicon = lexicon or Lexicon.load()
        self._rng = np.random.default_rng(seed)
        self.taster = w.Combobox(description="Taster", placeholder="your name", ensure_option=False)
        self.drill = w.ToggleButtons(options=[(name, key) for key, name in DRILLS.items()])
        self.minutes = w.ToggleButtons(description="Minutes", options=[(str(one), one) for one in MINUTES])
        self.about, self.due = w.HTML(), w.HTML()
        self.begin = chief("Begin")
        self.question, self.told = w.HTML(), w.HTML()
        self.choices = w.ToggleButtons(options=())
        self.choices.add_class("rd-steps")
        self.answer = w.Textarea(description="Your answer", rows=4)
        self.answer.add_class("rd-answer")
        self.countdown = Countdown()
        self.lock, self.onward = chief("Lock the answer"), chief("Next")
        self.leave = w.Button(description="Enough for now")
        self.household = HouseholdForm()
        self.goal = w.ToggleButtons(description="Goal", options=GOALS)
        self.family = w.Dropdown(
            description="Family",
            options=[(node.label, node.id) for node in self.lexicon.at("family") if node.sense == "nose"],
        )
        self.number = w.BoundedIntText(description="Jars", min=FEWEST, max=MOST, value=8)
        self.way = w.ToggleButtons(options=[("Somebody prepares them", "helper"), ("I am alone", "self-reported")])
        self.draw = chief("Pick the jars")
        self.level = w.ToggleButtons(description="Judge to the", options=LEVELS, value="descriptor")
        self.was = w.ToggleButtons(options=())

        self.taster_id = ""
        self.waiting: list[str] = []
        self.path: tuple[str, ...] = ()
        self.asked: PlaceQuestion | RecallQuestion | VagueNote | Pair | None = None
        self.pairs: dict[str, Pair] = {}
        self.jars: JarSet | None = None
        self.smelled: Smelled | None = None
        self._texts: dict[str, list] = {}
        self._seal: Seal | None = None
        self._typed = self._again = ""
        self._told: list | None = None
        self._vague: dict[str, VagueNote] = {}
        self._began = self._until = self._now()
        self._busy = False

        self.begin.on_click(lambda _: self.start())
        self.lock.on_click(lambda _: self.lock_answer() if not self.lock.disabled else None)
        self.onward.on_click(lambda _: self.go_on())
        self.leave.on_click(lambda _: self.choose())
        self.draw.on_click(lambda _: self.pick())
        self.choices.observe(lambda _: self._step() if not self._busy else None, "value")
        self.was.observe(lambda _: self.uncover() if not self._busy else None, "value")
        self.level.observe(lambda _: self._show_smelled() if self.smelled else None, "value")
        self.goal.observe(lambda _: self._offer_family(), "value")
        self.drill.observe(lambda _: self._introduce(), "value")
        self.taster.observe(lambda _: self._introduce(), "value")
        self.answer.observe(lambda _: self._keep_answer(), "value")
        self.countdown.observe(lambda _: self._time_is_over(), "over")
        names, lately = name_tasters(self.journal)
        self.taster.options = names
        self.taster.value = lately or (names[0] if names else "")
        self._offer_family()
        self.choose()

    # ---- what people do

    @guarded
    def choose(self) -> None:
        """Show the drills and what is due today."""
        self._introduce()
        self.stack(self.taster, self.drill, self.about, self.due, self.minutes, self.trouble, w.HBox([self.begin]))

    @guarded
    def start(self) -> None:
        """Begin a session of the chosen drill; a set of jars that waits is taken up again."""
        self.taster_id = self.journal.taster(self.taster.value).id
        self._began = self._now()
        self._until = self._began.timestamp() + 60 * self.minutes.value
        if self.drill.value == "jars" and self._take_up():
            self._next_jar()
        elif self.drill.value == "jars":
            self.stack(
                w.HTML("<h3>Before anything is picked</h3>"), self.household, self.way, self.goal, self.family,
                self.number, self.trouble, w.HBox([self.draw, self.leave]),
            )  # fmt: skip
        elif self.drill.value == "apart":
            due = self._due("apart")
            pairs = sorted(self._find_pairs(), key=lambda pair: due.keys().isdisjoint(pair.nodes))
            self.pairs = {}
            for pair in pairs:
                self.pairs.setdefault(pair.nodes[0], pair)
            self.waiting = list(self.pairs)
            if not self.waiting:
                raise ValueError(
                    "There is no pair yet that you take for one another; smell some jars, or taste with repeats, first."
                )
            self.stack(
                w.HTML("<h3>Before anything is prepared</h3>"), self.household, self.trouble, w.HBox([self.onward])
            )
        else:
            self.waiting = self._session()
            self._next()

    @guarded
    def go_on(self) -> None:
        """Ask the next question."""
        self._next()

    @guarded
    def lock_answer(self) -> None:
        """Lock what was written, and say what was read in it."""
        if isinstance(self.asked, RecallQuestion):
            self._judge_recall(self.asked)
        elif isinstance(self.asked, VagueNote):
            self._judge_sharpened(self.asked)
        elif self.jars is not None:
            self._lock_jar()

    @guarded
    def uncover(self) -> None:
        """Keep what it was that was just named: which of a pair, or which jar of somebody who is alone."""
        if self.jars is not None and self._told is not None and self.was.value is not None:
            self._texts[self.was.value], self._told = self._told, None
            self._keep_jars()
            self._next_jar()
            return
        if not isinstance(self.asked, Pair) or self.was.value is None:
            return
        node, said = self.was.value, self.choices.value
        self._keep("apart", node, " / ".join(self.asked.nodes), self.lexicon[said].label, node == said)
        right = "You told them apart." if node == said else f"It was {self.lexicon[node].label}; smell both once more."
        self._tell(f"<p class='rd-sentence'>{safe(right)}</p>")

    @guarded
    def pick(self) -> None:
        """Pick the jars for this household, seal the key and write the sheets."""
        household = self.household.household()
        check_folder(self._folder)
        weak = self._weak()
        if self.goal.value == "weak spots" and not weak:
            raise ValueError("No weak spot is known yet; begin with a balanced set, and what is missed will be one.")
        self.jars = pick_jars(
            self.goal.value, self.number.value, household, self.lexicon, self._rng, family=self.family.value, weak=weak
        )
        self._seal, self._texts, self._told = seal(self.jars.key), {}, None
        self._clear_answer()
        pages = {
            "shopping": shopping_page(self.jars, household, self.lexicon),
            "labels": label_page(self.jars, self._seal.commitment),
            "key": key_page(self.jars, self._seal, self.lexicon),
        }
        for name, page in pages.items():
            (self._folder / FILES[name]).write_text(page, encoding="utf-8")
        self._keep_jars()
        lie = "".join(f"<li>{safe(name)}</li>" for name in FILES.values())
        cautions = "".join(f"<li>{safe(said)}</li>" for said in household.cautions)
        whose = (
            "for whoever prepares, and not for you"
            if self.way.value == "helper"
            else "what you need; stick each label under its jar by the key, and shuffle with your eyes shut"
        )
        self.onward.description = "The jars are ready"
        self.stack(
            w.HTML(
                f"<h3>{len(self.jars.jars)} jars are picked</h3><p>In the folder <b>{safe(self._folder.resolve())}</b> "
                f"lie {whose}:</p><ul>{lie}</ul><p>What is in them is told once "
                f"the last answer is locked. Take your time: the jars wait for you here.</p><ul>{cautions}</ul>"
            ),
            self.trouble, w.HBox([self.onward, self.leave]),
        )  # fmt: skip

    # ---- the next question

    def _next(self) -> None:
        self.onward.description = "Next"
        if self.jars is not None and self.drill.value == "jars":
            self._next_jar()
            return
        if self.drill.value == "apart":
            self.household.household()
        if not self.waiting or self._now().timestamp() >= self._until:
            self._finish()
            return
        node = self.waiting.pop(0)
        self._began, self.path = self._now(), ()
        ask = {"place": self._ask_place, "name": self._ask_recall, "sharpen": self._ask_vague, "apart": self._ask_pair}
        ask[self.drill.value](node)

    def _ask_place(self, node: str) -> None:
        self.asked = ask_place(node, self.lexicon, self._rng)
        self.question.value = (
            f"<h3>Where does this {self.asked.shown} stand?</h3><p class='rd-sentence'>{safe(self.asked.text)}</p>"
        )
        self._offer_step()
        self.stack(self.question, self.told, self.choices, self.trouble, w.HBox([self.leave]))

    def _ask_recall(self, node: str) -> None:
        self.asked = ask_recall(node, self.lexicon)
        self._ask_text(
            f"<h3>What stands at {safe(self.asked.place)}?</h3><p>As many words as come to mind in "
            f"{self.asked.seconds} seconds; a comma or a line between them.</p>"
        )
        self.countdown.start(self.asked.seconds)

    def _ask_vague(self, note_id: str) -> None:
        asked = self._vague[note_id]
        self.asked = asked
        self._ask_text(
            f"<h3>{safe(asked.coffee)}, {safe(asked.stage)}</h3><div class='rd-note'><q>{safe(asked.text)}</q></div>"
            f"<p>You wrote “{safe(asked.word)}”. Write it again, one level deeper; from memory, or with the coffee "
            "before you. The note itself stays as it is.</p>"
        )

    def _ask_pair(self, node: str) -> None:
        pair = self.asked = self.pairs[node]
        one, other = pair.attend(self.lexicon)
        prepared = pair.prepare(self.lexicon, self.household.household())
        # Not every reference of a pair is for the nose, as those of the jars are.
        cautions = (_TASTE, *self.household.household().cautions[1:])
        if prepared is None:
            advice = "<p>At least one of them has no reference for your household: compare the definitions.</p>"
        else:
            advice = "<p>To prepare, in two covered cups that look alike:</p><ul>" + "".join(
                f"<li>{safe(said)}</li>" for said in prepared
            )
            advice += "</ul><ul>" + "".join(f"<li>{safe(c)}</li>" for c in cautions) + "</ul>"
        self.question.value = (
            f"<h3>{safe(self.lexicon[pair.nodes[0]].label)} and {safe(self.lexicon[pair.nodes[1]].label)}</h3>"
            f"<p>Attend to:</p><ul><li>{safe(one)}</li><li>{safe(other)}</li></ul>{advice}"
        )
        options = [(self.lexicon[one].label, one) for one in pair.nodes]
        self._set(self.choices, options)
        self._set(self.was, options)
        if prepared is None:
            self.onward.description = "Next"
            self.stack(self.question, self.trouble, w.HBox([self.onward, self.leave]))
            return
        self.told.value = "<p>Shuffle them with your eyes shut, take one, and say which it is.</p>"
        self.stack(self.question, self.told, self.choices, self.trouble, w.HBox([self.leave]))

    def _ask_text(self, question: str) -> None:
        self.question.value = question
        kept = self._half_typed()
        self._clear_answer(kept["typed"] if kept and kept["asked"] == self._asked_now else "")
        timed = [self.countdown] if isinstance(self.asked, RecallQuestion) else []
        self.stack(self.question, *timed, self.answer, self.trouble, w.HBox([self.lock, self.leave]))

    def _next_jar(self) -> None:
        assert self.jars is not None
        waiting = [code for code in self.jars.codes if code not in self._texts]
        if not waiting:
            self._open_jars()
            return
        self.asked = None
        done = len(self.jars.jars) - len(waiting)
        if self._told is not None:
            self._set(self.was, [(code, code) for code in sorted(waiting)])
            self.question.value = f"<h3>Locked: {safe(self._told[0])}</h3><p>Now look under the jar: which code?</p>"
            self.stack(self.question, self.was, self.trouble, w.HBox([self.leave]))
            return
        jar = f"Jar {waiting[0]}" if self.way.value == "helper" else "Any jar that you have not smelled yet"
        self._ask_text(
            f"<h3>{jar} ({done + 1} of {len(self.jars.jars)})</h3><p>Two or three short sniffs. What is it? "
            "The first word that you are sure enough to write counts; “no idea” is an answer.</p>"
        )
        self.answer.value, self._typed = self._typed, ""
        self._began = self._now()

    # ---- the steps of one place

    def _step(self) -> None:
        if self.choices.value is None:
            return
        if isinstance(self.asked, Pair):
            self.told.value = "<p>Now look: which one was it?</p>"
            self.choices.disabled = True
            self.stack(self.question, self.told, self.was, self.trouble, w.HBox([self.leave]))
        elif isinstance(self.asked, PlaceQuestion):
            self.path = (*self.path, self.choices.value)
            if len(self.path) < len(STEPS):
                self._offer_step()
            else:
                guarded(PracticePanel._judge_place)(self)

    def _offer_step(self) -> None:
        above = self.path[-1] if self.path else None
        walked = self.lexicon.place(above) if above else "From the realm down"
        self.told.value = f"<p class='rd-quiet'>{safe(walked)} › which {STEPS[len(self.path)]}?</p>"
        self._set(self.choices, [(node.label, node.id) for node in self.lexicon.children(above)])

    def _judge_place(self) -> None:
        asked = self.asked
        assert isinstance(asked, PlaceQuestion)
        found = judge_place(asked, self.path)
        self._keep("place", asked.node, asked.text, self.path[-1], found.correct)
        node = self.lexicon[asked.node]
        others = [way for way in asked.paths if way != found.best]
        said = f"{found.right} of {len(STEPS)} steps right. {node.label} stands at {self.lexicon.place(asked.node)}."
        if others:
            places = ", ".join(self.lexicon.place(way[-1]) for way in asked.paths)
            said += f" {places} are all right: they refer to each other."
        self._tell(f"<p class='rd-sentence'>{safe(said)}</p><p>{safe(node.definition)}</p>")

    # ---- what was written

    def _judge_recall(self, asked: RecallQuestion) -> None:
        found = judge_recall(asked, self.answer.value, self.lexicon, used=self._used, personal=self._personal)
        seconds = self._seconds()
        rows = [("name", asked.node, asked.place, self.answer.value, bool(found.named), seconds)]
        # Each word is recognised from now on; what comes back is the question, not its words.
        rows += [("named", node, asked.place, self.lexicon[node].label, True, None) for node in found.named]
        self._record(rows, drop_draft=self._answer_key)
        late = "" if seconds <= asked.seconds else f" It took {seconds:.0f} seconds, and all of it was read."
        said = (
            f"{_count(len(found.named), 'word')} of this place came to mind, {len(found.new)} of them never used in a "
            f"note.{late}"
        )
        more = [
            ("Never used before", found.new),
            ("Not used yet, to try next", found.unused[:8]),
            ("Stand elsewhere", found.elsewhere),
        ]
        lists = "".join(
            f"<p>{title}: {safe(', '.join(self.lexicon[node].label for node in nodes))}.</p>"
            for title, nodes in more
            if nodes
        )
        self._tell(f"<p class='rd-sentence'>{safe(said)}</p>{lists}")

    def _judge_sharpened(self, asked: VagueNote) -> None:
        if not self.answer.value.strip():
            raise ValueError("There is no new wording yet; write the note again, one level deeper.")
        found = judge_sharpened(asked, self.answer.value, self.lexicon, personal=self._personal)
        self._keep("sharpen", asked.node, asked.text, self.answer.value, found.correct)
        if found.correct:
            said = f"{_count(found.deeper, 'level')} deeper: {self.lexicon.place(found.node)}."
        else:
            below = ", ".join(node.label for node in self.lexicon.children(asked.node)[:7])
            said = f"Nothing below “{asked.word}” was read. Under it stand, among others: {below}."
        self._tell(f"<p class='rd-sentence'>{safe(said)}</p>")

    def _lock_jar(self) -> None:
        assert self.jars is not None
        if not self.answer.value.strip():
            raise ValueError("Write what it reminds you of; “no idea” is an answer, too.")
        told = [self.answer.value, self._seconds()]
        waiting = [code for code in self.jars.codes if code not in self._texts]
        if self.way.value == "helper" or len(waiting) == 1:
            self._texts[waiting[0]] = told
        else:
            self._told = told
        self._clear_answer()
        self._keep_jars()
        self._next_jar()

    def _open_jars(self) -> None:
        assert self.jars is not None
        texts = {code: text for code, (text, _) in self._texts.items()}
        self.smelled = judge_jars(self.jars, texts, self.lexicon, personal=self._personal)
        rows = []
        for answer in self.smelled.answers:
            right = answer.answered == answer.node
            rows.append(("jars", answer.node, answer.code, answer.text, right, self._texts[answer.code][1]))
        self._record(rows, drop_draft=self._draft_key)
        self._show_smelled()

    def _show_smelled(self) -> None:
        assert self.jars is not None
        assert self.smelled is not None
        assert self._seal is not None
        texts = {answer.code: answer.text for answer in self.smelled.answers}
        found = judge_jars(self.jars, texts, self.lexicon, level=self.level.value, personal=self._personal)
        self.told.value = (
            f"<p class='rd-sentence'>{safe(found.finding)}</p>{self._list_answers(found)}"
            f"<h3>What was taken for what</h3>{self._matrix(found)}{self._near(found)}"
            f"<p class='rd-quiet'>The nonce that opens the key: {safe(self._seal.nonce)}</p>"
        )
        self.leave.description = "Enough for now"
        self.stack(w.HTML("<h3>The jars are open</h3>"), self.level, self.told, self.trouble, w.HBox([self.leave]))

    def _list_answers(self, found: Smelled) -> str:
        rows = "".join(
            f"<tr><td>{one.code}</td><td>{safe(self.lexicon[one.node].label)}</td><td>{safe(one.text)}</td>"
            f"<td>{safe(self.lexicon[one.answered].label if one.answered else 'no word read')}</td></tr>"
            for one in found.answers
        )
        return f"<table><tr><th>Jar</th><th>It held</th><th>You wrote</th><th>Read as</th></tr>{rows}</table>"

    def _matrix(self, found: Smelled) -> str:
        def name(place: str) -> str:
            return safe(self.lexicon[place].label if place in self.lexicon else place)

        heads = "".join(f"<th scope='col'>{name(place)}</th>" for place in found.matrix.columns)
        rows = "".join(
            f"<tr><th scope='row'>{name(place)}</th>" + "".join(f"<td>{count or ''}</td>" for count in counts) + "</tr>"
            for place, counts in zip(found.matrix.index, found.matrix.to_numpy().tolist(), strict=True)
        )
        return (
            "<div class='rd-wide'><table><caption>Rows: what was in the jars. Columns: what was answered."
            f"</caption><tr><th></th>{heads}</tr>{rows}</table></div>"
        )

    def _near(self, found: Smelled) -> str:
        told = [
            f"<li>{safe(self.lexicon[node].label)} taken for {safe(self.lexicon[other].label)}: both at "
            f"{safe(self._shared(node, other))}</li>"
            for node, other, _ in found.near
        ]
        return f"<h3>Near misses</h3><ul>{''.join(told)}</ul>" if told else ""

    def _shared(self, one: str, other: str) -> str:
        ways = [[*(above.id for above in self.lexicon.ancestors(node)), node] for node in (one, other)]
        return self.lexicon.place([a for a, b in zip(*ways, strict=False) if a == b][-1])

    # ---- the end of a question, and of a session

    def _tell(self, said: str) -> None:
        self.told.value = said + f"<p class='rd-quiet'>{self._again}</p>"
        self.stack(self.question, self.told, self.trouble, w.HBox([self.onward, self.leave]))

    def _finish(self) -> None:
        self.told.value = "<p class='rd-sentence'>That is all for this session. What comes back will wait for you.</p>"
        self.stack(self.told, self.trouble, w.HBox([self.leave]))

    def _keep(self, drill: str, node: str, asked: str, answered: str, correct: bool) -> None:
        seconds = self._seconds()
        self._record([(drill, node, asked, answered, correct, seconds)], drop_draft=self._answer_key)
        card = next(one for one in list_cards(self._drills()) if (one.drill, one.node) == (drill, node))
        days = max(1, round(card.days))
        self._again = f"{grade(drill, correct, seconds).capitalize()}: it comes back in about {_count(days, 'day')}."

    def _record(self, rows: list[tuple], drop_draft: str = "") -> None:
        names = ("drill", "node", "asked", "answered", "correct", "seconds")
        self.journal.record_drills(
            self.taster_id, [dict(zip(names, row, strict=True)) for row in rows], at=self._now(), drop_draft=drop_draft
        )
        self._again = ""

    def _seconds(self) -> float:
        # A clock that is set back takes no answer away.
        return max(0.0, (self._now() - self._began).total_seconds())

    # ---- what is drawn from

    def _session(self) -> list[str]:
        drill, level = self.drill.value, {"place": "descriptor", "name": "group"}
        if drill == "sharpen":
            self._vague = self._draw_vague()
            if not self._vague:
                raise ValueError("None of your notes is vague; there is nothing to sharpen.")
            return list(self._vague)
        places = [node.id for node in self.lexicon.at(level[drill])]
        if drill == "name":
            places = [place for place in places if len(self.lexicon.children(place)) > 2]
        asked = compose_session(drill, self.minutes.value, list_cards(self._drills()), places, self._now(), self._rng)
        kept = self._half_typed()
        return list(dict.fromkeys([kept["asked"], *asked])) if kept else asked

    def _draw_vague(self) -> dict[str, VagueNote]:
        notes, drawn = self.journal.notes_frame(self.taster_id), {}
        due, done = list(self._due("sharpen")), frozenset[str]()
        kept = self._half_typed()
        if kept:
            note = VagueNote(**kept["asked"])
            drawn[note.note_id], done = note, frozenset({note.text})
        for _ in range(self.minutes.value):
            note = ask_vague(notes, self.lexicon, self._rng, done=done, due=due, personal=self._personal)
            if note is None:
                break
            drawn[note.note_id], done = note, done | {note.text}
            due = [node for node in due if node != note.node]
        return drawn

    def _due(self, drill: str) -> dict[str, None]:
        """Give the places of a drill that are due today, the longest due first."""
        due = list_due(list_cards(self._drills()), self._now())
        return dict.fromkeys(card.node for card in due if card.drill == drill)

    def _find_pairs(self) -> tuple[Pair, ...]:
        return find_pairs(self._drills(), self._mentions(), self.lexicon, personal=self._personal)

    def _weak(self) -> list[str]:
        """Give what to smell again: jars that are due, those that were missed, and what is confused."""
        drills = self._drills()
        missed = drills[(drills["drill"] == "jars") & (drills["correct"] == False)]["node"]  # noqa: E712
        confused = [node for pair in self._find_pairs() for node in pair.nodes]
        return list(dict.fromkeys([*self._due("jars"), *missed, *confused]))

    def _drills(self):
        return self.journal.drills_frame(self.taster_id)

    def _mentions(self):
        notes = self.journal.notes_frame(self.taster_id)
        return mention_frame(notes, lexicon=self.lexicon, personal=self._personal)

    @property
    def _personal(self) -> dict[str, str]:
        words = self.journal.personal_words(self.taster_id)
        return {word: node for word, node in words.items() if node in self.lexicon}

    @property
    def _used(self) -> set[str]:
        return set(self._mentions()["node"].dropna())

    # ---- jars that wait

    @property
    def _draft_key(self) -> str:
        return f"{SEALED_DRAFT}{self.taster_id}"

    @property
    def _answer_key(self) -> str:
        return f"practice {self.drill.value} {self.taster_id}"

    @property
    def _asked_now(self) -> str | dict[str, str]:
        """What is asked, as a draft keeps it: the place to recall, or the note to sharpen."""
        return asdict(self.asked) if isinstance(self.asked, VagueNote) else getattr(self.asked, "node", "")

    def _half_typed(self) -> dict | None:
        """Give what was typed and not locked in this drill, with what was asked."""
        with taking_up():
            kept = json.loads(self.journal.drafts()[self._answer_key])
            place = kept["asked"]
            known = VagueNote(**place).node if isinstance(place, dict) else place
            return kept if kept["typed"].strip() and known in self.lexicon else None
        return None

    def _keep_jars(self) -> None:
        """Keep the set until its last answer is locked: it survives a restart, and nothing of it is an event yet."""
        assert self.jars is not None
        assert self._seal is not None
        kept = {"goal": self.jars.goal, "key": self.jars.key, "texts": self._texts}
        kept |= {"commitment": self._seal.commitment, "nonce": self._seal.nonce, "typed": self.answer.value}
        kept |= {"way": self.way.value, "told": self._told}
        self.journal.save_draft(self._draft_key, json.dumps(kept))

    def _take_up(self) -> bool:
        """Take up the set that waits; say whether there is one."""
        with taking_up():
            kept = json.loads(self.journal.drafts()[self._draft_key])
            jars = JarSet(kept["goal"], tuple(Jar(code, self.lexicon[node].id) for code, node in kept["key"].items()))
            texts = {code: (str(kept["texts"][code][0]), float(kept["texts"][code][1])) for code in kept["texts"]}
            told = kept["told"] and (str(kept["told"][0]), float(kept["told"][1]))
            self.way.value = kept["way"]
            self._seal, self._texts = Seal(str(kept["commitment"]), str(kept["nonce"])), texts
            self._typed, self._told, self.jars = str(kept["typed"]), told, jars
            return True
        return False

    # ---- small things of the screen

    @guarded
    def _introduce(self) -> None:
        self.jars, self.smelled, self.asked = None, None, None
        self.about.value = f"<p>{INTRODUCTIONS[self.drill.value]}</p>"
        self.minutes.layout.display = "none" if self.drill.value == "jars" else ""
        known = self.journal.find_taster(self.taster.value) if self.taster.value.strip() else None
        due = list_due(list_cards(self.journal.drills_frame(known.id)), self._now()) if known else []
        told = [f"{name} {sum(card.drill == key for card in due)}" for key, name in DRILLS.items()]
        self.due.value = (
            f"<p class='rd-quiet'>Due today: {', '.join(told)}. What is not done today waits.</p>"
            if due
            else "<p class='rd-quiet'>Nothing is due today; anything new is welcome.</p>"
        )

    def _offer_family(self) -> None:
        self.family.layout.display = "" if self.goal.value == "family" else "none"

    @guarded
    def _keep_answer(self) -> None:
        """Keep what is typed; it stands there again after a restart."""
        if self._busy:
            return
        if self.jars is not None and self.smelled is None:
            self._keep_jars()
        elif isinstance(self.asked, RecallQuestion | VagueNote):
            kept = {"asked": self._asked_now, "typed": self.answer.value}
            self.journal.save_draft(self._answer_key, json.dumps(kept))

    def _time_is_over(self) -> None:
        if isinstance(self.asked, RecallQuestion) and self.countdown.over == self.countdown.round:
            self.lock_answer()

    def _clear_answer(self, text: str = "") -> None:
        self._busy = True
        self.answer.value = text
        self._busy = False

    def _set(self, buttons: w.ToggleButtons, options: list[tuple[str, str]]) -> None:
        self._busy = True
        buttons.options, buttons.value, buttons.disabled = options, None, False
        self._busy = False


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
