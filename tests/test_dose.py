"""Dose, units, water and cooling against standards, handbook tables and a general-purpose library."""

import json
from math import exp

import numpy as np
import pytest
from iapws.iapws97 import _TSat_P
from scipy.optimize import curve_fit
from typer.testing import CliRunner

from redolent.cli import app
from redolent.tasting import boiling_point, dose_cup, fit_cooling, plan_water, table_total
from redolent.tasting.cooling import THERMOMETER_SD
from redolent.tasting.units import (
    G_PER_OZ,
    ML_PER_IMPERIAL_FL_OZ,
    ML_PER_US_FL_OZ,
    parse_altitude,
    parse_mass,
    parse_volume,
    to_celsius,
    to_fahrenheit,
    write_celsius,
    write_mass,
    write_temperature,
    write_volume,
)
from redolent.tasting.water import air_pressure, minutes_off_boil, vapour_pressure

# --- units


def test_unit_factors_are_those_of_nist():
    # NIST SP 811 (2008), Appendix B.8, to the digits printed there.
    assert round(ML_PER_US_FL_OZ, 5) == 29.57353
    assert round(ML_PER_IMPERIAL_FL_OZ, 5) == 28.41306
    assert round(G_PER_OZ, 5) == 28.34952


@pytest.mark.parametrize(
    ("text", "ml"),
    [
        ("200ml", 200),
        ("200", 200),
        (" 0,2 L ", 200),
        ("20 cl", 200),
        ("7.5 fl oz", 7.5 * 29.5735),
        ("7.5 U.S. fl. oz.", 7.5 * 29.5735),
        ("7 imperial fl oz", 7 * 28.4131),
    ],
)
def test_a_volume_is_read_in_ml(text: str, ml: float):
    assert parse_volume(text) == pytest.approx(ml, rel=1e-5)


@pytest.mark.parametrize("text", ["", "ml", "-200ml", "0", "200 mugs", "1e9", "nan", "2 0 0 ml", "9999999 ml"])
def test_what_is_no_volume_is_refused_in_a_sentence(text: str):
    with pytest.raises(ValueError, match=r"is no volume; give one .*200ml"):
        parse_volume(text)


@pytest.mark.parametrize("text", ["7 oz", "200 g"])
def test_a_weight_is_not_taken_for_a_volume(text: str):
    with pytest.raises(ValueError, match="is a weight"):
        parse_volume(text)


def test_a_mass_is_read_in_g_and_an_altitude_in_m():
    assert parse_mass("0.4 oz") == pytest.approx(11.34, abs=0.005)
    assert parse_altitude("5200 ft") == pytest.approx(1584.96)  # exact: a foot is 0.3048 m
    assert parse_altitude("-28") == -28
    with pytest.raises(ValueError, match="is no altitude"):
        parse_altitude("high up")


def test_units_are_written_as_chosen():
    assert write_volume(200, "US fl oz") == "6.8 US fl oz"
    assert write_volume(200, "imperial fl oz") == "7.0 imperial fl oz"
    assert write_mass(11, "oz") == "0.388 oz"
    assert write_temperature(92, "°F") == "198 °F"
    assert to_celsius(to_fahrenheit(93.5)) == pytest.approx(93.5)


def test_the_degrees_of_a_sentence_are_written_as_chosen():
    # Common practice states the target as 92–96 °C and as 198–205 °F; the others by hand.
    said = "Boils at 95.0 °C, target 92 to 96 °C; between the room's 21 and 101 °C; 4 minutes."
    assert write_celsius(said, "°C") == said
    assert write_celsius(said, "°F") == (
        "Boils at 203.0 °F, target 198 to 205 °F; between the room's 70 and 214 °F; 4 minutes."
    )


# --- dose


def test_dose_both_ways():
    # Common practice, no source: 55 g/l is 1.63 g a US fluid ounce, and 7.5 of them take 12.2 g.
    dose = dose_cup(parse_volume("7.5 fl oz"))
    assert dose.per_us_fl_oz == pytest.approx(1.63, abs=0.005)
    assert dose.exact_g == pytest.approx(7.5 * 1.63, abs=0.05)
    assert dose.rounded_g == 12.2
    assert dose_cup(200).rounded_g == 11.0


@pytest.mark.parametrize(
    ("cup", "scale", "rounded", "error"),
    # By hand: 85 ml take 4.675 g, 100 ml 5.5 g, 150 ml 8.25 g.
    [(85, 1.0, 5.0, 6.95), (85, 0.5, 4.5, -3.74), (85, 0.1, 4.7, 0.53), (100, 1.0, 6.0, 9.09), (150, 0.5, 8.5, 3.03)],
)
def test_rounding_to_the_scale_and_the_error_that_it_makes(cup, scale, rounded, error):
    dose = dose_cup(cup, scale_g=scale)
    assert dose.rounded_g == rounded
    assert dose.error_percent == pytest.approx(error, abs=0.005)
    assert bool(dose.warning) == (abs(error) > 3)


def test_a_table_takes_waste_on_top():
    # By hand: five cups of 11 g and 200 ml with a tenth on top.
    assert table_total(dose_cup(200), 5) == pytest.approx((60.5, 1100))


@pytest.mark.parametrize("arguments", [(5,), (200, 5), (200, 55, 0), (float("nan"),), (30, 20, 5)])
def test_a_dose_that_cannot_be_is_refused(arguments):
    with pytest.raises(ValueError, match=r"; (give|take) "):
        dose_cup(*arguments)


# --- water


@pytest.mark.parametrize(
    ("metres", "pascal"),
    # ISO 2533:1975 / ICAO Doc 7488, table of the standard atmosphere by geometric altitude (from memory).
    [(0, 101_325), (1000, 89_876.3), (2000, 79_501.4), (3000, 70_121.2), (5000, 54_048.3)],
)
def test_air_pressure_is_that_of_the_standard_atmosphere(metres: float, pascal: float):
    assert air_pressure(metres) == pytest.approx(pascal, rel=2e-5)


@pytest.mark.parametrize(
    ("celsius", "kilopascal"),
    # CRC Handbook of Chemistry and Physics, vapour pressure of water (from memory).
    [(60, 19.946), (80, 47.414), (90, 70.182), (95, 84.608), (100, 101.42)],
)
def test_vapour_pressure_is_that_of_the_handbook(celsius: float, kilopascal: float):
    assert vapour_pressure(celsius) / 1000 == pytest.approx(kilopascal, rel=2e-4)


@pytest.mark.parametrize("metres", [-400, 0, 600, 1200, 1600, 2400, 3000, 4500, 6000])
def test_boiling_point_agrees_with_iapws_if97(metres: float):
    # Saturation temperature of IAPWS-IF97, another equation than ours, from the `iapws` package.
    assert boiling_point(metres) == pytest.approx(_TSat_P(air_pressure(metres) / 1e6) - 273.15, abs=0.005)


@pytest.mark.parametrize(
    ("metres", "celsius", "within"),
    # The handbook's round figures: 100 °C at the sea, 95.0 at 1,500 m, 90 at 3,000 m, 96 near 1,200, 92 near 2,400.
    [(0, 100.0, 0.05), (1500, 95.0, 0.05), (3000, 90.0, 0.1), (1200, 96.0, 0.1), (2400, 92.0, 0.1)],
)
def test_boiling_point_at_altitude(metres: float, celsius: float, within: float):
    assert boiling_point(metres) == pytest.approx(celsius, abs=within)


def test_advice_follows_the_altitude():
    assert "let it stand off the boil" in plan_water(0).advice
    assert "within the target: pour straight off the boil" in plan_water(1600).advice
    assert "below the target of 92 to 96 °C: pour straight off the boil" in plan_water(3000).advice
    assert plan_water(1600).straight
    assert 0 < plan_water(0).wait[0] < plan_water(0).wait[1] < 10
    assert minutes_off_boil(95, 96) == 0
    with pytest.raises(ValueError, match="give -500 to 6000 m"):
        plan_water(9000)


# --- cooling


def test_two_readings_fix_the_curve():
    # A cup made up: 70 °C above a room of 20 °C, halving every 20 minutes.
    curve = [(t, 20 + 70 * 0.5 ** (t / 20)) for t in (5.0, 15.0)]
    cooling = fit_cooling(curve, room_c=20)
    assert cooling.temperature(20)[0] == pytest.approx(55)
    assert cooling.minutes(55)[0] == pytest.approx(20)
    assert cooling.minutes(20) is None
    assert "From 2 readings" in cooling.sureness


def test_the_fit_and_its_spread_agree_with_scipy():
    rng = np.random.default_rng(4)
    minutes = np.array([3.0, 8, 13, 18, 25, 32])
    readings = 21 + 68 * np.exp(-0.035 * minutes) + rng.normal(0, 1.0, 6)
    cooling = fit_cooling(list(zip(minutes, readings, strict=True)), room_c=21)
    found, _ = curve_fit(
        lambda t, a, k: 21 + np.exp(a - k * t), minutes, readings, p0=(4.2, 0.03), sigma=np.full(6, THERMOMETER_SD)
    )
    # Least squares of the logarithms, weighted, against those of the temperatures: close, not equal.
    assert cooling.rate == pytest.approx(found[1], rel=0.03)
    assert cooling.log_excess == pytest.approx(found[0], rel=0.005)
    assert cooling.temperature(20)[0] == pytest.approx(21 + exp(found[0] - 20 * found[1]), abs=0.3)


def test_the_interval_covers_the_truth_as_often_as_it_says():
    # 400 cups made up, each read twice by a thermometer with an error of 1 °C. A coverage of 0.95 has a standard
    # error of 0.011 here; four of them are allowed.
    rng = np.random.default_rng(8)
    hits = 0
    for _ in range(400):
        rate, excess = rng.uniform(0.025, 0.05), rng.uniform(60, 70)
        readings = [(t, 21 + excess * exp(-rate * t) + rng.normal()) for t in (6.0, 14.0)]
        _, low, high = fit_cooling(readings).temperature(25)
        hits += low <= 21 + excess * exp(-rate * 25) <= high
    assert hits / 400 == pytest.approx(0.95, abs=0.044)


def test_without_readings_it_is_a_guess_that_says_so_and_sharpens():
    guess, one, two = (fit_cooling(r) for r in ([], [(8, 74)], [(8, 74), (16, 61)]))
    widths = [high - low for _, low, high in (c.temperature(12) for c in (guess, one, two))]
    assert widths[0] > widths[1] > widths[2]
    assert "A guess" in guess.sureness
    assert "A guess" in one.sureness
    assert guess.safe_minutes() > guess.minutes(65)[0]
    # 65 °C lies at 13.3 min on the curve through the two readings (by hand); being sure takes a little longer.
    assert 13.4 < two.safe_minutes() < 15


@pytest.mark.parametrize(
    ("readings", "says"),
    [
        ([(5, 20)], "cannot be"),
        ([(5, 120)], "cannot be"),
        ([(-1, 70)], "after its pour"),
        ([(5, 70), (5, 69)], "one moment"),
        ([(5, 60), (9, 70)], "do not fall"),
    ],
)
def test_readings_that_cannot_be_are_refused(readings, says):
    with pytest.raises(ValueError, match=says):
        fit_cooling(readings)


# --- the command


def test_the_command_prints_json():
    result = CliRunner().invoke(app, ["dose", "200ml", "--altitude", "1600", "--scale", "0.1", "--json"])
    assert result.exit_code == 0
    said = json.loads(result.stdout)
    assert (
        list(said)
        == ("cup_ml dose_g dose_rounded_g rounding_error_percent boiling_c target_low_c target_high_c advice").split()
    )
    assert (said["cup_ml"], said["dose_g"], said["dose_rounded_g"]) == (200, 11, 11)
    # IAPWS-IF97 at the pressure of ISO 2533 at 1,600 m.
    assert said["boiling_c"] == pytest.approx(_TSat_P(0.0835277) - 273.15, abs=0.01)
    assert (said["target_low_c"], said["target_high_c"]) == (92, 96)
    assert "straight off the boil" in said["advice"]


def test_the_command_warns_of_a_coarse_scale_and_refuses_nonsense():
    result = CliRunner().invoke(app, ["dose", "85ml", "--scale", "1"])
    assert "5 g for 85 ml (the scale rounds 4.67 g, +7.0 %)" in result.stdout
    assert "take a finer scale" in result.stdout
    refused = CliRunner().invoke(app, ["dose", "7 oz"])
    assert refused.exit_code == 1
    assert "is a weight" in refused.stderr
