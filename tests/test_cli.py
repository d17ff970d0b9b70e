"""The commands: what they print, what they refuse, and that the README names each."""

import json
import os
import re
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

import redolent
from redolent.cli import app
from redolent.cli.reading import split_notes
from redolent.journal import Journal

README = Path(__file__).resolve().parents[1] / "README.md"
MENTION = {
    "start": int,
    "end": int,
    "text": str,
    "node": str,
    "present": bool,
    "strength": str,
    "hedged": bool,
    "how": str,
}
LEXICON = """\
[realm]
id = "larder"
label = "larder"
definition = "What is kept cool."

[[family]]
id = "shelf"
label = "shelf"
sense = "nose"
definition = "What stands at the height of the eyes."

[[group]]
id = "shelf/fruit"
label = "shelf fruit"
definition = "Fruit that waits to ripen."
"""


@pytest.fixture
def run():
    runner = CliRunner()

    def invoke(*arguments, stdin=b"", **options):
        stdin = stdin.encode() if isinstance(stdin, str) else stdin
        return runner.invoke(app, list(arguments), input=stdin, **options)

    return invoke


@pytest.fixture
def objects(run):
    def read(stdin):
        result = run("read", "--json", "-", stdin=stdin)
        assert result.exit_code == 0, result.stderr
        assert result.stderr == ""
        lines = result.stdout.split("\n")
        assert lines.pop() == ""
        return [json.loads(line) for line in lines]

    return read


def real(*arguments, stdin=b"", **variables):
    """Run the installed command in a process of its own."""
    command = Path(sysconfig.get_path("scripts")) / ("redolent.exe" if os.name == "nt" else "redolent")
    env = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")} | variables
    return subprocess.run([command, *arguments], input=stdin, capture_output=True, env=env, check=False, timeout=60)


def is_refusal(code, stdout, stderr):
    """Say whether a command ended with one sentence and no traceback."""
    text = stderr if isinstance(stderr, str) else stderr.decode()
    return code == 1 and not stdout and text.endswith(".\n") and text.count("\n") == 1 and "Traceback" not in text


# redolent read --json


def test_one_object_a_note(objects):
    (one, two) = objects("No smoke, maybe a hint of quince.\nvery lemony\n")
    assert one == {
        "text": "No smoke, maybe a hint of quince.",
        "mentions": [
            {
                "start": 3,
                "end": 8,
                "text": "smoke",
                "node": "hearth/smoke",
                "present": False,
                "strength": None,
                "hedged": False,
                "how": "exact",
            },
            {
                "start": 26,
                "end": 32,
                "text": "quince",
                "node": "orchard/pome/quince",
                "present": True,
                "strength": "slight",
                "hedged": True,
                "how": "exact",
            },
        ],
        "unplaced": [],
    }
    assert two["mentions"] == [
        {
            "start": 5,
            "end": 11,
            "text": "lemony",
            "node": "citrus-grove/sharp-citrus/lemon",
            "present": True,
            "strength": "strong",
            "hedged": False,
            "how": "form",
        }
    ]


def test_keys_come_in_order_and_with_their_types(objects):
    (note,) = objects("No smoke; maybe a hint of quinse and very qvoxl-like, lemony")
    assert list(note) == ["text", "mentions", "unplaced"]
    assert len(note["mentions"]) == 3
    for mention in note["mentions"]:
        assert list(mention) == list(MENTION)
        for name, kind in MENTION.items():
            assert type(mention[name]) is kind or (name == "strength" and mention[name] is None)
    for word in note["unplaced"]:
        assert list(word) == ["start", "end", "text"]
        assert [type(word[name]) for name in word] == [int, int, str]


def test_unplaced_words_are_listed_with_their_span(objects):
    (note,) = objects("quince, qvoxl-like")
    assert note["unplaced"] == [{"start": 8, "end": 18, "text": "qvoxl-like"}]


@pytest.mark.parametrize(
    ("note", "how"), [("quince", "exact"), ("Quinces", "form"), ("quinse", "spelling"), ("lemony", "form")]
)
def test_how_a_word_was_read(objects, note, how):
    (found,) = objects(note)
    assert [mention["how"] for mention in found["mentions"]] == [how]


@pytest.mark.parametrize(
    ("note", "strength"), [("quince", None), ("a hint of quince", "slight"), ("very strong quince", "strong")]
)
def test_strength_is_null_slight_or_strong(run, note, strength):
    line = run("read", "--json", "-", stdin=note).stdout
    assert json.loads(line)["mentions"][0]["strength"] == strength
    assert f'"strength": {json.dumps(strength)}' in line


@pytest.mark.parametrize(
    ("stdin", "texts"),
    [
        ("", []),
        ("\n", [""]),
        ("quince", ["quince"]),
        ("quince\n", ["quince"]),
        ("quince\n\n", ["quince", ""]),
        ("quince\n\nlemon\n", ["quince", "", "lemon"]),
        ("  quince \n", ["  quince "]),
        ("quince\r\nlemon\r\n", ["quince\r", "lemon\r"]),
        ("quince\rlemon", ["quince\rlemon"]),
        ("quince\u2028lemon\n", ["quince\u2028lemon"]),
        ("a\u2029b\x85c\x0bd\x0ce\x1cf\n", ["a\u2029b\x85c\x0bd\x0ce\x1cf"]),
        ("quince\x00lemon\n", ["quince\x00lemon"]),
        ("\ufeffquince\n", ["\ufeffquince"]),
    ],
)
def test_notes_are_split_on_line_feeds_only(objects, stdin, texts):
    assert [note["text"] for note in objects(stdin)] == texts
    assert split_notes(stdin.encode()) == texts


def test_a_blank_line_is_an_object_without_mentions(objects):
    assert objects("\n") == [{"text": "", "mentions": [], "unplaced": []}]


def test_words_beside_odd_separators_are_read(objects):
    nodes = ["orchard/pome/quince", "citrus-grove/sharp-citrus/lemon"]
    for separator in ("\u2028", "\r", "\x00", "\x0c"):
        (note,) = objects(f"quince,{separator}lemon")
        assert [mention["node"] for mention in note["mentions"]] == nodes


def test_offsets_are_code_points(objects):
    text = "👩🏽‍🌾🍋 cafe\u0301 — açai\u0301, then quince"
    (note,) = objects(text)
    spans = [(m["start"], m["end"], m["text"]) for m in note["mentions"]]
    assert spans == [(14, 19, "açai\u0301"), (26, 32, "quince")]
    assert all(text[start:end] == word for start, end, word in spans)
    assert note["text"] == text


def test_output_is_ascii(run):
    line = run("read", "--json", "-", stdin="açaí 🍋").stdout
    assert line.isascii()
    assert json.loads(line)["text"] == "açaí 🍋"


def test_json_is_what_the_library_reads(objects):
    notes = ["no smoke, ash or rubber but plum", "maybe rose?", "heavy body, long finish", ""]
    assert objects("\n".join(notes) + "\n\n") == [redolent.read(note).to_dict() for note in [*notes, ""]]


# redolent read for people


def test_table_says_where_words_stand(run):
    result = run("read", stdin="No smoke, maybe a hint of quinse\n\nvery qvoxl-like\n")
    assert result.exit_code == 0
    first, second, third = result.stdout.split("\n\n")
    quince = redolent.Lexicon.load().place("orchard/pome/quince")
    note, smoke, fruit = first.split("\n")
    assert note == "No smoke, maybe a hint of quinse"
    assert re.fullmatch(r"  smoke  +.* › .*smoke +denied", smoke)
    assert re.fullmatch(rf"  quinse +{re.escape(quince)} +slight; unsure; spelling", fruit)
    assert smoke.index("denied") == fruit.index("slight")
    assert second.strip() == "nothing that the lexicon knows"
    assert third.split("\n")[:2] == ["very qvoxl-like", "  qvoxl-like  no place in the lexicon"]


def test_control_characters_do_not_reach_the_terminal(run):
    hostile = "\x1b[2Jquince\x1b]0;title\x07 \x9b31m \u202edrowssap\u2028 \x00 \r lemon\tlime"
    result = run("read", stdin=hostile, color=True)
    assert result.exit_code == 0
    assert all(line.isprintable() for line in result.stdout.split("\n"))
    assert "quince" in result.stdout
    assert "lemon lime" in result.stdout


def test_control_characters_of_a_file_name_do_not_reach_the_terminal(run, tmp_path):
    result = run("read", str(tmp_path / "\x1b[2Jnotes"), color=True)
    assert is_refusal(result.exit_code, result.stdout, result.stderr)
    assert "\x1b" not in result.stderr


# redolent read: files


@pytest.mark.parametrize("options", [[], ["--json"]])
def test_file_and_standard_input_read_alike(run, tmp_path, options):
    raw = "quince\r\nno smoke, crème brûlée\n".encode()
    file = tmp_path / "notes.txt"
    file.write_bytes(raw)
    from_file = run("read", str(file), *options)
    assert from_file.exit_code == 0
    assert "orchard" in from_file.stdout
    assert from_file.stdout == run("read", "-", *options, stdin=raw).stdout
    assert from_file.stdout == run("read", *options, stdin=raw).stdout


def test_missing_file_is_one_sentence(run, tmp_path):
    result = run("read", str(tmp_path / "nowhere.txt"))
    assert is_refusal(result.exit_code, result.stdout, result.stderr)
    assert "nowhere.txt cannot be read (No such file or directory)" in result.stderr


def test_folder_for_a_file_is_one_sentence(run, tmp_path):
    result = run("read", str(tmp_path))
    assert is_refusal(result.exit_code, result.stdout, result.stderr)


@pytest.mark.parametrize("options", [[], ["--json"]])
def test_invalid_utf8_is_one_sentence(run, tmp_path, options):
    file = tmp_path / "latin.txt"
    file.write_bytes(b"quince\ncaf\xe9\n")
    for result in (run("read", str(file), *options), run("read", "-", *options, stdin=b"caf\xe9")):
        assert is_refusal(result.exit_code, result.stdout, result.stderr)
        assert "give a text file in UTF-8, or - for standard input." in result.stderr


# redolent lexicon


def test_check_of_the_shipped_lexicon_passes(run):
    result = run("lexicon", "check")
    assert result.exit_code == 0
    lexicon = redolent.Lexicon.load()
    assert result.stdout == (
        "The lexicon is sound: 7 realms, 23 families, 72 groups, "
        f"{len(lexicon.at('descriptor'))} descriptors; {len(lexicon.surface_forms())} surface forms.\n"
    )


def test_check_of_a_folder_passes(run, tmp_path):
    (tmp_path / "larder.toml").write_text(LEXICON, encoding="utf-8")
    result = run("lexicon", "check", str(tmp_path))
    assert result.exit_code == 0
    assert result.stdout.startswith("The lexicon is sound: 1 ")


@pytest.mark.parametrize(
    ("old", "new", "finding"),
    [
        ('sense = "nose"', 'sense = "ear"', "larder.toml:7: shelf: field 'sense' must be one of"),
        ('"shelf/fruit"', '"shelf/Fruit"', "larder.toml:13: shelf/Fruit: the id of a group is 2 slug(s)"),
        ("[[group]]", "[[group]", "larder.toml:12: -: not valid TOML"),
    ],
)
def test_check_names_file_and_line(run, tmp_path, old, new, finding):
    (tmp_path / "larder.toml").write_text(LEXICON.replace(old, new), encoding="utf-8")
    result = run("lexicon", "check", str(tmp_path))
    assert result.exit_code == 1
    assert result.stdout.startswith(finding)
    assert result.stdout.count("\n") == 1
    assert re.fullmatch(r"1 findings?\.\n", result.stderr)


def test_check_of_a_file_without_a_realm_ends_without_traceback(run, tmp_path):
    (tmp_path / "larder.toml").write_text(LEXICON.split("\n\n", 1)[1], encoding="utf-8")
    result = run("lexicon", "check", str(tmp_path))
    assert result.exit_code == 1
    assert isinstance(result.exception, SystemExit)
    assert "larder.toml" in result.output


def test_check_of_a_missing_folder_fails(run, tmp_path):
    result = run("lexicon", "check", str(tmp_path / "nowhere"))
    assert result.exit_code == 1
    assert "no .toml file here" in result.output


def test_findings_hold_no_control_characters(run, tmp_path):
    (tmp_path / "larder.toml").write_text(LEXICON.replace('"shelf/fruit"', r'"shelf/\u001b[2J"'), encoding="utf-8")
    result = run("lexicon", "check", str(tmp_path), color=True)
    assert result.exit_code == 1
    assert "\x1b" not in result.output


@pytest.mark.parametrize("words", [["quince"], ["QUINCES"], ["quince-like"]])
def test_find_describes_a_node(run, words):
    result = run("lexicon", "find", *words)
    assert result.exit_code == 0
    node = redolent.Lexicon.load()["orchard/pome/quince"]
    place, definition, *rest = result.stdout.split("\n")
    assert place == redolent.Lexicon.load().place(node.id)
    assert definition.strip() == node.definition
    assert any(node.reference.what in line and node.reference.amount in line for line in rest)


def test_find_names_the_allergens(run):
    lines = run("lexicon", "find", "marzipan").stdout.split("\n")
    (allergens,) = [line for line in lines if line.startswith("  allergens: ")]
    assert "nuts" in allergens


def test_find_takes_several_words(run):
    assert run("lexicon", "find", "black", "tea").stdout == run("lexicon", "find", "Black-tea").stdout
    assert run("lexicon", "find", "black", "tea").stdout.startswith("garden › ")


def test_find_searches_definitions_too(run):
    lexicon = redolent.Lexicon.load()
    node = lexicon["orchard/pome/quince"]
    result = run("lexicon", "find", *node.definition.split()[:5])
    assert result.exit_code == 0
    assert lexicon.place(node.id) in result.stdout.split("\n")
    assert len(run("lexicon", "find", "the").stdout.split("\n\n")) == 8


def test_find_of_an_unknown_word_is_one_sentence(run):
    result = run("lexicon", "find", "xyzzy\x1b[2J", color=True)
    assert is_refusal(result.exit_code, result.stdout, result.stderr)
    assert "xyzzy" in result.stderr
    assert "\x1b" not in result.stderr


# The command itself


def test_version(run):
    result = run("--version")
    assert (result.exit_code, result.stdout) == (0, f"redolent {redolent.__version__}\n")


def test_no_command_shows_help(run):
    result = run()
    assert "Usage: redolent" in result.output
    assert "Traceback" not in result.output


def test_real_command_reads_standard_input():
    result = real("read", "--json", "-", stdin="no smoke\n\ncrème brûlée 🍮\r\n".encode())
    assert result.returncode == 0
    assert result.stderr == b""
    notes = [json.loads(line) for line in result.stdout.decode("ascii").splitlines()]
    assert [note["text"] for note in notes] == ["no smoke", "", "crème brûlée 🍮\r"]
    assert [mention["present"] for mention in notes[0]["mentions"]] == [False]


def test_real_command_refuses_invalid_utf8():
    result = real("read", "-", stdin=b"quince \xff\n")
    assert is_refusal(result.returncode, result.stdout, result.stderr)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_real_command_prints_on_a_narrow_terminal(encoding):
    result = real("read", stdin="quince 🍋 薄荷\n".encode(), PYTHONIOENCODING=encoding)
    assert result.returncode == 0, result.stderr.decode()
    assert b"orchard" in result.stdout


@pytest.mark.skipif(sys.platform == "win32", reason="no such pipes")
@pytest.mark.parametrize(
    "arguments",
    [
        ["--help"],
        ["read", "--json"],
        ["lexicon", "find", "quince"],
        ["lexicon", "export"],
        ["class"],
        ["exercise"],
        ["export", "out.jsonl"],
        ["journal", "check"],
    ],
    ids=" ".join,
)
def test_real_command_ends_quietly_when_nobody_listens(arguments, tmp_path):
    Journal.open(tmp_path / "journal.db").close()
    reader, writer = os.pipe()
    os.close(reader)
    command = "from redolent.cli import main; main()"
    try:
        result = subprocess.run(
            [sys.executable, "-c", command, *arguments],
            input=b"quince\n" * 5000,
            stdout=writer,
            stderr=subprocess.PIPE,
            env=os.environ | {"REDOLENT_JOURNAL": str(tmp_path / "journal.db")},
            cwd=tmp_path,
            check=False,
            timeout=60,
        )
    finally:
        os.close(writer)
    assert result.stderr == b""


# The README


def commands(command=None, path=("redolent",)):
    """Walk the commands: each with its path, from the outermost."""
    command = command or typer.main.get_command(app)
    yield " ".join(path), command
    for name, below in getattr(command, "commands", {}).items():
        yield from commands(below, (*path, name))


def options():
    """Give each option by the name that changes something: "--no-x" where "--x" is the default."""
    for path, command in commands():
        for option in command.params:
            if option.param_type_name == "option" and "--help" not in option.opts:
                names = option.secondary_opts if option.secondary_opts and option.default else option.opts
                yield path, max(names, key=len)


COMMANDS = [path for path, _ in commands()]
OPTIONS = list(options())


def test_the_walk_finds_what_there_is():
    assert {"redolent open", "redolent read", "redolent lexicon check", "redolent lexicon find"} <= set(COMMANDS)
    assert {
        ("redolent", "--version"),
        ("redolent open", "--folder"),
        ("redolent open", "--port"),
        ("redolent open", "--no-browser"),
        ("redolent open", "--demo"),
        ("redolent open", "--journal"),
        ("redolent read", "--json"),
    } <= set(OPTIONS)


@pytest.mark.parametrize("command", COMMANDS)
def test_readme_names_the_command(command):
    assert re.search(rf"(?<![\w-]){command}(?![\w-])", README.read_text(encoding="utf-8"))


@pytest.mark.parametrize(("command", "option"), OPTIONS)
def test_readme_names_the_option(command, option):
    assert re.search(rf"(?<![\w-]){option}(?![\w-])", README.read_text(encoding="utf-8")), f"{command} {option}"


@pytest.mark.parametrize("command", [path for path, command in commands() if path != "redolent"])
def test_every_command_explains_itself(run, command):
    result = run(*command.split()[1:], "--help")
    assert result.exit_code == 0
    assert "Usage" in result.stdout
