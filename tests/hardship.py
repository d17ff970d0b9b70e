"""What may befall a journal: a full disk, a folder that is another's, a byte that flips. Each in a process of its own."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

IN_CI = bool(os.environ.get("CI"))


def in_fork(act: Callable[[], object]) -> str:
    """Run something in a fork; give what it returns, or the error that it raised, as text."""
    here, there = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            said = str(act())
        except BaseException as error:
            said = f"{type(error).__name__}: {error}"
        os.write(there, said.encode(errors="replace"))
        os._exit(0)
    os.close(there)
    with open(here, "rb") as pipe:
        said = pipe.read().decode()
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
