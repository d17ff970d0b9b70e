"""What stands behind a button: there for those who want it, out of the way for the others."""

import ipywidgets as w


class Fold(w.VBox):
    """Widgets that a button shows and hides.

    Parameters
    ----------
    title : str
    children : sequence of Widget
    """

    def __init__(self, title: str, *children: w.Widget) -> None:
        self.button = w.ToggleButton(description=title, icon="caret-right")
        self.button.add_class("rd-fold")
        self._body = w.VBox(children)
        super().__init__([w.HBox([self.button]), self._body])
        self.button.observe(lambda _: self._turn(), "value")
        self._turn()

    def close_fold(self) -> None:
        """Hide the widgets."""
        self.button.value = False

    def _turn(self) -> None:
        self._body.layout.display = "" if self.button.value else "none"
        self.button.icon = "caret-down" if self.button.value else "caret-right"


class Question(w.VBox):
    """A button that asks before it acts.

    Parameters
    ----------
    title : str
        What the button says.
    asks : str
        What is asked, as HTML.
    yes, no : str
        The two answers.
    """

    def __init__(self, title: str, asks: str, yes: str, no: str) -> None:
        self.button, self.yes, self.no = (w.Button(description=said) for said in (title, yes, no))
        self.asked = w.VBox([w.HTML(asks), w.HBox([self.no, self.yes])])
        super().__init__([w.HBox([self.button]), self.asked])
        self.button.on_click(lambda _: self.ask(True))
        self.no.on_click(lambda _: self.ask(False))
        self.ask(False)

    def ask(self, asked: bool) -> None:
        """Ask, or take the question back."""
        self.asked.layout.display = "" if asked else "none"
        self.button.disabled = asked
