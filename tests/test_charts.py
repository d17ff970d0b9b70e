"""Figures: what they say, what they escape, and whether they can be read."""

import json
import re
from itertools import combinations, product

import numpy as np
import pandas as pd
import plotly.graph_objects as go
import pytest

from redolent.charts import (
    CONFIG,
    draw_accumulation,
    draw_completeness,
    draw_credits,
    draw_levels,
    draw_marks,
    draw_recognition,
    draw_repeats,
    draw_returning,
    draw_shelves,
    draw_triangles,
    lay_out,
    style,
)
from redolent.lexicon import SENSES
from redolent.progress import (
    accumulate,
    analyse_marks,
    compare_repeats,
    estimate_vocabulary,
    level_shares,
    map_places,
    recognise,
    returning_words,
    review,
    triangle_history,
)
from redolent.progress.mentions import COLUMNS

WORDS = ("orchard/pome/quince", "orchard/pome/pear", "flower-border/blossom/jasmine", "orchard", "fruit")
LEVELS = {node: ("realm", "family", "group", "descriptor")[node.count("/") + 1] for node in WORDS} | {"fruit": "realm"}
HOSTILE = '<img src=x onerror=alert(1)>$\\frac{1}{2}$\x00\n"quoted" \u202e %{y} ' + "x" * 300


def history(taster="Ada", coffee="Kopal", tastings=12):
    rows = []
    for t, c, w in product(range(tastings), range(3), range(3)):
        at = pd.Timestamp("2026-01-10T09:00Z") + pd.Timedelta(days=11 * t, minutes=c)
        node = WORDS[(t * (c // 2 + 1) + w * (1 + t % 3)) % 5]
        name = (coffee, coffee, "Lomi")[c]
        about = (f"{t}{c}", taster, f"t{t}", f"t{t}c{c}", name, name, "warm", at)
        rows.append((*about, node, LEVELS[node], True, None, False, "exact", False, None))
    return pd.DataFrame(rows, columns=COLUMNS)


def runs(*correct, taster="Ada", coffee="Kopal", blinding="helper"):
    at = [pd.Timestamp("2026-01-10T18:00Z") + pd.Timedelta(days=30 * n) for n in range(len(correct))]
    names = (
        "run_id",
        "taster",
        "coffee_a",
        "coffee_b",
        "started_at",
        "alpha",
        "blinding",
        "planned",
        "answered",
    )
    rows = [(f"r{n}", taster, coffee, "Lomi", t, 0.05, blinding, 12, 12) for n, t in enumerate(at)]
    return pd.DataFrame(rows, columns=names).assign(correct=list(correct))


def marks(mentions, attribute="acidity"):
    cups = mentions.drop_duplicates("serving_id")
    return cups.assign(attribute=attribute, mark=[20 + 7 * (n % 5) + 30 * (n % 3 == 2) for n in range(len(cups))])


def draw_all(taster="Ada", coffee="Kopal", tastings=12, correct=(4, 9)):
    mentions = history(taster, coffee, tastings)
    return {
        "accumulation": draw_accumulation(accumulate(mentions)),
        "completeness": draw_completeness(estimate_vocabulary(mentions)),
        "shelves": draw_shelves(map_places(mentions, history("Bo", coffee, tastings))),
        "levels": draw_levels(level_shares(mentions)),
        "credits": draw_credits(level_shares(mentions)),
        "returning": draw_returning(returning_words(mentions)),
        "recognition": draw_recognition(recognise(mentions, permutations=19)),
        "marks": draw_marks(analyse_marks(marks(mentions), taster)),
        "repeats": draw_repeats(compare_repeats(mentions)),
        "triangles": draw_triangles(triangle_history(runs(*correct, taster=taster, coffee=coffee))),
    }


FULL = draw_all()
EMPTY = draw_all(tastings=0, correct=())
EVERY = [*FULL.values(), *EMPTY.values()]


def strings(figure):
    """Every string of a figure that a browser would draw."""

    def walk(part, name=""):
        if isinstance(part, dict):
            for key, value in part.items():
                yield from walk(value, key)
        elif isinstance(part, list):
            for value in part:
                yield from walk(value, name)
        elif isinstance(part, str) and name in ("text", "hovertext", "name", "ticktext"):
            yield part

    drawn = json.loads(figure.to_json())
    return [text for part in (drawn["data"], drawn["layout"]) for text in walk(part)]


def luminance(colour):
    """Relative luminance as WCAG 2.1 defines it."""
    if colour.startswith("rgb"):
        channels = np.array([int(c) for c in re.findall(r"\d+", colour)]) / 255
    else:
        channels = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    linear = np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)
    return linear, float(linear @ [0.2126, 0.7152, 0.0722])


def contrast(a, b):
    low, high = sorted((luminance(a)[1], luminance(b)[1]))
    return (high + 0.05) / (low + 0.05)


def test_contrast_as_wcag_defines_it():
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    # The grey that just passes on white, as WCAG's own techniques use it.
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("colour", [style.INK, style.QUIET, *style.SENSE_COLOURS.values()])
def test_text_colours_pass_aa(colour):
    assert contrast(colour, style.PAPER) >= 4.5


def test_lines_and_inner_labels_pass_aa():
    assert contrast(style.LINE, style.PAPER) >= 3
    assert contrast(style.INK, style.BAND) >= 4.5
    dark, slate, sand, light = style.steps(4)
    assert min(contrast(dark, style.PAPER), contrast(slate, style.PAPER)) >= 4.5
    assert min(contrast(sand, style.INK), contrast(light, style.INK)) >= 4.5


# Machado, Oliveira & Fernandes (2009), IEEE Transactions on Visualization and Computer Graphics 15:1291–1298,
# severity 1.0, rounded to three decimals.
DEFICIENCIES = {
    "none": np.eye(3),
    "protan": [[0.152, 1.053, -0.205], [0.115, 0.786, 0.099], [-0.004, -0.048, 1.052]],
    "deutan": [[0.367, 0.861, -0.228], [0.280, 0.673, 0.047], [-0.012, 0.043, 0.969]],
    "tritan": [[1.256, -0.077, -0.179], [-0.078, 0.931, 0.148], [0.005, 0.691, 0.304]],
}


@pytest.mark.parametrize("seen", DEFICIENCIES.values(), ids=DEFICIENCIES.keys())
def test_the_four_senses_stay_apart_with_every_colour_vision(seen):
    def lab(colour):
        to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
        x, y, z = np.cbrt(to_xyz @ np.clip(seen @ luminance(colour)[0], 0, 1) / [0.9505, 1, 1.089])
        return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])

    assert tuple(style.SENSE_COLOURS) == SENSES
    apart = [np.linalg.norm(lab(a) - lab(b)) for a, b in combinations(style.SENSE_COLOURS.values(), 2)]
    assert min(apart) > 15


def test_the_progress_scale_runs_from_dark_to_light():
    light = [luminance(colour)[1] for colour in style.steps(6)]
    assert light == sorted(light)
    assert len(style.steps(1)) == 1


@pytest.mark.parametrize("figure", EVERY)
def test_every_figure_says_its_finding_its_axes_and_an_alternative(figure):
    assert isinstance(figure, go.Figure)
    assert figure.layout.title.text
    assert figure.layout.xaxis.title.text
    assert figure.layout.yaxis.title.text
    assert len(figure.layout.meta["alt"]) > 60
    assert "nan" not in figure.to_json().lower()


@pytest.mark.parametrize("figure", EVERY)
def test_titles_are_wrapped_and_have_room(figure):
    lines = figure.layout.title.text.split("<br>")
    assert all(len(line) <= style.TITLE_COLUMNS for line in lines)
    assert "…" not in figure.layout.title.text
    assert figure.layout.margin.t >= figure.layout.title.pad.t + 1.3 * style.TITLE * len(lines)


@pytest.mark.parametrize("figure", EVERY)
def test_text_is_large_and_nothing_is_a_gradient(figure):
    drawn = figure.to_json()
    sizes = [float(size) for size in re.findall(r'"(?:font|tickfont|textfont)":\{[^}]*?"size":([\d.]+)', drawn)]
    assert sizes
    assert min(sizes) >= 14
    assert "gradient" not in drawn


@pytest.mark.parametrize("figure", EVERY)
def test_no_button_sends_a_figure_away(figure):
    assert "sendChartToCloud" in figure.layout.modebar.remove
    assert CONFIG["plotlyServerURL"] == ""


@pytest.mark.parametrize("name", FULL)
def test_names_from_people_are_shown_as_text(name):
    figure = draw_all(HOSTILE, HOSTILE)[name]
    drawn = strings(figure)
    assert any("&lt;img" in text for text in drawn)
    for text in drawn:
        assert set(re.findall("<[^>]*>", text)) <= {"<br>"}
        assert not set("$\x00\n\u202e") & set(text)
    assert all(len(line) <= style.TITLE_COLUMNS for line in figure.layout.title.text.split("<br>")[1:])
    figure.to_html(include_plotlyjs=False)


def test_the_accumulation_is_drawn_in_its_band():
    figure, result = FULL["accumulation"], accumulate(history())
    high, low, mean, observed = figure.data
    assert low.fill == "tonexty"
    assert list(low.y) == result.curve["low"].tolist()
    assert list(high.y) == result.curve["high"].tolist()
    assert list(mean.y) == result.curve["mean"].tolist()
    assert mean.line.dash == "dash"
    assert list(observed.y) == result.curve["observed"].tolist()
    assert "n = 36 in 12 tastings" in figure.layout.xaxis.title.text
    assert "new: jasmine, pear, quince" in observed.hovertext[0]


def test_the_levels_add_up_and_the_narrowest_has_its_interval():
    *bars, whisker = FULL["levels"].data
    shares = level_shares(history()).shares
    assert [bar.name for bar in bars] == ["descriptor", "group", "family", "realm"]
    assert np.sum([bar.y for bar in bars], axis=0) == pytest.approx([100] * len(shares))
    assert np.array(whisker.y) + whisker.error_y.array == pytest.approx(100 * shares["high"])
    assert "Jan 2026<br>n = " in FULL["levels"].layout.xaxis.ticktext[0]


def test_ten_years_of_months_keep_their_labels_apart():
    labels = draw_levels(level_shares(history(tastings=330))).layout.xaxis.ticktext
    assert len(labels) <= 6


def test_many_runs_keep_their_labels_apart():
    figure = draw_triangles(triangle_history(runs(*[5] * 20)))
    assert len(figure.layout.xaxis.ticktext) <= 6
    assert len(figure.data[0].y) == 20


def test_the_completeness_is_drawn_to_twice_the_servings_in_its_band():
    result = estimate_vocabulary(history())
    high, low, within, beyond, observed = FULL["completeness"].data
    assert (list(high.y), list(low.y)) == (result.curve["high"].tolist(), result.curve["low"].tolist())
    assert (within.x[-1], beyond.x[0], beyond.x[-1]) == (36, 36, 72)
    assert (beyond.line.dash, observed.y[0]) == ("dash", result.observed)


def test_a_shelf_a_family_and_a_box_a_group():
    figure, places = FULL["shelves"], map_places(history()).places
    groups, families = (places[places["level"] == level] for level in ("group", "family"))
    assert len(figure.layout.shapes) == len(groups)
    assert len(figure.layout.yaxis.ticktext) == len(families)
    visited = [box for box in figure.layout.shapes if box.line.dash == "solid"]
    assert len(visited) == (groups["times"] > 0).sum() == 2
    assert all(box.fillcolor == style.PAPER for box in figure.layout.shapes if box.line.dash == "dot")
    (pome,) = (text for data in figure.data for text in data.hovertext if "pome fruit" in text)
    assert "others at the same tables named it in" in pome
    assert "does not say that it was there" in pome


def test_what_came_back_is_stacked_to_the_whole():
    *bars, _ = FULL["credits"].data
    assert [bar.name for bar in bars] == ["descriptor", "group", "family", "realm", "nothing"]
    assert np.sum([bar.y for bar in bars], axis=0) == pytest.approx([100] * len(bars[0].y))


def test_words_that_can_be_told_are_filled():
    words = returning_words(history()).words
    (mark,) = FULL["returning"].data
    assert len(mark.y) == len(words)
    assert list(mark.x) == sorted(words["agreement"])
    told = (words.sort_values("agreement", kind="stable")["verdict"] != "cannot tell").tolist()
    assert [colour == style.INK for colour in mark.marker.color] == told


def test_the_page_has_four_steps_and_what_next_each_headed_by_a_sentence():
    page = lay_out(review(history(), runs=runs(4, 9), marks=marks(history())))
    assert [step.name for step in page] == ["Words", "Precision", "Consistency", "Discrimination", "What next"]
    assert all(step.finding.endswith(".") for step in page)
    assert sum(exhibit.figure is not None for step in page for exhibit in step.exhibits) == 10
    assert page[2].exhibits[-1].finding.startswith("The steadiest marks are those of acidity")


def test_one_tasting_is_not_written_as_several():
    figure = draw_accumulation(accumulate(history(tastings=1)))
    assert "n = 3 in 1 tasting)" in figure.layout.xaxis.title.text


def test_repeats_and_strangers_are_told_apart_without_colour():
    strangers, repeats = FULL["repeats"].data
    assert (strangers.marker.symbol, repeats.marker.symbol) == ("circle-open", "diamond")
    assert (len(strangers.y), len(repeats.y)) == (24, 12)
    assert "12 pairs of one coffee, 24 of two" in FULL["repeats"].layout.xaxis.title.text


def test_triangles_show_chance_and_which_runs_do_not_count():
    figure = FULL["triangles"]
    (chance,) = figure.layout.shapes
    assert (chance.y0, chance.line.dash) == (pytest.approx(100 / 3), "dash")
    assert "chance: 33 %" in [note.text for note in figure.layout.annotations]
    (mark,) = figure.data
    assert "p = 0.004 against guessing; one of 2 runs" in mark.hovertext[1]
    assert set(mark.marker.color) == {style.INK}
    unsealed = draw_triangles(triangle_history(runs(4, 9, blinding="not blind")))
    assert set(unsealed.data[0].marker.color) == {style.PAPER}
    assert "open: not blind" in unsealed.layout.xaxis.title.text


@pytest.mark.parametrize("figure", EMPTY.values(), ids=EMPTY.keys())
def test_an_empty_figure_says_what_is_missing(figure):
    (note,) = figure.layout.annotations
    assert note.text.replace("<br>", " ") == figure.layout.meta["alt"]
