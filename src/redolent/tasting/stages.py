"""The six stages at which a cup is smelled or tasted, from dry grounds to the cool cup.

Times and temperatures are common practice; 65 °C is where the International Agency for Research on Cancer
(2016) draws the line for very hot beverages.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from redolent.journal import STAGES


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage.

    Attributes
    ----------
    name : str
        As it is stored with a note.
    label : str
        As people read it.
    task : str
        One sentence that says what to do.
    caution : str
        One sentence, or empty where nothing is hot.
    """

    name: str
    label: str
    task: str
    caution: str = ""


GUIDE: Mapping[str, Stage] = MappingProxyType(
    {
        stage.name: stage
        for stage in (
            Stage(
                "dry",
                "Dry grounds",
                "Smell the dry grounds within a quarter of an hour of grinding, before any water.",
            ),
            Stage(
                "crust",
                "Wet crust",
                "Pour the water, leave the crust alone, and smell it from above as it rises.",
                "Boiling water and steam burn: pour slowly, and keep your face a hand's width away.",
            ),
            Stage(
                "break",
                "Break",
                "Break the crust at four minutes with the back of a spoon, smell what comes up, then skim.",
                "The steam that comes out is hot: keep your face a hand's width away.",
            ),
            Stage(
                "hot",
                "Hot cup",
                "Slurp a spoonful at about 60 °C and write what comes first, in the nose and on the tongue.",
                "Above 65 °C wait, do not taste: a cup that hot burns.",
            ),
            Stage(
                "warm",
                "Warm cup",
                "Slurp again at about 50 °C, with more room for acids and sweetness, and write what changed.",
            ),
            Stage(
                "cool",
                "Cool cup",
                "Slurp once more at 35 to 40 °C and write what is left, what is new, and how it ends.",
            ),
        )
    }
)


assert tuple(GUIDE) == STAGES, "the guide and the journal know the same stages"


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the stage bar.

    Attributes
    ----------
    name, label : str
    stage : str
        The stage whose notes are written at this step; empty where none are.
    task : str
        One sentence that says what to do.
    caution : str
        One sentence, or empty where nothing is hot.
    """

    name: str
    label: str
    stage: str
    task: str
    caution: str = ""


STEPS: tuple[Step, ...] = (
    Step("dry", "Dry grounds", "dry", GUIDE["dry"].task),
    Step(
        "pour",
        "Pour",
        "",
        "Pour each cup to the line, and press its button the moment that you do: its clock starts.",
        GUIDE["crust"].caution,
    ),
    Step(
        "crust",
        "Wet crust",
        "crust",
        "Leave the crust alone, and smell it from above as it rises.",
        "Steam burns: keep your face a hand's width away.",
    ),
    Step(
        "break",
        "Break",
        "break",
        "Four minutes after its own pour, break each crust with the back of a spoon, and smell what comes up.",
        GUIDE["break"].caution,
    ),
    Step(
        "skim",
        "Skim",
        "",
        "Skim foam and floating grounds off each cup with two spoons, rinsed between cups.",
        "The cups are still hot.",
    ),
    Step("hot", "Hot", "hot", GUIDE["hot"].task, GUIDE["hot"].caution),
    Step("warm", "Warm", "warm", GUIDE["warm"].task),
    Step("cool", "Cool", "cool", GUIDE["cool"].task),
    Step("reveal", "Reveal", "", "Codes meet coffees. Every note that stands now is locked first."),
)

BREAK_MINUTES = 4.0
HINTS_C: Mapping[str, float] = MappingProxyType({"hot": 60.0, "warm": 50.0, "cool": 38.0})
"""°C at which each stage is tasted (common practice, no source; all below 65 °C)."""
