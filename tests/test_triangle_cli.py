"""``redolent triangle``: what it prints, in words and as JSON, and what it refuses."""

import json

import pytest
from scipy.stats import binomtest
from typer.testing import CliRunner

from redolent.cli import app

RESULT = [
    *("correct", "of", "p_value", "proportion", "proportion_low", "proportion_high"),
    *("pd", "pd_low", "pd_high", "d_prime", "d_prime_low", "d_prime_high"),
]


def run(*arguments):
    return CliRunner().invoke(app, ["triangle", *map(str, arguments)])


def strictly(text):
    def refuse(constant):
        raise AssertionError(f"{constant} is no JSON")

    return json.loads(text, parse_constant=refuse)


def test_result_as_json():
    told = strictly(run("result", "--correct", 13, "--of", 24, "--json").stdout)
    assert list(told) == RESULT
    test = binomtest(13, 24, 1 / 3, alternative="greater")
    low, high = binomtest(13, 24).proportion_ci(0.95, method="exact")
    assert told["p_value"] == pytest.approx(test.pvalue)
    assert (told["proportion_low"], told["proportion_high"]) == (pytest.approx(low), pytest.approx(high))
    assert (told["pd"], told["pd_low"]) == (pytest.approx(5 / 16), 0)
    assert told["pd_high"] == pytest.approx((high - 1 / 3) * 1.5)
    assert (round(told["d_prime"], 2), told["d_prime_low"]) == (1.68, 0)


def test_all_correct_has_no_end():
    told = strictly(run("result", "--correct", 24, "--of", 24, "--json").stdout)
    assert list(told) == [*RESULT, "d_prime_infinite"]
    assert told["d_prime"] is told["d_prime_high"] is None
    assert told["d_prime_infinite"] is True
    assert told["d_prime_low"] > 3


def test_no_answer_correct():
    told = strictly(run("result", "--correct", 0, "--of", 24, "--json").stdout)
    assert told["d_prime"] == told["d_prime_high"] == told["pd_high"] == 0
    assert told["p_value"] == 1


def test_result_in_words_begins_with_the_finding():
    lines = run("result", "--correct", 13, "--of", 24).stdout.splitlines()
    assert lines[0].startswith("Difference shown: 13 of 24 triads were correct")
    assert "p = 0.028" in lines[0]
    assert any("begins at 0.328, and guessing is 0.333" in line for line in lines[1:])
    assert "no d′ is too large" in run("result", "--correct", 24, "--of", 24).stdout


def test_plan_as_json():
    told = strictly(run("plan", "--alpha", 0.05, "--beta", 0.2, "--pd", 0.3, "--json").stdout)
    assert list(told) == ["triads", "triads_stable", "minimum_correct", "power", "alpha", "beta", "pd", "d_prime"]
    assert (told["triads"], told["triads_stable"], told["minimum_correct"]) == (40, 42, 19)


def test_plan_for_similarity_as_json():
    told = strictly(run("plan", "--beta", 0.05, "--pd", 0.3, "--similarity", "--triads", 60, "--json").stdout)
    assert list(told)[:3] == ["triads", "triads_stable", "maximum_correct"]
    assert told["maximum_correct"] == 25


def test_plan_in_words():
    shown = run("plan", "--d-prime", 2).stdout
    assert shown.startswith("A difference is shown in ")
    assert "d′ = 2.00" in shown
    assert "EFSA" in shown
    assert "p_d = 0.596" in run("plan", "--triads", 12).stdout


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("result", "--correct", 25, "--of", 24), "There are more correct answers (25) than triads (24); check both."),
        (("result", "--correct", 0, "--of", 0), "The number of triads must be a whole number of 1 or more, not 0."),
        (
            ("result", "--correct", -1, "--of", 3),
            "The number of correct answers must be a whole number of 0 or more, not -1.",
        ),
        (("result", "--correct", 1.5, "--of", 3), "--correct takes a whole number, such as 24, not '1.5'."),
        (
            ("result", "--correct", 3),
            "Give both --correct, the triads with the odd cup found, and --of, the triads answered.",
        ),
        (
            ("result", "--correct", 1, "--of", 10**30),
            f"{10**30} triads are more than anybody tastes; check the number.",
        ),
        (("plan", "--alpha", 0, "--pd", 0.3), "alpha must be a number between 0 and 1, such as 0.05, not 0.0."),
        (("plan", "--pd", 1.2), "p_d must be a number between 0 and 1, such as 0.3, not 1.2."),
        (("plan", "--pd", "much"), "--pd takes a number, such as 0.05, not 'much'."),
        (("plan", "--pd", "nan"), "p_d must be a number between 0 and 1, such as 0.3, not nan."),
        (("plan",), "Give p_d or d′, the smallest difference that matters, or the number of triads."),
    ],
)
@pytest.mark.parametrize("form", [(), ("--json",)])
def test_bad_input_gets_one_sentence_and_exit_code_2(arguments, sentence, form):
    result = run(*arguments, *form)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr == f"{sentence}\n"
