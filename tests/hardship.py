"""What may befall a journal: a full disk, a folder that is another's, a byte that flips."""

import os
import platform
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

IN_CI = bool(os.environ.get("CI"))


def in_fork(act: Callable[[], object]) -> str:
    """Run something in a fork; give what it returns, or the error that it raised, as text."""
    return in_forks([act])[0]


def in_forks(acts: Sequence[Callable[[], object]]) -> list[str]:
    """Run each in a fork of its own, all at once; give what they return, or the error that they raised, as text."""
    children = []
    for act in acts:
        here, there = os.pipe()
        child = os.fork()
        if child == 0:
            try:
                said = str(act())
            except BaseException as error:
                said = f"{type(error).__name__}: {error}"
            with open(there, "wb") as pipe:
                pipe.write(said.encode(errors="replace"))
            os._exit(0)
        os.close(there)
        children.append((child, here))
    said = []
    for child, here in children:
        with open(here, "rb") as pipe:
            said.append(pipe.read().decode())
        os.waitpid(child, 0)
    return said


def in_namespace(kinds: str, script: str, *arguments: object, timeout: float = 120) -> str:
    """Run a shell script in namespaces of its own; fail where the machine has none in CI, skip elsewhere."""
    command = ["unshare", "--map-root-user", *kinds.split(), "sh", "-ec", script, "sh", *map(str, arguments)]
    if subprocess.run([*command[: command.index("sh")], "true"], capture_output=True).returncode:
        (pytest.fail if IN_CI else pytest.skip)("This machine lets nobody make a namespace (unshare).")
    done = subprocess.run(
        command, capture_output=True, text=True, timeout=timeout, env=os.environ | {"PY": sys.executable}
    )
    return done.stdout + done.stderr


def flip(path: Path, offset: int, mask: int = 0xFF) -> None:
    """Flip bits of one byte of a file."""
    with path.open("r+b") as file:
        file.seek(offset)
        byte = file.read(1)[0]
        file.seek(offset)
        file.write(bytes([byte ^ mask]))


def origin() -> str:
    """Say what a printed result came from."""
    told = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], cwd=Path(__file__).parent, capture_output=True, text=True
    )
    return f"{' '.join(sys.argv)}, Python {platform.python_version()}, commit {told.stdout.strip() or 'unknown'}"
