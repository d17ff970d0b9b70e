"""One sitting at the table: which tasting a note belongs to, and which cup."""

from datetime import datetime

import numpy as np

from redolent.blind import draw_codes
from redolent.journal import Coffee, Journal, Serving, Tasting
from redolent.journal.runs import CODE


def find_tasting(journal: Journal, now: datetime) -> Tasting:
    """Give the tasting of the day of `now`, or begin it.

    Parameters
    ----------
    journal : Journal
    now : datetime
        Aware, local.
    """
    name = day_name(now)
    for tasting in journal.tastings():
        if tasting.name == name and tasting.started_at.date() == now.date():
            return tasting
    return journal.start_tasting(name, at=now)


def day_name(now: datetime) -> str:
    """Write a day out: ``25 November 2026``."""
    return f"{now.day} {now:%B %Y}"


def find_cup(journal: Journal, tasting: Tasting, cup: str, rng: np.random.Generator) -> Serving:
    """Give the serving that a taster means by `cup`, or set it out.

    Parameters
    ----------
    journal : Journal
    tasting : Tasting
    cup : str
        The name of a coffee, or the three-digit code of a cup whose coffee nobody has named yet.
    rng : numpy.random.Generator
        Draws a code for a coffee that has none.

    Raises
    ------
    ValueError
        Where `cup` is empty.
    """
    cup = tidy_cup(cup)
    served = journal.servings(tasting.id)
    if CODE.fullmatch(cup):
        known = journal.find_serving(tasting.id, cup)
        return known or journal.add_serving(tasting.id, code=cup, position=len(served) + 1)
    coffee = find_coffee(journal, cup)
    for serving in served:
        if serving.coffee_id == coffee.id:
            return serving
    code = draw_codes(1, rng, [serving.code for serving in served])[0]
    return journal.add_serving(tasting.id, coffee_id=coffee.id, code=code, position=len(served) + 1)


def tidy_cup(cup: str) -> str:
    """Give the name or code that was typed, without needless space.

    Raises
    ------
    ValueError
        Where it is empty.
    """
    tidy = " ".join(cup.split())
    if not tidy:
        raise ValueError("Say which coffee this is, or type the three-digit code of the cup.")
    return tidy


def find_coffee(journal: Journal, name: str) -> Coffee:
    """Give the newest coffee of that name, whatever its capitals, or enter it."""
    same = [coffee for coffee in journal.coffees() if coffee.name.casefold() == name.casefold()]
    return same[0] if same else journal.coffee(name)


def name_cup(journal: Journal, serving: Serving) -> str:
    """Say which cup a serving is: its coffee where that is known, else its code."""
    for coffee in journal.coffees():
        if coffee.id == serving.coffee_id:
            return coffee.name
    return f"cup {serving.code}"
