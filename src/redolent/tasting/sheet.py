"""Sheets for a tasting: one for the table, one for whoever pours, and how to go about it alone."""

from collections.abc import Mapping, Sequence

from redolent.blind import Seal
from redolent.blind.page import bullets, document, plain, table
from redolent.tasting.cautions import BURNS, GROUNDS, LOCAL, SPOONS
from redolent.tasting.units import write_celsius

_STYLE = """
table { table-layout: fixed }
th:first-child { width: 3rem }
td:first-of-type, th:nth-child(2) { width: 5rem; font-size: 1.1em }
@media print { td { height: 1.2cm } }
"""


def table_sheet(
    codes: Sequence[str], commitment: str, *, taster: str = "", day: str = "", temperature: str = "°C"
) -> str:
    """Write the sheet that lies on the table: codes only, in the order of tasting.

    Parameters
    ----------
    codes : sequence of str
    commitment : str
        Of the sealed key; proves afterwards that the key was not changed.
    taster, day : str, optional
        Printed as they are.
    temperature : {"°C", "°F"}

    Returns
    -------
    str
        One HTML document that needs no other file and prints on one page; all text is escaped.
    """
    rows = [[plain(code), *["<br><br>"] * 4] for code in codes]
    return document(
        "Tasting: table sheet",
        _about(taster, day, len(codes)),
        bullets(
            "Smell and taste from the first cup to the last, and in the same order at every stage.",
            "Write each cup down before you go to the next; do not talk until the reveal.",
            "Rinse your spoon between cups, and your mouth when you need to.",
        ),
        table(("Cup", "Code", "Dry, crust, break", "Hot", "Warm", "Cool"), rows),
        _cautions(temperature),
        '<p class="small">The key was sealed beforehand. Its commitment (SHA-256):<br>'
        f'<span class="seal">{plain(commitment)}</span></p>',
        style=_STYLE,
    )


def pourer_sheet(
    codes: Sequence[str],
    order: str,
    seal: Seal,
    names: Mapping[str, str],
    *,
    dose: str,
    taster: str = "",
    day: str = "",
    temperature: str = "°C",
) -> str:
    """Write the sheet for whoever pours: which coffee goes into which cup, and the nonce that opens the seal.

    Parameters
    ----------
    codes : sequence of str
    order : str
        A letter a cup.
    seal : Seal
        Of the tasting's key.
    names : mapping of str to str
        The coffee that each letter stands for.
    dose : str
        What goes into a cup, in words.
    taster, day : str
        Printed as they are.
    temperature : {"°C", "°F"}

    Raises
    ------
    ValueError
        Where codes and order differ in length, or a letter has no coffee.
    """
    if len(codes) != len(order) or not set(order) <= set(names):
        raise ValueError("The codes, the order and the coffees do not belong together; draw the tasting again.")
    rows = [[plain(code), f"{letter}: {plain(names[letter])}"] for code, letter in zip(codes, order, strict=True)]
    return document(
        "Tasting: pourer's key",
        '<p class="secret">Keep it from the taster until the reveal.</p>',
        _about(taster, day, len(codes)),
        f"<p>Each cup: {plain(dose)}.</p>",
        bullets(
            "Write the codes on the cups, dose out of sight, and set them out from left to right in this order.",
            "Purge the grinder between coffees. Grind cup by cup; repeats of a coffee together, then share them out.",
            "Same cups, same volume, same water. Stay out of sight and say nothing while the taster tastes.",
        ),
        table(("Cup", "Code", "Coffee"), rows),
        _cautions(temperature),
        '<p class="small">Commitment (SHA-256), as on the table sheet:<br>'
        f'<span class="seal">{plain(seal.commitment)}</span></p>'
        '<p class="small">Nonce, which opens it; tell it at the reveal:<br>'
        f'<span class="seal">{plain(seal.nonce)}</span></p>',
        style=_STYLE,
    )


def solo_steps(names: Mapping[str, str], letters: str, dose: str) -> list[str]:
    """Say how one person alone sets out the cups `letters` ("AAB") and stays blind to which is which.

    `dose` is what goes into a cup, in words.
    """
    counts = ", ".join(f"{letters.count(letter)} × {names[letter]}" for letter in sorted(set(letters)))
    return [
        f"Dose {len(letters)} cups that look alike: {counts}. Each takes {dose}. Stick the name of the coffee "
        "under it.",
        "Cover the grounds, look away, and slide the cups about until you have lost track of them; then line them up.",
        "Put the codes in front of them, from left to right.",
        "Taste, write and lock every stage. Do not look under a cup before the last stage is locked.",
        "At the reveal look under the cups and enter what stood where. It is stored as self-reported.",
    ]


def _about(taster: str, day: str, cups: int) -> str:
    told = [f"Taster: {plain(taster) if taster else '____________________'}"]
    told += [f"Day: {plain(day) if day else '______________'}", f"Cups: {cups}"]
    return f"<p>{' &nbsp; '.join(told)}</p>"


def _cautions(temperature: str) -> str:
    told = (write_celsius(caution, temperature) for caution in (BURNS, SPOONS, GROUNDS, LOCAL))
    return f'<div class="small">{bullets(*told)}</div>'
