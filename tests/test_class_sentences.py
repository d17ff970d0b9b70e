"""The sentences on a class read well for none, one and many."""

import pandas as pd
import pytest

from redolent.classroom import Attendance, Changes, ClassTriangles, MentionAgreement


def changes(*patterns: str) -> Changes:
    return Changes(pd.DataFrame({"taster": [f"T{n}" for n in range(len(patterns))], "pattern": list(patterns)}))


@pytest.mark.parametrize(
    ("patterns", "said"),
    [
        (["steady"], "Of the one taster with enough tastings it is not shown that they learn or only write more."),
        (["steady", "other"], "Of none of the 2 tasters with enough tastings is it shown that they learn"),
        (["learns", "steady"], "Of the other taster neither is shown, which does not mean"),
        (["learns", "steady", "steady"], "Of the other 2 neither is shown, which does not mean"),
        (["too few"], "Nobody has enough tastings with others yet"),
    ],
)
def test_change(patterns, said):
    assert said in changes(*patterns).finding


def test_nothing_is_said_of_the_others_where_there_are_none():
    assert "neither is shown" not in changes("learns").finding


@pytest.mark.parametrize(
    ("writers", "said"), [(1, "1 of 1 taster wrote 1 note."), (2, "2 of 2 tasters wrote 2 notes.")]
)
def test_attendance(writers, said):
    tasters = pd.DataFrame({"taster": [f"T{n}" for n in range(writers)], "notes": [1] * writers})
    assert Attendance(tasters, pd.DataFrame()).finding == f"{said} No tasting was shared by two yet."


@pytest.mark.parametrize(
    ("shown", "said"),
    [
        ([False], "For the one taster with a run it is not shown that the odd cup is found more often than by luck"),
        ([False, False], "For none of 2 tasters is it shown that"),
        ([True], "For 1 of 1 taster it is shown that the odd cup is found more often than by luck: T0."),
        ([True, False], "; for the other one it is not shown, which does not mean guessing."),
        ([True, False, False], "; for the others it is not shown, which does not mean guessing."),
    ],
)
def test_triangles(shown, said):
    tasters = pd.DataFrame({"taster": [f"T{n}" for n in range(len(shown))], "shown": shown})
    assert said in ClassTriangles(tasters).finding


@pytest.mark.parametrize(
    ("lows", "said"),
    [
        ([0.1], "The class agrees beyond chance on when to name F0 (alpha 0.50, 0.10 to 0.90)."),
        ([0.1, -0.2], "0.90); of the other one this is not shown."),
        ([0.1, 0.2, -0.1, None], "to name 2 families, best on F0 (alpha 0.50, 0.10 to 0.90) and F1"),
    ],
)
def test_mention_agreement(lows, said):
    rows = [(f"F{n}", 0.5, low, None if low is None else 0.9) for n, low in enumerate(lows)]
    families = pd.DataFrame(rows, columns=["label", "alpha", "low", "high"]).astype({"low": object, "high": object})
    assert said in MentionAgreement(tasters=3, cups=20, coffees=5, families=families).finding
