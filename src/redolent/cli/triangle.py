"""Triangle tests on the command line: the plan and the result."""

import json
from typing import Annotated, Any

import typer

from redolent.cli.terminal import refuse

triangle_app = typer.Typer(help="Plan a triangle test, and judge its result.", no_args_is_help=True)

Number = str | None
"""Numbers come as text, so that a wrong one gets one sentence."""


@triangle_app.command("plan")
def plan_triads(
    alpha: Annotated[str, typer.Option(help="Risk of claiming a difference that is none.", metavar="SHARE")] = "0.05",
    beta: Annotated[str, typer.Option(help="Risk of missing one that matters.", metavar="SHARE")] = "0.2",
    pd: Annotated[
        Number,
        typer.Option(
            "--pd", help="Smallest share of triads with the difference detected that matters.", metavar="SHARE"
        ),
    ] = None,
    d_prime: Annotated[
        Number, typer.Option("--d-prime", help="The same as a distance in standard deviations.", metavar="NUMBER")
    ] = None,
    similarity: Annotated[
        bool, typer.Option("--similarity", help="Show that there is no difference worth minding.")
    ] = False,
    triads: Annotated[Number, typer.Option(help="Their number, where it is fixed already.", metavar="N")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object.")] = False,
) -> None:
    """Say how many triads a test needs, or what so many can find."""
    from redolent.triangle import plan, split_sittings

    try:
        planned = plan(
            _number("--alpha", alpha),
            _number("--beta", beta),
            pd=None if pd is None else _number("--pd", pd),
            d_prime=None if d_prime is None else _number("--d-prime", d_prime),
            triads=None if triads is None else _whole("--triads", triads),
            similarity=similarity,
        )
        if as_json:
            typer.echo(_json(planned.to_dict()))
            return
        lines = [planned.finding, f"  {planned.saw}", f"  {split_sittings(planned.triads).finding}"]
    except ValueError as error:
        refuse(str(error), code=2)
    typer.echo("\n".join(lines))


@triangle_app.command("result")
def judge_result(
    correct: Annotated[Number, typer.Option(help="Triads with the odd cup found.", metavar="K")] = None,
    of: Annotated[Number, typer.Option("--of", help="Triads answered, fixed beforehand.", metavar="N")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object.")] = False,
) -> None:
    """Judge a result against guessing."""
    from redolent.triangle import judge

    try:
        if correct is None or of is None:
            raise ValueError("Give both --correct, the triads with the odd cup found, and --of, the triads answered.")
        verdict = judge(_whole("--correct", correct), _whole("--of", of))
    except ValueError as error:
        refuse(str(error), code=2)
    if as_json:
        typer.echo(_json(verdict.to_dict()))
        return
    typer.echo("\n".join([verdict.sentence, *(f"  {line}" for line in verdict.numbers)]))


def _number(option: str, text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise ValueError(f"{option} takes a number, such as 0.05, not {text!r}.") from None


def _whole(option: str, text: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise ValueError(f"{option} takes a whole number, such as 24, not {text!r}.") from None


def _json(told: dict[str, Any]) -> str:
    return json.dumps(told, allow_nan=False)
