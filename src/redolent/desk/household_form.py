"""Who takes part, and what nobody may meet: asked before anything is picked or prepared."""

import ipywidgets as w

from redolent.lexicon.node import ALLERGENS
from redolent.practice import Household
from redolent.practice.household import PEOPLE

NONE = "nobody here has an allergy"


class HouseholdForm(w.VBox):
    """The two questions. Neither has an answer beforehand: "none" must be said, too."""

    def __init__(self) -> None:
        self.people = [w.Checkbox(description=said, indent=False) for said in PEOPLE]
        self.none = w.Checkbox(description=NONE, indent=False)
        self.allergens = [w.Checkbox(description=name, indent=False) for name in ALLERGENS]
        self.avoided = w.Text(description="Anything else", placeholder="kiwi, banana: a comma between them")
        several = w.HBox(self.allergens)
        several.add_class("rd-many")
        super().__init__(
            [
                w.HTML("<p>Who takes part?</p>"),
                *self.people,
                w.HTML("<p>Which allergies are there in the household?</p>"),
                self.none,
                several,
                self.avoided,
            ]
        )

    def household(self) -> Household:
        """Give what was answered.

        Raises
        ------
        ValueError
            Where one of the questions has no answer, or two that cannot both be.
        """
        allergens = frozenset(one.description for one in self.allergens if one.value)
        avoided = tuple(word.strip() for word in self.avoided.value.split(",") if word.strip())
        if not (self.none.value or allergens or avoided):
            raise ValueError(f"Say which allergies there are in the household, or that {NONE}.")
        if self.none.value and allergens:
            raise ValueError(f"You said that {NONE}, and ticked {', '.join(sorted(allergens))}; take one of them back.")
        return Household(frozenset(one.description for one in self.people if one.value), allergens, avoided)
