"""Find the place: a word, a definition or a reference is walked down to where it stands in the lexicon."""

from redolent.desk.drill import Given, Session
from redolent.desk.panel import safe
from redolent.practice import PlaceQuestion, ask_place, compose_session, judge_place
from redolent.practice.place import STEPS


class PlaceDrill(Session):
    """Realm, family, group: a step at a time."""

    key = "place"

    def __init__(self, *given: *Given) -> None:
        super().__init__(*given)
        self.choices = self.choosing(self.step)
        self.choices.add_class("rd-steps")
        self.asked: PlaceQuestion | None = None
        self.path: tuple[str, ...] = ()

    def draw(self, minutes: int) -> list[str]:
        """Draw descriptors: those that are due, then others."""
        places = [node.id for node in self.lexicon.at("descriptor")]
        return compose_session(self.key, minutes, self.learner.cards(), places, self.learner.now(), self._rng)

    def ask(self, item: str) -> None:
        """Ask where a descriptor stands."""
        self.asked, self.path = ask_place(item, self.lexicon, self._rng), ()
        self.question.value = (
            f"<h3>Where does this {self.asked.shown} stand?</h3><p class='rd-sentence'>{safe(self.asked.text)}</p>"
        )
        self._offer_step()
        self.show(self.question, self.told, self.choices)

    def step(self) -> None:
        """Take the chosen step; the last is judged."""
        # Where the last step could not be kept, it is taken again.
        self.path = (*self.path[: len(STEPS) - 1], self.choices.value)
        if len(self.path) < len(STEPS):
            self._offer_step()
        else:
            self._judge()

    def _offer_step(self) -> None:
        above = self.path[-1] if self.path else None
        walked = self.lexicon.place(above) if above else "From the realm down"
        self.told.value = f"<p class='rd-quiet'>{safe(walked)} › which {STEPS[len(self.path)]}?</p>"
        self.choices.offer([(node.label, node.id) for node in self.lexicon.children(above)])

    def _judge(self) -> None:
        asked = self.asked
        assert asked is not None
        found = judge_place(asked, self.path)
        again = self.learner.keep(self.key, asked.node, asked.text, self.path[-1], found.correct, self.seconds)
        node = self.lexicon[asked.node]
        said = f"{found.right} of {len(STEPS)} steps right. {node.label} stands at {self.lexicon.place(asked.node)}."
        if any(way != found.best for way in asked.paths):
            places = ", ".join(self.lexicon.place(way[-1]) for way in asked.paths)
            said += f" {places} are all right: they refer to each other."
        self.tell(f"<p class='rd-sentence'>{safe(said)}</p><p>{safe(node.definition)}</p>", again)
