"""``import redolent`` and reading a note are light, and the package's names load when they are used."""

import json
import subprocess
import sys

import pytest

import redolent

HEAVY = {
    "alembic",
    "anywidget",
    "IPython",
    "ipywidgets",
    "jupyterlab",
    "numpy",
    "pandas",
    "plotly",
    "scipy",
    "sklearn",
    "sqlalchemy",
}

LIBRARY = """
import redolent
assert redolent.read("no smoke, but a hint of quinse").mentions[1].node == "orchard/pome/quince"
"""
COMMAND = """
import contextlib, io
from redolent.cli import app
with contextlib.redirect_stdout(io.StringIO()) as out:
    app(["lexicon", "find", "quince"], standalone_mode=False)
    app(["read", __file__, "--json"], standalone_mode=False)
assert '"mentions"' in out.getvalue()
"""


@pytest.mark.parametrize("code", [LIBRARY, COMMAND], ids=["library", "command"])
def test_reading_loads_nothing_heavy(code, tmp_path):
    script = tmp_path / "script.py"
    script.write_text(
        code + "\nimport json, sys\nprint(json.dumps(sorted({name.split('.')[0] for name in sys.modules})))\n",
        encoding="utf-8",
    )
    run = subprocess.run([sys.executable, "-I", script], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    loaded = set(json.loads(run.stdout))
    assert "redolent" in loaded
    assert loaded & HEAVY == set()


def test_dir_lists_the_public_names():
    names = dir(redolent)
    assert names == sorted(redolent.__all__)
    assert {"Journal", "Lexicon", "Reading", "read", "__version__"} <= set(names)


def test_every_public_name_loads():
    assert all(getattr(redolent, name) is not None for name in dir(redolent))
    assert redolent.Lexicon.load()["fruit"].level == "realm"
    assert isinstance(redolent.read("quince"), redolent.Reading)


def test_an_unknown_name_is_an_attribute_error():
    with pytest.raises(AttributeError, match=r"^module 'redolent' has no attribute 'reed'$"):
        redolent.reed  # noqa: B018
    assert not hasattr(redolent, "reed")
