"""The command ``redolent``."""

import io
import os
import sys

from redolent.cli.app import app


def main() -> None:
    """Run the command line."""
    out = sys.stdout
    if not isinstance(out, io.TextIOWrapper):
        app()
        return
    # A terminal or a file may lack a note's letters; standard error escapes such letters by itself.
    out.reconfigure(errors="replace")
    try:
        app()
    finally:
        try:
            out.flush()
        except BrokenPipeError:
            # Whoever reads, such as `head`, has seen enough; what is left goes nowhere, without a word.
            os.dup2(os.open(os.devnull, os.O_WRONLY), out.fileno())
