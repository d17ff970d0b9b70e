"""What goes to the terminal: text that cannot steer it, and refusals in one sentence."""

from typing import NoReturn

import typer


def plain(text: str) -> str:
    """Keep control characters of a text from steering the terminal."""
    return "".join(c if c.isprintable() else "\ufffd" for c in text.replace("\t", " "))


def say(sentence: str, *, err: bool = False) -> None:
    """Print a sentence that may hold text from people."""
    typer.echo(plain(sentence), err=err)


def explain(error: Exception) -> str:
    """Say in one sentence what was wrong; that nobody reads on is nothing wrong, and is raised again."""
    if isinstance(error, BrokenPipeError):
        raise error
    if isinstance(error, OSError):
        return f"{error.filename or 'The file'} cannot be used ({error.strerror or error}); check it and its folder."
    return str(error)


def refuse(sentence: str, code: int = 1) -> NoReturn:
    """Say on standard error what was wrong, and end with an exit code."""
    say(sentence, err=True)
    raise typer.Exit(code)
