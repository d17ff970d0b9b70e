"""What all drills of the practice panel share: how they ask, how they are answered, how a session goes on."""

from collections.abc import Callable, Sequence

import ipywidgets as w
import numpy as np

from redolent.desk.learner import Learner
from redolent.desk.panel import chief

Given = tuple[Learner, np.random.Generator, Callable[..., None], Callable[[Callable[[], None]], None]]
"""What every drill is given: the parameters of a `Drill`."""


class Drill:
    """One drill.

    Parameters
    ----------
    learner : Learner
    rng : numpy.random.Generator
        For what is drawn.
    show : callable
        Puts widgets on the screen: ``show(*widgets, buttons=(…))``.
    attempt : callable
        Does what somebody asked for, and complains in a sentence where that fails.
    """

    key = ""

    def __init__(
        self,
        learner: Learner,
        rng: np.random.Generator,
        show: Callable[..., None],
        attempt: Callable[[Callable[[], None]], None],
    ) -> None:
        self.learner, self.lexicon, self._rng, self._show, self._attempt = learner, learner.lexicon, rng, show, attempt
        self.question, self.told = w.HTML(), w.HTML()
        self._shown: tuple[w.Widget, ...] = ()
        self._asked_at = learner.now()

    def begin(self, minutes: int) -> None:
        """Begin, for so many minutes where the drill has no end of its own."""
        raise NotImplementedError

    def close(self) -> None:
        """Leave the screen: no button or choice of the drill acts any more."""
        self._shown = ()

    def show(self, *widgets: w.Widget, buttons: tuple[w.Button, ...] = ()) -> None:
        """Show widgets, with the buttons that go on from there."""
        self._shown = (*widgets, *buttons)
        self._show(*widgets, buttons=buttons)

    def attempt(self, act: Callable[[], None]) -> None:
        """Do what somebody asked for; what goes wrong is said in a sentence."""
        self._attempt(act)

    def on(self, button: w.Button, act: Callable[[], None]) -> None:
        """Let a button act where it is shown: the second of two quick clicks meets the next screen."""
        button.on_click(lambda _: self.attempt(act) if button in self._shown else None)

    def choosing(self, act: Callable[[], None]) -> "Choices":
        """Give choices that act where they are shown, as buttons do."""
        choices = Choices(lambda: self.attempt(act) if choices in self._shown else None)
        return choices

    @property
    def seconds(self) -> float:
        """Since the question was asked. A clock that is set back takes no answer away."""
        return max(0.0, (self.learner.now() - self._asked_at).total_seconds())


class Session(Drill):
    """A drill that asks one thing after the other until all that was drawn is asked, or the time is over.

    Attributes
    ----------
    waiting : list of str
        What is still to be asked.
    """

    def __init__(self, *given: *Given) -> None:
        super().__init__(*given)
        self.onward = chief("Next")
        self.on(self.onward, self.go_on)
        self.waiting: list[str] = []
        self._until = 0.0

    def begin(self, minutes: int) -> None:
        """Draw what is to be asked, and ask the first."""
        self._until = self.learner.now().timestamp() + 60 * minutes
        self.waiting = self.draw(minutes)
        self.go_on()

    def go_on(self) -> None:
        """Ask the next question."""
        if not self.waiting or self.learner.now().timestamp() >= self._until:
            self.told.value = (
                "<p class='rd-sentence'>That is all for this session. What comes back will wait for you.</p>"
            )
            self.show(self.told)
            return
        self._asked_at = self.learner.now()
        self.ask(self.waiting.pop(0))

    def draw(self, minutes: int) -> list[str]:
        """Draw what is asked in so many minutes."""
        raise NotImplementedError

    def ask(self, item: str) -> None:
        """Ask about one of what was drawn."""
        raise NotImplementedError

    def tell(self, said: str, again: str = "") -> None:
        """Show what came of an answer, as HTML, and when its question comes back."""
        self.told.value = f"{said}<p class='rd-quiet'>{again}</p>"
        self.show(self.question, self.told, buttons=(self.onward,))


class Choices(w.ToggleButtons):
    """Buttons of which one is taken; none is when they are offered.

    Parameters
    ----------
    take : callable
        Called when one is taken.
    """

    def __init__(self, take: Callable[[], None]) -> None:
        super().__init__(options=())
        self._offering = False
        self.observe(lambda _: take() if not self._offering and self.value is not None else None, "value")

    def offer(self, options: Sequence[tuple[str, str]]) -> None:
        """Offer other options."""
        self._offering = True
        self.options, self.index, self.disabled = options, None, False
        self._offering = False


class Words(w.Textarea):
    """An answer in words.

    Parameters
    ----------
    keep : callable
        Called when something is typed: nothing typed is lost.
    """

    def __init__(self, keep: Callable[[], None]) -> None:
        super().__init__(description="Your answer", rows=4)
        self.add_class("rd-answer")
        self._filling = False
        self.observe(lambda _: keep() if not self._filling else None, "value")

    def fill(self, text: str = "") -> None:
        """Put a text there that is kept already."""
        self._filling = True
        self.value = text
        self._filling = False
