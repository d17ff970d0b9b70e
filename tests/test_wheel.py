"""The wheel, installed in an empty environment outside the checkout, reads a note and brings all its data."""

import json
import os
import shutil
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[1]
BUILT_FROM = ("pyproject.toml", "README.md", "LICENSE", ".gitignore", "src", "lexicon", "notebooks")

SCRIPT = """
import json, sys
from pathlib import Path
import redolent
from redolent.shipped import shipped

note = redolent.read("no smoke, but a hint of quinse")
with redolent.Journal.open(Path(sys.argv[1]) / "journal.db") as journal:
    taster = journal.taster("Ines Varga").name
print(json.dumps({
    "file": redolent.__file__,
    "lexicon": str(shipped("lexicon")),
    "notebooks": str(shipped("notebooks")),
    "mentions": [[m.text, m.node, m.present] for m in note.mentions],
    "taster": taster,
}))
"""


def call(*command, cwd):
    """Run a command as on a machine that knows nothing of the checkout."""
    env = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "PIP_", "REDOLENT"))}
    env |= {"PIP_DISABLE_PIP_VERSION_CHECK": "1", "PIP_NO_INPUT": "1", "PYTHONNOUSERSITE": "1"}
    run = subprocess.run([*map(str, command)], cwd=cwd, env=env, capture_output=True, check=False, timeout=120)
    assert run.returncode == 0, (run.stdout + run.stderr).decode()
    return run.stdout.decode()


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """Build the wheel from a copy of the checkout with the litter that working in it leaves behind."""
    folder = tmp_path_factory.mktemp("build")
    copy = folder / "copy"
    copy.mkdir()
    for name in BUILT_FROM:
        source = CHECKOUT / name
        if source.is_dir():
            shutil.copytree(source, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, copy / name)
    litter = copy / "notebooks" / ".ipynb_checkpoints"
    litter.mkdir(exist_ok=True)
    (litter / "Notes-checkpoint.ipynb").write_text("{}", encoding="utf-8")
    call(
        sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation", "--no-index",
        "--wheel-dir", folder, copy, cwd=folder,
    )  # fmt: skip
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def names(wheel):
    with zipfile.ZipFile(wheel) as archive:
        assert archive.testzip() is None
        return set(archive.namelist())


@pytest.fixture(scope="module")
def bin_(wheel, tmp_path_factory):
    """Install the wheel in an empty environment; give the folder of its commands.

    The third-party libraries come from the environment of the tests, by a line in a .pth file: no network is
    needed. That environment's own .pth files, one of which brings the editable checkout, are not followed.
    """
    venv = tmp_path_factory.mktemp("elsewhere") / "venv"
    call(sys.executable, "-m", "venv", "--without-pip", venv, cwd=venv.parent)
    bin_ = venv / ("Scripts" if os.name == "nt" else "bin")
    python = bin_ / "python"
    # The wheel first: pip must not see the redolent of the other environment.
    call(
        sys.executable, "-m", "pip", "--python", python, "install", "--quiet", "--no-deps", "--no-index",
        wheel, cwd=venv.parent,
    )  # fmt: skip
    site = Path(call(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=venv).strip())
    assert venv in site.parents
    libraries = dict.fromkeys([sysconfig.get_path("purelib"), sysconfig.get_path("platlib")])
    (site / "libraries.pth").write_text("\n".join(libraries) + "\n", encoding="utf-8")
    return bin_


def test_wheel_holds_the_data(names):
    sources = [
        ("lexicon", "*.toml", "redolent/_data/lexicon"),
        ("lexicon/wordnet", "*.txt", "redolent/_data/lexicon/wordnet"),
        ("notebooks", "*.ipynb", "redolent/_data/notebooks"),
        ("src/redolent/desk/static", "*", "redolent/desk/static"),
        ("src/redolent/journal/migrations", "*.py", "redolent/journal/migrations"),
        ("src/redolent/journal/migrations/versions", "*.py", "redolent/journal/migrations/versions"),
    ]
    for folder, pattern, inside in sources:
        files = {f"{inside}/{file.name}" for file in (CHECKOUT / folder).glob(pattern) if file.is_file()}
        assert files, f"{folder} holds no {pattern}"
        assert files <= names
    assert {Path(name).suffix for name in names if name.startswith("redolent/desk/static/")} >= {
        ".js",
        ".css",
    }


def test_wheel_holds_every_module(names):
    modules = {file.relative_to(CHECKOUT / "src").as_posix() for file in (CHECKOUT / "src").rglob("*.py")}
    assert modules == {name for name in names if name.endswith(".py") and not name.startswith("redolent/_data/")}


def test_wheel_holds_its_licence(names):
    assert any(name.endswith(".dist-info/licenses/LICENSE") for name in names)


def test_wheel_holds_no_litter(names):
    litter = ("__pycache__", ".ipynb_checkpoints", ".pyc", "tests/", ".git")
    assert [name for name in sorted(names) if any(part in name for part in litter)] == []


def test_installed_package_reads_a_note_and_keeps_a_journal(bin_, tmp_path):
    said = json.loads(call(bin_ / "python", "-I", "-c", SCRIPT, tmp_path, cwd=tmp_path))
    for thing in ("file", "lexicon", "notebooks"):
        assert bin_.parent.resolve() in Path(said[thing]).resolve().parents
        assert CHECKOUT not in Path(said[thing]).resolve().parents
    assert said["mentions"] == [["smoke", "hearth/smoke", False], ["quinse", "orchard/pome/quince", True]]
    assert said["taster"] == "Ines Varga"
    assert (tmp_path / "journal.db").stat().st_size > 0


def test_installed_command_checks_the_lexicon(bin_, tmp_path):
    assert call(bin_ / "redolent", "lexicon", "check", cwd=tmp_path).startswith("The lexicon is sound: 7 realms, ")
