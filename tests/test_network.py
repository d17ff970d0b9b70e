"""Nothing leaves the machine: the main job runs where there is only a loopback, and asks for nothing else."""

import json
import os
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from hardship import in_namespace

OFFLINE = Path(__file__).parent / "offline"
LOOPBACK = {"127.0.0.1", "::1", "localhost"}


@pytest.mark.browser
def test_main_job_needs_and_asks_for_nothing_but_the_loopback(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    addresses = tmp_path / "addresses"
    addresses.touch()
    (tmp_path / "home").mkdir()
    monkeypatch.setenv("OFFLINE_ADDRESSES", str(addresses))
    monkeypatch.setenv(
        "PYTHONPATH", os.pathsep.join([str(OFFLINE), os.environ.get("PYTHONPATH", "")]).rstrip(os.pathsep)
    )
    said = in_namespace("--net", '"$PY" "$1" "$2"', OFFLINE / "main_job.py", tmp_path, timeout=180)
    assert said.strip(), "the main job said nothing"
    done = json.loads(said.splitlines()[-1]) if said.splitlines()[-1].startswith("{") else pytest.fail(said)
    assert done["interfaces"] == ["lo"]
    assert done["notes"] == ["a hint of lemon"]
    # The page, its scripts, its web sockets.
    asked = {urlsplit(url).hostname for url in done["asked"] if not url.startswith(("data:", "blob:", "about:"))}
    assert len(done["asked"]) > 20
    assert asked == {"127.0.0.1"}
    # The server and the kernel: where they listen, and what they connect to or look up.
    used = set(addresses.read_text().split())
    assert "127.0.0.1" in used
    assert used <= LOOPBACK
