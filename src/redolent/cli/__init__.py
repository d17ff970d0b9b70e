"""The command ``redolent``."""

import io
import sys

from redolent.cli.app import app


def main() -> None:
    """Run the command line."""
    # A terminal or a file may lack a note's letters; standard error escapes such letters by itself.
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")
    app()
