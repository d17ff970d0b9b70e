"""Tell apart: two words that the taster takes for one another, with what to prepare and what to attend to."""

import ipywidgets as w

from redolent.desk.drill import Given, Session
from redolent.desk.household_form import HouseholdForm
from redolent.desk.panel import chief, safe
from redolent.practice import Pair

_TASTE = "Smell what says “to smell”; only what says “to taste” goes into the mouth, a little of it."


class ApartDrill(Session):
    """Pairs, after the household was asked.

    Parameters
    ----------
    *given
        As of a `Drill`.
    household : HouseholdForm
    """

    key = "apart"

    def __init__(self, *given: *Given, household: HouseholdForm) -> None:
        super().__init__(*given)
        self.household = household
        self.ready = chief("Next")
        self.choices = self.choosing(self.choose)
        self.choices.add_class("rd-steps")
        self.was = self.choosing(self.uncover)
        self.asked: Pair | None = None
        self.pairs: dict[str, Pair] = {}
        self.on(self.ready, self.prepare)

    def begin(self, minutes: int) -> None:
        """Draw the pairs, and ask about the household."""
        self._until = self.learner.now().timestamp() + 60 * minutes
        self.waiting = self.draw(minutes)
        self.show(w.HTML("<h3>Before anything is prepared</h3>"), self.household, buttons=(self.ready,))

    def prepare(self) -> None:
        """Go on to the first pair, once the household has answered."""
        self.household.household()
        self.go_on()

    def draw(self, minutes: int) -> list[str]:
        """Draw the pairs that the taster confuses, those that are due first; each word leads one of them."""
        due = set(self.learner.due(self.key))
        self.pairs = {}
        for pair in sorted(self.learner.pairs(), key=lambda pair: due.isdisjoint(pair.nodes)):
            self.pairs.setdefault(pair.nodes[0], pair)
        if not self.pairs:
            raise ValueError(
                "There is no pair yet that you take for one another; smell some jars, or taste with repeats, first."
            )
        return list(self.pairs)

    def ask(self, item: str) -> None:
        """Ask to tell a pair apart; where the household may not meet it, only compare."""
        pair, household = self.pairs[item], self.household.household()
        self.asked = pair
        one, other = pair.attend(self.lexicon)
        prepared = pair.prepare(self.lexicon, household)
        if prepared is None:
            advice = "<p>At least one of them has no reference for your household: compare the definitions.</p>"
        else:
            # Not every reference of a pair is for the nose, as those of the jars are.
            cautions = (_TASTE, *household.cautions[1:])
            advice = (
                f"<p>To prepare, in two covered cups that look alike:</p><ul>{_items(prepared)}</ul>"
                f"<ul>{_items(cautions)}</ul>"
            )
        options = [(self.lexicon[node].label, node) for node in pair.nodes]
        names = " and ".join(safe(label) for label, _ in options)
        self.question.value = f"<h3>{names}</h3><p>Attend to:</p><ul>{_items((one, other))}</ul>{advice}"
        if prepared is None:
            self.show(self.question, buttons=(self.onward,))
            return
        self.choices.offer(options)
        self.was.offer(options)
        self.told.value = "<p>Shuffle them with your eyes shut, take one, and say which it is.</p>"
        self.show(self.question, self.told, self.choices)

    def choose(self) -> None:
        """Lock which of the two it is said to be."""
        self.told.value = "<p>Now look: which one was it?</p>"
        self.choices.disabled = True
        self.show(self.question, self.told, self.was)

    def uncover(self) -> None:
        """Keep which of the two it was."""
        assert self.asked is not None
        node, said = self.was.value, self.choices.value
        asked, named = " / ".join(self.asked.nodes), self.lexicon[said].label
        again = self.learner.keep(self.key, node, asked, named, node == said, self.seconds)
        right = "You told them apart." if node == said else f"It was {self.lexicon[node].label}; smell both once more."
        self.tell(f"<p class='rd-sentence'>{safe(right)}</p>", again)


def _items(told: tuple[str, ...]) -> str:
    return "".join(f"<li>{safe(one)}</li>" for one in told)
