import hashlib
import json
import os
import signal
import socket
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest
from lab_driver import (
    TABLET,
    await_notebook,
    chromium_page,
    click_run,
    folder_of,
    notebooks,
    outputs,
    person_environment,
    running_lab,
    write_notebook,
)
from playwright.sync_api import Page, expect

from redolent.cli import lab
from redolent.cli.lab import MANIFEST, START, CannotOpen, Copy, hash_cells, prepare_folder
from redolent.shipped import shipped

VIEW = {"application/vnd.jupyter.widget-view+json": {"model_id": "m"}, "text/plain": "Panel()"}


@pytest.fixture
def source(tmp_path: Path) -> Path:
    place = tmp_path / "source"
    place.mkdir()
    write_notebook(place / START, ["panel()"])
    write_notebook(place / "Triangle.ipynb", ["triangle()"])
    return place


@pytest.fixture
def folder(tmp_path: Path, source: Path) -> Path:
    place = tmp_path / "Redolent"
    prepare_folder(place, source)
    return place


def edit(path: Path, text: str) -> bytes:
    book = nbformat.read(path, 4)
    book.cells[0].source = text
    nbformat.write(book, path)
    return path.read_bytes()


def run_in(path: Path, outputs: list[dict[str, object]]) -> None:
    """Leave a notebook as JupyterLab does after a run and an autosave."""
    book = nbformat.read(path, 4)
    book.cells[1].outputs = [nbformat.from_dict({"metadata": {}, **output}) for output in outputs]
    book.cells[1].execution_count = 1
    book.cells.append(nbformat.v4.new_code_cell())
    book.metadata.kernelspec.display_name = "Redolent"
    nbformat.write(book, path)


def files(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_a_fresh_folder_gets_every_notebook(tmp_path: Path, source: Path) -> None:
    folder = tmp_path / "deep" / "Redolent"
    copies = prepare_folder(folder, source)
    assert copies == [Copy(START, "copied"), Copy("Triangle.ipynb", "copied")]
    assert (folder / START).read_bytes() == (source / START).read_bytes()
    assert files(folder) == {START, "Triangle.ipynb", MANIFEST}


def test_nothing_happens_the_second_time(folder: Path, source: Path) -> None:
    before = (folder / START).stat().st_mtime_ns
    assert prepare_folder(folder, source) == []
    assert (folder / START).stat().st_mtime_ns == before


def test_an_unchanged_notebook_is_updated(folder: Path, source: Path) -> None:
    new = edit(source / START, "better")
    assert prepare_folder(folder, source) == [Copy(START, "updated")]
    assert (folder / START).read_bytes() == new
    assert prepare_folder(folder, source) == []


def test_new_metadata_count_as_a_newer_version(folder: Path, source: Path) -> None:
    book = nbformat.read(source / START, 4)
    book.metadata.title = "Notes"
    nbformat.write(book, source / START)
    assert prepare_folder(folder, source) == [Copy(START, "updated")]


def test_a_changed_notebook_is_kept_and_the_new_version_offered_once(folder: Path, source: Path) -> None:
    mine = edit(folder / START, "my own words")
    assert prepare_folder(folder, source) == []
    new = edit(source / START, "better")
    assert prepare_folder(folder, source) == [Copy(START, "kept", "Notes (new).ipynb")]
    assert (folder / START).read_bytes() == mine
    assert (folder / "Notes (new).ipynb").read_bytes() == new
    (folder / "Notes (new).ipynb").unlink()
    assert prepare_folder(folder, source) == []


def test_an_earlier_offer_is_not_overwritten(folder: Path, source: Path) -> None:
    edit(folder / START, "my own words")
    edit(source / START, "better")
    prepare_folder(folder, source)
    mine = edit(folder / "Notes (new).ipynb", "my words here, too")
    edit(source / START, "best")
    assert prepare_folder(folder, source) == [Copy(START, "kept", "Notes (new 2).ipynb")]
    assert (folder / "Notes (new).ipynb").read_bytes() == mine


def test_a_change_taken_back_is_no_change(folder: Path, source: Path) -> None:
    original = (folder / START).read_bytes()
    edit(folder / START, "my own words")
    edit(source / START, "better")
    prepare_folder(folder, source)
    (folder / START).write_bytes(original)
    assert prepare_folder(folder, source) == [Copy(START, "updated")]


def test_autosaved_outputs_are_no_change(folder: Path, source: Path) -> None:
    run_in(folder / START, [{"output_type": "stream", "name": "stdout", "text": "hello"}])
    assert prepare_folder(folder, source) == []
    new = edit(source / START, "better")
    assert prepare_folder(folder, source) == [Copy(START, "updated")]
    assert (folder / START).read_bytes() == new


@pytest.mark.parametrize("changed", [False, True])
def test_views_of_a_past_kernel_are_cleared_and_nothing_else(folder: Path, source: Path, changed: bool) -> None:
    run_in(
        folder / START,
        [
            {"output_type": "display_data", "data": VIEW},
            {"output_type": "display_data", "data": {"text/plain": "bergamot, süß"}},
        ],
    )
    if changed:
        edit(folder / START, "my own words")
    cells = hash_cells((folder / START).read_bytes())
    assert prepare_folder(folder, source) == []
    book = nbformat.read(folder / START, 4)
    nbformat.validate(book)
    assert [output.data for output in book.cells[1].outputs] == [{"text/plain": "bergamot, süß"}]
    assert hash_cells((folder / START).read_bytes()) == cells


def test_a_deleted_notebook_comes_back(folder: Path, source: Path) -> None:
    (folder / START).unlink()
    assert prepare_folder(folder, source) == [Copy(START, "restored")]
    assert (folder / START).read_bytes() == (source / START).read_bytes()


def test_a_notebook_that_was_there_before_is_the_persons(tmp_path: Path, source: Path) -> None:
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / START).write_text("no notebook at all")
    copies = prepare_folder(folder, source)
    assert copies[0] == Copy(START, "kept", "Notes (new).ipynb")
    assert (folder / START).read_text() == "no notebook at all"


@pytest.mark.parametrize("manifest", ["", "[]", "{", '{"notebooks": {"Notes.ipynb": 1}}', '{"notebooks": []}'])
def test_a_spoilt_manifest_costs_no_notebook(folder: Path, source: Path, manifest: str) -> None:
    mine = edit(folder / "Triangle.ipynb", "my own words")
    (folder / MANIFEST).write_text(manifest)
    assert prepare_folder(folder, source) == [Copy("Triangle.ipynb", "kept", "Triangle (new).ipynb")]
    assert (folder / "Triangle.ipynb").read_bytes() == mine


def test_names_in_the_manifest_lead_nowhere(folder: Path, source: Path) -> None:
    manifest = json.loads((folder / MANIFEST).read_text())
    manifest["notebooks"]["../outside.ipynb"] = {"cells": "0", "copied": "0"}
    (folder / MANIFEST).write_text(json.dumps(manifest))
    assert prepare_folder(folder, source) == []
    assert not (folder.parent / "outside.ipynb").exists()


@pytest.mark.parametrize("name", ["a b's % # é 香り.ipynb", "--help.ipynb", "x [1] $(y).ipynb"])
def test_odd_names_are_only_names(tmp_path: Path, source: Path, name: str) -> None:
    write_notebook(source / name, ["1"])
    (source / ".hidden.ipynb").write_text("{}")
    folder = tmp_path / "my % folder's [é]"
    assert Copy(name, "copied") in prepare_folder(folder, source)
    edit(folder / name, "mine")
    edit(source / name, "new")
    assert prepare_folder(folder, source) == [Copy(name, "kept", name.replace(".ipynb", " (new).ipynb"))]
    assert ".hidden.ipynb" not in files(folder)


def test_a_link_is_replaced_and_its_target_left(tmp_path: Path, folder: Path, source: Path) -> None:
    elsewhere = tmp_path / "elsewhere.ipynb"
    old = (folder / START).read_bytes()
    elsewhere.write_bytes(old)
    (folder / START).unlink()
    (folder / START).symlink_to(elsewhere)
    edit(source / START, "better")
    assert prepare_folder(folder, source) == [Copy(START, "updated")]
    assert elsewhere.read_bytes() == old


def test_a_folder_that_cannot_be_made_is_said_in_one_sentence(tmp_path: Path, source: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(CannotOpen, match=r"cannot be used .*; name another one with --folder\.$"):
        prepare_folder(tmp_path / "file" / "Redolent", source)


def test_jupyters_own_variables_do_not_reach_the_lab(tmp_path: Path) -> None:
    base = {
        "PATH": "/bin",
        "REDOLENT_JOURNAL": "/j.db",
        "JUPYTER_PATH": "/hostile",
        "JUPYTER_NO_CONFIG": "1",
        "JUPYTER_PREFER_ENV_PATH": "1",
        "JUPYTER_TOKEN": "",
        "JUPYTERLAB_DIR": "/hostile",
        "JPY_SESSION_NAME": "x",
        "PYTHONSTARTUP": "/hostile.py",
    }
    env = lab.lab_environment(tmp_path, base)
    assert env["PATH"] == "/bin"
    assert env["REDOLENT_JOURNAL"] == "/j.db"
    assert env["JUPYTER_PATH"] == str(tmp_path / "data")
    ours = {name: value for name, value in env.items() if name not in ("PATH", "REDOLENT_JOURNAL")}
    assert all(value.startswith(str(tmp_path)) for value in ours.values())
    assert base["JUPYTER_PATH"] == "/hostile"


def test_the_home_is_private_and_forgets_the_layout(tmp_path: Path) -> None:
    home = tmp_path / "lab"
    lab.prepare_home(home)
    layout = home / "workspaces" / "default-37a8.jupyterlab-workspace"
    layout.write_text("{}")
    setting = home / "settings" / "mine.jupyterlab-settings"
    setting.write_text("{}")
    lab.prepare_home(home)
    assert not layout.exists()
    assert setting.exists()
    kernel = json.loads((home / "data" / "kernels" / "python3" / "kernel.json").read_text())
    assert kernel["argv"][0] == sys.executable
    if os.name == "posix":
        assert {path.stat().st_mode & 0o777 for path in (home, *home.iterdir())} == {0o700}


def test_the_server_listens_here_only_and_its_token_is_not_in_the_command(tmp_path: Path) -> None:
    command = lab.lab_command(tmp_path, 8123, browser=False)
    assert command[0] == sys.executable
    assert "--ServerApp.ip=127.0.0.1" in command
    assert "--ServerApp.port=8123" in command
    assert "--ServerApp.open_browser=False" in command
    assert not any("token" in word or "password" in word for word in command)


def test_a_folder_is_open_at_the_same_port_each_time_while_that_is_free(tmp_path: Path) -> None:
    mine = lab.own_port(tmp_path / "Ilse")
    assert mine in lab.PORTS
    assert lab.own_port(tmp_path / "Ilse") == mine
    assert len({lab.own_port(tmp_path / str(number)) for number in range(20)}) > 10
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", mine))
        taken.listen()
        assert lab.own_port(tmp_path / "Ilse") not in (mine, 0)
    assert lab.own_port(tmp_path / "Ilse") == mine


def test_a_port_in_use_is_said_in_one_sentence(
    tmp_path: Path, source: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(lab, "default_home", lambda: tmp_path / "lab")
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert lab.open_lab(tmp_path / "folder", port, browser=False, source=source) == 1
    said = capsys.readouterr()
    assert said.err.startswith(f"Port {port} cannot be used")
    assert said.err.count("\n") == 1
    assert said.out == ""


def test_shipped_folders_are_found_or_said_to_be_missing() -> None:
    assert shipped("lexicon").name == "lexicon"
    with pytest.raises(FileNotFoundError, match="install Redolent again"):
        shipped("nowhere")


# In the browser


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """Return the home of a person whose own Jupyter set-up would break anything that reads it."""
    home = tmp_path / "home"
    broken = {
        "argv": [sys.executable, "-c", "raise SystemExit(1)"],
        "display_name": "B",
        "language": "python",
    }
    for place in (".local/share/jupyter", "exported", ".ipython"):
        write(home / place / "kernels" / "python3" / "kernel.json", json.dumps(broken))
    for name in ("jupyter_config.py", "jupyter_server_config.py", "jupyter_lab_config.py"):
        write(home / ".jupyter" / name, "raise SystemExit('the wrong settings')")
    write(home / ".jupyter/lab/user-settings/@jupyterlab/apputils-extension/themes.jupyterlab-settings", "{")
    write(home / ".ipython/profile_default/startup/00.py", "raise SystemExit('the wrong start-up file')")
    write(home / "startup.py", "raise SystemExit('the wrong start-up file')")
    return home


def hostile(home: Path) -> dict[str, str]:
    return {
        "JUPYTER_CONFIG_DIR": str(home / ".jupyter"),
        "JUPYTER_PATH": str(home / "exported"),
        "JUPYTER_PREFER_ENV_PATH": "0",
        "JUPYTER_TOKEN": "",
        "PYTHONSTARTUP": str(home / "startup.py"),
        "http_proxy": "http://127.0.0.1:9",
    }


def write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)


def fingerprints(home: Path) -> dict[str, str]:
    """Return a hash for each of the person's files, less what is Redolent's."""
    ours = (folder_of(home), home / ".local" / "share" / "redolent")
    return {
        str(path): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(home.rglob("*"))
        if path.is_file() and not any(path.is_relative_to(place) for place in ours)
    }


def expect_nothing_in_the_way(page: Page) -> None:
    expect(page.locator(".jp-Dialog")).to_have_count(0)
    expect(page.locator(".Toastify__toast")).to_have_count(0)
    expect(page.locator("#jp-left-stack")).to_be_hidden()
    expect(page.locator("#jp-right-stack")).to_be_hidden()
    expect(page.locator(".jp-Notebook .jp-CodeCell").first).to_be_visible()
    expect(page.locator(".jp-Notebook .jp-CodeCell .cm-editor:visible")).to_have_count(0)


@pytest.mark.browser
def test_the_notebook_opens_alone_and_runs_on_this_python(home: Path, tmp_path: Path) -> None:
    before = fingerprints(home)
    folder = folder_of(home)
    folder.mkdir(parents=True)
    write_notebook(folder / "Which.ipynb", ["import sys\nprint(sys.executable)"])
    with (
        running_lab(home, env=hostile(home), source=notebooks(tmp_path / "source")) as url,
        chromium_page(url) as page,
    ):
        assert f"/tree/{START}" in page.url
        expect_nothing_in_the_way(page)
        click_run(page)
        click_run(page)
        expect(outputs(page).first).to_be_visible(timeout=30_000)
        expect_nothing_in_the_way(page)

        page.goto(url.replace(START, "Which.ipynb"))
        await_notebook(page)
        expect_nothing_in_the_way(page)
        click_run(page)
        click_run(page)
        expect(outputs(page)).to_have_text(sys.executable, timeout=30_000)

        # A side bar that was left open is closed at the next start.
        page.locator(".jp-SideBar.jp-mod-left .lm-TabBar-tab").first.click()
        expect(page.locator("#jp-left-stack")).to_be_visible()
    with (
        running_lab(home, env=hostile(home), source=notebooks(tmp_path / "source")) as url,
        chromium_page(url, TABLET) as page,
    ):
        expect_nothing_in_the_way(page)
        expect(page.locator(".jp-Notebook")).not_to_contain_text("Error displaying widget")
        second = subprocess.run(
            [sys.executable, "-c", "from redolent.cli.lab import open_lab; open_lab(browser=False)"],
            env=person_environment(home),
            capture_output=True,
            text=True,
            timeout=30,
        )
        assert url in second.stderr
        assert second.stderr.count("\n") == 1
    assert fingerprints(home) == before


@pytest.mark.browser
@pytest.mark.skipif(os.name != "posix", reason="Windows has no Ctrl-C for one process alone")
def test_ctrl_c_ends_it_quietly(home: Path, tmp_path: Path) -> None:
    source = notebooks(tmp_path / "source")
    call = f"open_lab(browser=False, source=Path({str(source)!r}))"
    child = subprocess.Popen(
        [
            sys.executable,
            "-c",
            f"from pathlib import Path; from redolent.cli.lab import open_lab; raise SystemExit({call})",
        ],
        env=person_environment(home) | hostile(home),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    assert child.stdout is not None
    lines = [child.stdout.readline() for _ in range(2)]
    # As a terminal does: to the server as well.
    os.killpg(child.pid, signal.SIGINT)
    out, err = child.communicate(timeout=30)
    assert lines[0] == f"Your notebooks are in {folder_of(home)}\n"
    assert lines[1].startswith("Redolent is open at http://127.0.0.1:")
    assert (child.returncode, out, err) == (0, "", "")
    with pytest.raises(ProcessLookupError):
        os.killpg(child.pid, 0)
