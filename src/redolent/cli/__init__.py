"""The command ``redolent``."""

from redolent.cli.app import app


def main() -> None:
    """Run the command line."""
    app()
