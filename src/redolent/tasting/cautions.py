"""Where a tasting can hurt: one short sentence each, and how much caffeine is on the table."""

from dataclasses import dataclass

BURNS = (
    "Boiling water, steam and hot cups burn: pour slowly, keep your face a hand's width from the crust, and above "
    "65 °C wait, do not taste (IARC 2016 on very hot beverages)."
)
GROUNDS = "Strain the grounds and bin or compost them: down the drain they clog it."
SPOONS = "Own spoon for everybody, or rinse it in hot water between cups and people."
ALLERGENS = "References are food: ask everybody at the table about allergies before you set one out."
LOCAL = "Local rules for food and safety come first, and a professional's word before anything that stands here."

WHO = ("a healthy adult", "pregnant or breast-feeding", "under age")

CAFFEINE_MG_PER_G = (
    10.0  # of coffee: some 1.2 % of arabica, most of it dissolved (from memory); robusta holds twice that
)
_SPOONS, _SPOON_ML, _SWALLOWED = (
    9,
    8.0,
    0.1,
)  # a cup, three a stage; what a taster who spits still swallows (from memory)


@dataclass(frozen=True, slots=True)
class Caffeine:
    """Estimated caffeine, in mg.

    Attributes
    ----------
    cup : float
        In one cup.
    swallowed, spat : float
        What a taster takes in from all cups, nine spoonfuls of 8 ml from each, swallowing or spitting.
    """

    cup: float
    swallowed: float
    spat: float


def estimate_caffeine(dose_g: float, cup_ml: float, cups: int) -> Caffeine:
    """Estimate the caffeine of a table; coffees differ twofold."""
    cup = dose_g * CAFFEINE_MG_PER_G
    swallowed = cups * cup * min(_SPOONS * _SPOON_ML / cup_ml, 1.0)
    return Caffeine(cup, swallowed, swallowed * _SWALLOWED)


def caution_caffeine(caffeine: Caffeine, who: str = "") -> str:
    """Say what the caffeine means for somebody, one of `WHO`, or for a person who has not said.

    Figures for healthy adults are shown to those only who say that they are such; none to minors.

    References
    ----------
    EFSA (2015), Scientific Opinion on the safety of caffeine, EFSA Journal 13(5): 4102.
    """
    if who == "under age":
        return (
            "Caffeine: the amounts that adults are told are not for you. Taste only where a parent agrees, spit, "
            "and ask a health professional first."
        )
    told = (
        f"Caffeine, estimated: {caffeine.cup:.0f} mg a cup; {caffeine.swallowed:.0f} mg from nine spoonfuls of each, "
        f"or about {caffeine.spat:.0f} mg if you spit."
    )
    if who == "a healthy adult":
        limit = (
            "For healthy adults EFSA (2015) sees no concern up to 200 mg in one sitting and 400 mg a day, all sources."
        )
    elif who == "pregnant or breast-feeding":
        limit = "In pregnancy and while breast-feeding EFSA (2015) sees no concern up to 200 mg a day, all sources."
    else:
        return "Caffeine adds up over many cups: spit, or plan fewer. Say who tastes to see an estimate."
    return f"{told} {limit} Ask a professional if you are unsure."
