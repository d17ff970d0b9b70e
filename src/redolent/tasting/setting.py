"""What lies ready before the first cup: equipment, how the cup is measured, how old the roast is."""

from datetime import date

FRESH_DAYS, OLD_DAYS = 2, 14
"""Days since the roast between which a coffee is usually tasted (common practice, no source)."""

GUIDANCE = (
    "Measure the cup: weigh the water that it takes to the pour line. 1 g is 1 ml near room temperature. Fluid "
    "ounces measure, avoirdupois ounces weigh; mixing them errs by 4 %.",
    "Take water without smell or taste of its own: filtered, or spring water low in minerals.",
    "Purge the grinder with a few beans of the next coffee, then grind cup by cup: a faulty bean spoils one cup only.",
    "Grind repeats of a coffee together and share them out: a faulty bean must not look like an inconsistent taster.",
    "Smell the grounds within about a quarter of an hour of grinding.",
)


def list_equipment(cups: int, alone: bool = False) -> list[str]:
    """List what a table of `cups` cups needs."""
    return [
        f"{cups} cups alike in size, colour and shape, and lids or saucers for the grounds",
        "labels for the codes" + (", and others that go under the cups" if alone else ""),
        "a scale, a kettle, odour-free water, a thermometer where you have one",
        "a grinder and a brush",
        f"a spoon for each taster, {2 if cups < 6 else 3} glasses of hot water to rinse in, two spoons to skim with",
        "a cup to spit into, water to drink, a cloth",
        "a sieve or filter for the grounds, which do not go down the drain",
    ]


def roast_note(roast_date: date | None, today: date) -> str:
    """Say what is to be known of a roast's age; empty where nothing is."""
    if roast_date is None:
        return ""
    days = (today - roast_date).days
    if days < 0:
        return "This roast date lies ahead; check it."
    if days < FRESH_DAYS:
        return "Roasted less than two days ago: gas may still lift the crust and hide aroma; a day or two more helps."
    if days > OLD_DAYS:
        return f"Roasted {days} days ago, more than two weeks: expect it quieter, and note its age."
    return ""
