"""Open the notebooks in a JupyterLab of their own.

The taster gets a folder with copies of the notebooks. JupyterLab is started there with settings,
kernel and workspace of its own, so that nothing in the person's other Jupyter set-up changes what
is seen here and nothing done here changes that set-up.
"""

import hashlib
import json
import os
import secrets
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from http.client import HTTPException
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Literal, NamedTuple
from urllib.parse import quote
from zlib import crc32

import platformdirs

from redolent.shipped import shipped

START = "Notes.ipynb"
"""The notebook that is opened first."""

HOST = "127.0.0.1"
MANIFEST = ".redolent.json"

PORTS = range(20_000, 30_000)
"""Among these each folder has a port of its own; no system takes them for outgoing connections."""

_VIEW = "application/vnd.jupyter.widget-view+json"

# Jupyter's own variables would lead the server to the person's other set-up, and a Python start-up
# file would run in the kernel.
_FOREIGN = ("JUPYTER", "JPY_", "IPYTHONDIR", "PYTHONSTARTUP")

_READY_WITHIN = 90.0
_STOPPED_WITHIN = 15.0

# What a newcomer does not need is left out: questions about news, panels at the sides, and the
# buttons in a cell, one of which deletes it.
_DISABLED = (
    "@jupyterlab/apputils-extension:announcements",
    "@jupyterlab/application-extension:property-inspector",
    "@jupyterlab/cell-toolbar-extension",
    "@jupyterlab/debugger-extension",
    "@jupyterlab/extensionmanager-extension",
    "@jupyterlab/launcher-extension",
    "@jupyterlab/running-extension",
    "@jupyterlab/toc-extension",
    "@voila-dashboards/jupyterlab-preview",
)

_SETTINGS: dict[str, dict[str, Any]] = {
    "@jupyterlab/apputils-extension:notification": {
        "checkForUpdates": False,
        "doNotDisturbMode": False,
        "fetchNews": "false",
    },
    "@jupyterlab/apputils-extension:themes": {"theme": "JupyterLab Light"},
    # After a reload the running panels come back only in a notebook that was saved with them.
    # Two saves that overlap are no conflict: nobody else writes here, and the question would take the keys of whoever
    # is typing.
    "@jupyterlab/docmanager-extension:plugin": {
        "autosave": True,
        "autosaveInterval": 5,
        "lastModifiedCheckMargin": 60_000,
    },
    # Every panel is laid out at once: an output that comes late would make the page jump.
    "@jupyterlab/notebook-extension:tracker": {
        "kernelShutdown": False,
        "scrollPastEnd": False,
        "windowingMode": "none",
    },
    # One button runs the chosen cell, one runs all; the latter asks nothing, as it restarts nothing.
    "@jupyterlab/notebook-extension:panel": {
        "toolbar": [
            {"name": "insert", "disabled": True},
            {"name": "cut", "disabled": True},
            {"name": "copy", "disabled": True},
            {"name": "paste", "disabled": True},
            {"name": "restart-and-run", "disabled": True},
            {"name": "cellType", "disabled": True},
            {
                "name": "run-all",
                "command": "notebook:run-all-cells",
                "icon": "ui-components:fast-forward",
                "rank": 33,
            },
        ]
    },
    "@jupyterlab/statusbar-extension:plugin": {"visible": False},
}

# Where a panel's kernel is gone JupyterLab says so, but not what to do. A panel that is on its way looks the same for
# a moment, so the sentence waits.
_STYLE = """\
.jp-OutputArea-output.jupyter-widgets:not(:has(*)) { font-size: 0; }
.jp-OutputArea-output.jupyter-widgets:not(:has(*))::after {
  content: "This panel stopped. Click \\25B6\\FE0E\\25B6\\FE0E  above to bring it back; what you wrote is kept.";
  font-size: 1rem;
  animation: rd-late 2s step-end;
}
@keyframes rd-late { from { visibility: hidden; } }
"""

# The language servers' extension would run npm, which writes to the person's home.
# Pages are served only where they are asked for.
_SERVER = {
    "ServerApp": {"jpserver_extensions": {"jupyter_lsp": False, "voila": False, "voila.server_extension": False}}
}


class CannotOpen(RuntimeError):
    """What keeps the notebooks from being opened, in one sentence for the person."""


class Copy(NamedTuple):
    """What happened to one notebook of the folder.

    Attributes
    ----------
    name : str
        The notebook's file name.
    action : {"copied", "restored", "updated", "kept"}
        New in the folder, put back after it was deleted, replaced by a newer version, or left
        because the person changed it.
    beside : str or None
        For a kept notebook: the name under which the new version was put beside it.
    """

    name: str
    action: Literal["copied", "restored", "updated", "kept"]
    beside: str | None = None


# The taster's folder


def default_folder() -> Path:
    """Return the folder for the notebooks when none was named."""
    return platformdirs.user_documents_path() / "Redolent"


def prepare_folder(folder: Path, source: Path | None = None) -> list[Copy]:
    """Make the taster's folder and bring its notebooks up to date.

    A notebook that the person changed is never overwritten: the new version is put beside it, once.
    Only the types and sources of the cells count, not the outputs and metadata that JupyterLab saves
    by itself.

    Parameters
    ----------
    folder : pathlib.Path
        The taster's folder; made when it does not exist.
    source : pathlib.Path, optional
        The folder with the notebooks to copy; those that come with the package by default.

    Returns
    -------
    list of Copy
        What happened, one entry for each notebook that was written or kept.

    Raises
    ------
    CannotOpen
        When the folder cannot be made or written.
    """
    notebooks = sorted((source or shipped("notebooks")).glob("[!.]*.ipynb"))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        entries = _read_manifest(folder / MANIFEST)
        copies = [_bring(path, folder, entries.setdefault(path.name, {})) for path in notebooks]
        _write_text(folder / MANIFEST, json.dumps({"notebooks": entries}, indent=1))
    except OSError as error:
        reason = error.strerror or str(error)
        raise CannotOpen(f"The folder {folder} cannot be used ({reason}); name another one with --folder.") from error
    return [copy for copy in copies if copy is not None]


def _bring(path: Path, folder: Path, entry: dict[str, str]) -> Copy | None:
    """Bring one notebook into the folder and note in `entry` what was copied or offered."""
    target = folder / path.name
    content = path.read_bytes()
    new = _hash(content)
    cells = hash_cells(content)
    if not target.exists():
        action: Literal["copied", "restored"] = "restored" if entry else "copied"
        _write(target, content)
        entry.update(cells=cells, copied=new)
        return Copy(path.name, action)

    _clear_dead_views(target)
    present = hash_cells(target.read_bytes())
    if present == entry.get("cells"):
        if new == entry.get("copied"):
            return None
        _write(target, content)
        entry.update(cells=cells, copied=new)
        return Copy(path.name, "updated")
    if present == cells:
        entry.update(cells=cells, copied=new)
        return None
    if new in (entry.get("copied"), entry.get("offered")):
        return None
    beside = _free_name(target)
    _write(beside, content)
    entry["offered"] = new
    return Copy(path.name, "kept", beside.name)


def hash_cells(content: bytes) -> str:
    """Return a hash of a notebook's cell types and sources.

    Blank cells are left out: JupyterLab adds one when the last cell is run.

    Parameters
    ----------
    content : bytes
        The notebook file's content.

    Returns
    -------
    str
        SHA-256 in hexadecimal; of the whole content when it is no notebook.
    """
    try:
        cells = [(cell["cell_type"], "".join(cell["source"])) for cell in json.loads(content)["cells"]]
    except (ValueError, KeyError, TypeError):
        return _hash(content)
    return _hash(json.dumps([cell for cell in cells if cell[1].strip()]).encode())


def _clear_dead_views(path: Path) -> None:
    """Take the widgets' views out of a notebook whose kernel is gone.

    All that JupyterLab could show for them is an error. Cells and other outputs stay as they are.
    """
    content = path.read_bytes()
    if _VIEW.encode() not in content:
        return
    try:
        book = json.loads(content)
        for cell in book["cells"]:
            if "outputs" in cell:
                cell["outputs"] = [one for one in cell["outputs"] if _VIEW not in one.get("data", {})]
    except (ValueError, KeyError, TypeError, AttributeError):
        return
    _write_text(path, json.dumps(book, indent=1, ensure_ascii=False) + "\n")


def _hash(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _free_name(target: Path) -> Path:
    """Return a name beside `target` that no file has yet."""
    number = 1
    while True:
        mark = "new" if number == 1 else f"new {number}"
        beside = target.with_name(f"{target.stem} ({mark}){target.suffix}")
        if not os.path.lexists(beside):
            return beside
        number += 1


def _read_manifest(path: Path) -> dict[str, dict[str, str]]:
    """Read what was copied earlier; nothing when the file is missing or spoilt."""
    try:
        entries = json.loads(path.read_bytes())["notebooks"]
        return {name: dict(entry) for name, entry in entries.items()}
    except (FileNotFoundError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def _write(path: Path, content: bytes) -> None:
    """Write a file in one go, so that a full disk or a power cut leaves no half of it."""
    partial = path.with_name(f".{path.name}.part")
    try:
        partial.write_bytes(content)
        os.replace(partial, path)
    finally:
        partial.unlink(missing_ok=True)


def _write_text(path: Path, text: str) -> None:
    _write(path, text.encode())


# JupyterLab's own home


def default_home() -> Path:
    """Return the folder for JupyterLab's settings, kernel and workspace."""
    return platformdirs.user_data_path("redolent", appauthor=False) / "lab"


def prepare_home(home: Path, pages: bool = False) -> None:
    """Write the settings and the kernel that JupyterLab is started with.

    What the person changes in JupyterLab's Settings menu is kept elsewhere in `home` and wins over
    what is written here. The last layout is forgotten, so that each start shows the notebook alone.

    Parameters
    ----------
    home : pathlib.Path
        The folder to write to; only its owner may read it.
    pages : bool, default False
        Whether the notebooks are served as pages without code, too.
    """
    for place in (home, *(home / name for name in _PLACES)):
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        if os.name == "posix":
            place.chmod(0o700)
    _write_json(home / "config" / "labconfig" / "default_setting_overrides.json", _SETTINGS)
    _write_json(
        home / "config" / "labconfig" / "page_config.json",
        {"disabledExtensions": dict.fromkeys(_DISABLED, True)},
    )
    (home / "config" / "custom").mkdir(exist_ok=True)
    _write_text(home / "config" / "custom" / "custom.css", _STYLE)
    _write_json(home / "config" / "jupyter_server_config.json", _serve_pages(home) if pages else _SERVER)
    _write_json(home / "data" / "kernels" / "python3" / "kernel.json", _kernel())
    for layout in (home / "workspaces").glob("*.jupyterlab-workspace"):
        layout.unlink()


def _serve_pages(home: Path) -> dict[str, Any]:
    """Write the template of the pages, and return the server's settings for them."""
    template = home / "data" / "voila" / "templates" / "redolent"
    template.mkdir(parents=True, exist_ok=True)
    for file in (Path(__file__).parent / "pages").iterdir():
        _write(template / file.name, file.read_bytes())
    extensions = _SERVER["ServerApp"]["jpserver_extensions"] | {"voila.server_extension": True}
    settings = {"template": "redolent", "theme": "light", "show_tracebacks": False}
    return {
        # Without an address for formulas, none is asked of another host.
        "ServerApp": {"jpserver_extensions": extensions, "tornado_settings": {"mathjax_url": ""}},
        # A page that is closed leaves its kernel behind.
        "MappingKernelManager": {"cull_idle_timeout": 600, "cull_interval": 60},
        "VoilaConfiguration": settings,
    }


_PLACES = ("config", "data", "ipython", "runtime", "settings", "workspaces")


def _kernel() -> dict[str, Any]:
    """Return the kernel that runs on this Python.

    It bears the usual name, which the notebooks ask for, so that they also open elsewhere.
    """
    return {
        "argv": [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"],
        "display_name": "Redolent",
        "language": "python",
    }


def _write_json(path: Path, value: Mapping[str, Any]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    _write_text(path, json.dumps(value, indent=1))


def lab_environment(home: Path, base_env: Mapping[str, str]) -> dict[str, str]:
    """Return the environment to start JupyterLab with.

    Parameters
    ----------
    home : pathlib.Path
        The folder that `prepare_home` wrote.
    base_env : mapping of str to str
        The environment to start from. Its Jupyter variables are left out.

    Returns
    -------
    dict of str to str
        The environment. The paths named there come before the person's own and before those of the
        Python installation; the latter are still searched for the widgets.
    """
    env = {name: value for name, value in base_env.items() if not name.upper().startswith(_FOREIGN)}
    env.update(
        JUPYTER_CONFIG_DIR=str(home / "config"),
        JUPYTER_CONFIG_PATH=str(home / "config"),
        JUPYTER_DATA_DIR=str(home / "data"),
        JUPYTER_PATH=str(home / "data"),
        JUPYTER_RUNTIME_DIR=str(home / "runtime"),
        JUPYTERLAB_SETTINGS_DIR=str(home / "settings"),
        JUPYTERLAB_WORKSPACES_DIR=str(home / "workspaces"),
        IPYTHONDIR=str(home / "ipython"),
    )
    return env


def lab_command(folder: Path, port: int, browser: bool, pages: bool = False) -> list[str]:
    """Return the command that starts JupyterLab.

    Parameters
    ----------
    folder : pathlib.Path
        The taster's folder.
    port : int
        The port to listen at.
    browser : bool
        Whether JupyterLab opens the browser.
    pages : bool, default False
        Whether it opens at the pages without code.

    Returns
    -------
    list of str
        The command. The token is not in it, as other people on the machine can see commands.
    """
    command = [
        sys.executable,
        # A file in the current folder must not stand in for a module of the same name.
        "-P",
        "-m",
        "jupyterlab",
        f"--ServerApp.ip={HOST}",
        f"--ServerApp.port={port}",
        "--ServerApp.port_retries=0",
        f"--ServerApp.root_dir={folder}",
        f"--ServerApp.open_browser={browser}",
        # Some browsers may not read the file that would hide the token from the browser's command.
        "--ServerApp.use_redirect_file=False",
        "--ServerApp.terminals_enabled=False",
        f"--LabApp.default_url={_start_path(pages)}",
        "--LabApp.custom_css=True",
        "--LabApp.log_level=ERROR",
        "--ServerApp.log_level=ERROR",
    ]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--ServerApp.allow_root=True")
    return command


def _start_path(pages: bool = False) -> str:
    # Under /doc JupyterLab shows one document alone, with the side bars closed.
    return f"/voila/render/{quote(START)}" if pages else f"/doc/tree/{quote(START)}"


def _address(port: int, token: str, pages: bool = False) -> str:
    return f"http://{HOST}:{port}{_start_path(pages)}?token={token}"


# Starting and stopping


def open_lab(
    folder: Path | None = None,
    port: int | None = None,
    browser: bool = True,
    extra_env: Mapping[str, str] | None = None,
    source: Path | None = None,
    pages: bool = False,
) -> int:
    """Open the notebooks in JupyterLab and stay until it ends.

    Parameters
    ----------
    folder : pathlib.Path, optional
        The taster's folder; `Redolent` among the documents by default.
    port : int, optional
        The port to listen at; the folder's own by default, or any free one where that is in use.
    browser : bool, default True
        Whether to open the browser.
    extra_env : mapping of str to str, optional
        Variables to add to JupyterLab's and the notebooks' environment.
    source : pathlib.Path, optional
        The folder with the notebooks to copy; those that come with the package by default.
    pages : bool, default False
        Whether to open them as pages without code, which run by themselves.

    Returns
    -------
    int
        The exit code: 0, or 1 after a sentence that says what was wrong.
    """
    folder = (folder or default_folder()).expanduser().absolute()
    try:
        if pages and find_spec("voila") is None:
            raise CannotOpen("The pages need Voilà; install it with: python -m pip install 'redolent[pages]'")
        home = default_home()
        _refuse_second(home, folder)
        copies = prepare_folder(folder, source)
        _ready(home, pages)
        port = own_port(folder) if port is None else _bind(port)
        print(f"Your notebooks are in {folder}", flush=True)
        for copy in copies:
            if copy.action == "kept":
                print(
                    f"You changed {copy.name}, so it was left as it is; the new version is {copy.beside}.",
                    flush=True,
                )
        token = secrets.token_hex(24)
        env = lab_environment(home, os.environ) | dict(extra_env or {}) | {"JUPYTER_TOKEN": token}
        return _run(lab_command(folder, port, browser, pages), env, port, token, pages)
    except CannotOpen as error:
        print(error, file=sys.stderr)
        return 1


def _refuse_second(home: Path, folder: Path) -> None:
    """Raise when the folder is open already, as two servers would save over each other."""
    for path in (home / "runtime").glob("jpserver-*.json"):
        try:
            server = json.loads(path.read_bytes())
            port, token, root = server["port"], server["token"], server["root_dir"]
        except (OSError, ValueError, KeyError, TypeError):
            continue
        if Path(root) == folder and _ask(port, token, "GET", "status"):
            raise CannotOpen(
                f"These notebooks are open already; go to {_address(port, token)} or end that one first with Ctrl-C."
            )


def _ready(home: Path, pages: bool) -> None:
    try:
        prepare_home(home, pages)
    except OSError as error:
        reason = error.strerror or str(error)
        raise CannotOpen(
            f"The folder {home} for JupyterLab's settings cannot be used ({reason}); make it writable and try again."
        ) from error


def own_port(folder: Path) -> int:
    """Return the folder's port, the same each time, or any free one while that is in use.

    What the browser keeps of a note that no kernel took, it keeps for one port.

    Parameters
    ----------
    folder : pathlib.Path
        The taster's folder.

    Returns
    -------
    int
    """
    try:
        return _bind(PORTS[crc32(os.fsencode(folder)) % len(PORTS)])
    except CannotOpen:
        return _bind(0)


def _bind(port: int) -> int:
    """Return the port if it can be used, any free one for 0."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if os.name == "posix":
            # Otherwise a port counts as taken for a while after a server on it ended.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except (OSError, OverflowError) as error:
            raise CannotOpen(
                f"Port {port} cannot be used, perhaps because another program uses it; "
                "name another one with --port, or leave --port out."
            ) from error
        return int(probe.getsockname()[1])


def _run(command: list[str], env: Mapping[str, str], port: int, token: str, pages: bool) -> int:
    """Run JupyterLab until it ends or the person ends it."""
    with _signals_as_interrupt():
        # Without a terminal to ask at, JupyterLab ends at the first Ctrl-C without a question.
        child = subprocess.Popen(command, env=dict(env), stdin=subprocess.DEVNULL)
        try:
            _await_ready(child, port, token)
            print(f"Redolent is open at {_address(port, token, pages)}", flush=True)
            return 1 if child.wait() else 0
        except KeyboardInterrupt:
            return 0
        finally:
            _stop(child, port, token)


@contextmanager
def _signals_as_interrupt() -> Iterator[None]:
    """Treat a request to end, or a closed terminal, like Ctrl-C."""

    def interrupt(number: int, frame: object) -> None:
        raise KeyboardInterrupt

    names = [name for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {name: signal.signal(getattr(signal, name), interrupt) for name in names}
    try:
        yield
    finally:
        for name, handler in before.items():
            signal.signal(getattr(signal, name), handler)


def _await_ready(child: "subprocess.Popen[bytes]", port: int, token: str) -> None:
    """Wait until the server answers to its token."""
    deadline = time.monotonic() + _READY_WITHIN
    while time.monotonic() < deadline:
        if child.poll() is not None:
            raise CannotOpen("JupyterLab ended before it was ready; what it said stands above.")
        if _ask(port, token, "GET", "status"):
            return
        time.sleep(0.1)
    raise CannotOpen(
        f"JupyterLab was not ready within {_READY_WITHIN:.0f} seconds; close other programs and try again."
    )


def _ask(port: int, token: str, method: str, what: str) -> bool:
    """Ask the server for something and return whether it agreed."""
    request = urllib.request.Request(
        f"http://{HOST}:{port}/api/{what}",
        method=method,
        headers={"Authorization": f"token {token}"},
    )
    # A proxy that the person set for the internet must not be asked for this machine.
    direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    try:
        with direct.open(request, timeout=5):
            return True
    except (OSError, HTTPException):
        return False


def _stop(child: "subprocess.Popen[bytes]", port: int, token: str) -> None:
    """End the server and its kernels, first in the way that lets it tidy up."""
    if child.poll() is not None:
        return
    agreed = _ask(port, token, "POST", "shutdown")
    # A server that a Ctrl-C reached is on its way out and answers no more.
    if _has_ended(child, _STOPPED_WITHIN if agreed else _STOPPED_WITHIN / 3):
        return
    for end in (child.terminate, child.kill):
        end()
        if _has_ended(child, _STOPPED_WITHIN):
            return


def _has_ended(child: "subprocess.Popen[bytes]", within: float) -> bool:
    try:
        child.wait(within)
    except (subprocess.TimeoutExpired, KeyboardInterrupt):
        # A second Ctrl-C asks for the next, harder way.
        return child.poll() is not None
    return True
