"""The documents say what is there: commands, options, words, tables and links; and what they show can be run."""

import re
import shlex
import tomllib
from collections.abc import Callable, Iterator
from enum import StrEnum
from pathlib import Path
from typing import get_args

import duckdb
import pytest
import typer

from app.cli import cli, main
from app.words import MARKS
from pipeline import vocabulary
from pipeline.ingest.cells import read_cells
from pipeline.ingest.crosstab_layout import Crosstab
from pipeline.ingest.file_layout import Headerless, folded
from pipeline.ingest.layout import (
    TARGETS,
    ConditionMeaning,
    Layout,
    LimitsBeside,
    ReportingLimit,
    SetAsideRule,
    TypedLimit,
    Words,
)
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.recognition import choose_layout
from pipeline.ingest.source import decode_source
from pipeline.ingest.staging import stage
from pipeline.ingest.styles import NumberStyle, TimeStyle
from pipeline.ingest.value_text import read_value
from pipeline.plant.folder import read_plant
from pipeline.reference import shipped_analytes, shipped_holding_times, shipped_limits
from pipeline.store.connection import Store
from pipeline.store.migrations import migrate
from pipeline.vocabulary import Outcome, ValueKind
from sample_lab import copy_plant_folder

ROOT = Path(__file__).resolve().parents[1]
DOCUMENTS = {
    str(path.relative_to(ROOT)): path.read_text("utf-8")
    for path in (ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md")))
}
README = DOCUMENTS["README.md"]
COMMANDS = dict(typer.main.get_group(cli).commands)
INSTALL = "python3 -m venv .venv && .venv/bin/python -m pip install -c .ci/constraints.txt -e"
EVERYWHERE = {"--store", "--json", "--help"}


def _options(name: str) -> set[str]:
    """Long options of a command; of a pair such as --serve/--no-serve the one that changes what happens."""
    return {
        option
        for parameter in COMMANDS[name].params
        if parameter.param_type_name == "option"
        for option in parameter.secondary_opts or parameter.opts
    }


def _without_code(text: str) -> str:
    return re.sub(r"```.*?```", "", text, flags=re.DOTALL)


def _shown_commands() -> list[tuple[str, str]]:
    """Every command line that a document shows, in blocks and in running text."""
    shown = []
    for name, text in DOCUMENTS.items():
        blocks = re.findall(r"```sh\n(.*?)```", text, re.DOTALL)
        lines = [line for block in blocks for line in block.splitlines() if line.startswith("barrierbook ")]
        inline = re.findall(r"`(barrierbook [a-z][^`]*)`", _without_code(text))
        shown += [(name, line) for line in dict.fromkeys([*lines, *inline])]
    return shown


@pytest.mark.parametrize("name", COMMANDS)
def test_the_readme_names_every_command_and_its_options(name: str) -> None:
    (row,) = [line for line in README.splitlines() if line.startswith(f"| `{name}` |")]
    assert {option for option in _options(name) - EVERYWHERE if f"`{option}`" not in row} == set()


def test_the_readme_names_no_command_or_option_that_is_not_there() -> None:
    rows = re.findall(r"^\| `([a-z]+)` \|(.*)$", README, re.MULTILINE)
    assert {name for name, _ in rows} == set(COMMANDS)
    for name, row in rows:
        assert set(re.findall(r"`(--[a-z-]+)`", row)) <= _options(name)


@pytest.mark.parametrize("name", COMMANDS)
def test_help_is_given(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([name, "--help"]) == 0
    said = capsys.readouterr().out
    assert all(option in said for option in _options(name))


@pytest.mark.parametrize(("document", "line"), _shown_commands())
def test_every_shown_command_is_understood(document: str, line: str) -> None:
    name, *arguments = shlex.split(line, comments=True)[1:]
    assert name in COMMANDS, document
    COMMANDS[name].make_context(name, arguments)


def test_the_readme_shows_commands() -> None:
    assert len([name for name, _ in _shown_commands() if name == "README.md"]) >= 7


@pytest.mark.parametrize(
    "command",
    [
        f"{INSTALL} . && .venv/bin/barrierbook demo",
        f'{INSTALL} ".[test]" && .venv/bin/python -m pytest',
    ],
)
def test_the_two_ways_in_stand_in_the_readme(command: str) -> None:
    assert command in README.splitlines()


def test_ci_runs_the_test_command_of_the_readme() -> None:
    script = (ROOT / ".ci" / "run").read_text("utf-8")
    (pattern,) = re.findall(r"sed -n 's/\^\\\((.*)\\\)\$/\\1/p' README\.md", script)
    assert len([line for line in README.splitlines() if re.fullmatch(pattern, line)]) == 1


@pytest.mark.parametrize(
    ("document", "target"),
    [
        (name, target)
        for name, text in DOCUMENTS.items()
        for target in re.findall(r"\]\(([^)\s]+)\)", _without_code(text))
        if not target.startswith(("http://", "https://"))
    ],
)
def test_links_lead_somewhere(document: str, target: str) -> None:
    path, _, anchor = target.partition("#")
    file = (ROOT / document).parent / path if path else ROOT / document
    assert file.exists()
    if anchor:
        headings = re.findall(r"^#+ (.*)$", _without_code(file.read_text("utf-8")), re.MULTILINE)
        assert anchor in {re.sub(r"[^a-z0-9_ -]", "", heading.lower()).replace(" ", "-") for heading in headings}


@pytest.mark.parametrize(
    ("document", "path"),
    [
        (name, path)
        for name, text in DOCUMENTS.items()
        for path in re.findall(r"`((?:\.ci|pipeline|checks|app|sample_lab|tests|docs)/[\w./*-]+)`", text)
        if "..." not in path
    ],
)
def test_files_that_are_named_are_there(document: str, path: str) -> None:
    assert list(ROOT.glob(path)), document


@pytest.mark.parametrize("document", [name for name in DOCUMENTS if name != "README.md"])
def test_the_readme_leads_to_every_document(document: str) -> None:
    assert f"]({document})" in README


@pytest.mark.parametrize("document", ["README.md", "docs/design.md"])
def test_the_caution_stands(document: str) -> None:
    text = " ".join(DOCUMENTS[document].split()).casefold()
    for words in ("screening aid", "licensed operators and the primacy agency", "limit table", "emergency procedure"):
        assert words in text


WORDS = [
    (group.__name__, word.value)
    for group in vars(vocabulary).values()
    if isinstance(group, type) and issubclass(group, StrEnum) and group is not StrEnum
    for word in group
]


@pytest.mark.parametrize(("group", "word"), WORDS)
def test_the_glossary_explains_every_word(group: str, word: str) -> None:
    glossary = " ".join(DOCUMENTS["docs/glossary.md"].split())
    assert f"`{word}`" in glossary, group


def test_the_glossary_is_in_alphabetical_order() -> None:
    rows = re.findall(r"^\| (.+?)(?: \*)? \|", DOCUMENTS["docs/glossary.md"].split("## Outcomes")[0], re.MULTILINE)
    words = [word.replace("`", "").casefold() for word in rows[1:]]
    assert words == sorted(words)
    assert len(words) == len(set(words))


def test_the_glossary_lists_outcomes_worst_first_with_their_symbols() -> None:
    rows = re.findall(r"^\| `(.+?)` \| (.) \|", DOCUMENTS["docs/glossary.md"], re.MULTILINE)
    assert rows == [(outcome.value, MARKS[outcome].symbol) for outcome in Outcome]


@pytest.mark.parametrize(
    ("file", "shipped", "noun"),
    [
        ("analytes.csv", shipped_analytes, "analytes"),
        ("limits.csv", shipped_limits, "limits"),
        ("holding_times.csv", shipped_holding_times, "holding times"),
    ],
)
def test_the_data_dictionary_counts_the_shipped_tables(
    file: str, shipped: Callable[[], tuple[object, ...]], noun: str
) -> None:
    dictionary = DOCUMENTS["docs/data_dictionary.md"]
    (row,) = re.findall(rf"^\| `{file}` \| .* the shipped table, .*", dictionary, re.MULTILINE)
    assert row.endswith(f"the shipped table, {len(shipped())} {noun} |")


def _columns_of_the_store() -> list[tuple[str, str]]:
    """Every table with each of its columns, and every view under the heading of the views."""
    with duckdb.connect() as connection:
        migrate(connection)
        views = connection.execute("SELECT 'Views', view_name FROM duckdb_views() WHERE NOT internal").fetchall()
        columns = connection.execute(
            "SELECT table_name, column_name FROM duckdb_columns() SEMI JOIN duckdb_tables() USING (table_name)"
        ).fetchall()
    return [(str(table), str(name)) for table, name in sorted(columns) + sorted(views)]


@pytest.mark.parametrize(("table", "column"), _columns_of_the_store())
def test_the_data_dictionary_explains_every_column_of_the_store(table: str, column: str) -> None:
    store = DOCUMENTS["docs/data_dictionary.md"].split("\n# The store\n")[1]
    assert f"`{column}`" in store.split(f"\n## {table}\n")[1].split("\n## ")[0]


@pytest.fixture(scope="module")
def stored(tmp_path_factory: pytest.TempPathFactory) -> Store:
    """A new store."""
    store = Store(tmp_path_factory.mktemp("store"))
    store.create()
    return store


def _row(heading: str, name: str) -> str:
    store = DOCUMENTS["docs/data_dictionary.md"].split("\n# The store\n")[1]
    (row,) = re.findall(rf"^\|.*`{name}`.*", store.split(f"\n## {heading}\n")[1].split("\n## ")[0], re.MULTILINE)[:1]
    return str(row)


def test_the_data_dictionary_says_of_every_column_that_can_be_null_what_null_means(stored: Store) -> None:
    with stored.read() as connection:
        columns = connection.execute(
            "SELECT table_name, column_name FROM duckdb_columns() SEMI JOIN duckdb_tables() USING (table_name) "
            "WHERE is_nullable AND NOT internal"
        ).fetchall()
    silent = [(table, name) for table, name in columns if not re.search("null|Likewise", _row(table, name), re.I)]
    assert len(columns) > 10
    assert silent == []


def test_the_data_dictionary_explains_every_column_of_the_views(stored: Store) -> None:
    with stored.read() as connection:
        views = connection.sql("SELECT view_name FROM duckdb_views() WHERE NOT internal").fetchall()
        columns = connection.sql("SELECT table_name, column_name FROM duckdb_columns() WHERE NOT internal").fetchall()
    for view, name in columns:
        if (view,) in views:
            row = _row("Views", view)
            borrowed = {column for table, column in columns if f"columns of `{table}`" in row}
            assert f"`{name}`" in row or name in borrowed, view


LAYOUTS = DOCUMENTS["docs/layouts.md"]
PARTS_OF_A_LAYOUT = (
    Layout, Headerless, NumberStyle, TimeStyle, Crosstab, TypedLimit, LimitsBeside, Words, SetAsideRule, ReportingLimit,
)  # fmt: skip
WQX = {name: layout for name, layout in shipped_layouts().items() if name.startswith("wqx")}


@pytest.mark.parametrize("target", sorted(TARGETS))
def test_every_column_that_a_layout_can_fill_is_explained(target: str) -> None:
    assert f"`{target}`" in LAYOUTS.split("Our columns, as they are called")[1]


@pytest.mark.parametrize(
    "header", [name for names in shipped_layouts()["narrow.toml"].columns.values() for name in names]
)
def test_every_column_of_our_own_layout_is_explained(header: str) -> None:
    assert f"`{header}`" in LAYOUTS.split("## Our own narrow layout")[1].split("\n## ")[0]


@pytest.mark.parametrize("key", sorted({key for part in PARTS_OF_A_LAYOUT for key in part.model_fields}))
def test_every_key_of_a_layout_is_explained(key: str) -> None:
    assert f"`{key}`" in LAYOUTS.split("### Keys of every layout")[1]


@pytest.mark.parametrize("meaning", get_args(ConditionMeaning))
def test_every_meaning_of_a_detection_condition_is_explained(meaning: str) -> None:
    assert f"\n| `{meaning}` |" in LAYOUTS


def test_the_layouts_that_are_shown_show_every_key() -> None:
    shown = [tomllib.loads(layout) for layout in re.findall(r"```toml\n(.*?)```", LAYOUTS, re.DOTALL)]
    text = "\n".join(_keys(shown))
    assert {key for part in PARTS_OF_A_LAYOUT for key in part.model_fields if key not in text.split()} == set()
    (conditions,) = [layout["words"]["condition"] for layout in shown if "condition" in layout.get("words", {})]
    assert set(conditions.values()) == set(get_args(ConditionMeaning))


def _keys(part: object) -> Iterator[str]:
    """Every key of tables within tables."""
    if isinstance(part, dict):
        yield from part
        part = list(part.values())
    for inner in part if isinstance(part, list) else []:
        yield from _keys(inner)


@pytest.mark.parametrize("name", WQX)
def test_every_column_that_is_read_of_a_wqx_file_is_listed(name: str) -> None:
    layout, section = WQX[name], LAYOUTS.split("## WQX")[1].split("\n## ")[0]
    read = {header for headers in layout.columns.values() for header in headers}
    read |= {header for typed in layout.typed_limits for header in (typed.kind, typed.value, typed.unit)}
    read |= {rule.column for rule in layout.set_aside}
    assert {header for header in read if f"`{header}`" not in section} == set()


@pytest.mark.parametrize("name", WQX)
def test_every_word_of_a_wqx_file_stands_beside_what_it_means(name: str) -> None:
    rows = re.findall(r"^\| (`.*) \| `([^`]+)` \|$", LAYOUTS.split("## WQX")[1].split("\n## ")[0], re.MULTILINE)
    told = {(folded(word), means) for words, means in rows for word in re.findall(r"`([^`]+)`", words)}
    told |= {("", means) for words, means in rows if words.endswith("or nothing")}
    words = WQX[name].words
    meant = {pair for part in (words.condition, words.sample_type, words.status) for pair in part.items()}
    assert meant <= told


def test_the_file_that_is_shown_is_read_as_the_document_says(tmp_path: Path) -> None:
    copy_plant_folder(tmp_path)
    (shown,) = re.findall(
        r"```csv\n(.*?)```", LAYOUTS.split("## Our own narrow layout")[1].split("\n## ")[0], re.DOTALL
    )
    source = decode_source("shown.csv", shown.encode())
    layout = choose_layout(source, shipped_layouts().values())
    with duckdb.connect() as connection:
        stage(connection, read_cells(source, layout).table, layout, read_plant(tmp_path))
        kinds = connection.execute(
            "SELECT value_kind, value::VARCHAR, unit FROM staged_cell ORDER BY cell_id"
        ).fetchall()
        problems = connection.execute(
            "SELECT string_agg(analyte_problem || unit_problem || basis_problem || value_problem || limit_problem "
            "|| collected_problem, '') FROM staged_cell WHERE sample_point = 'FIN'"
        ).fetchone()
    assert kinds == [
        ("number", "0.360000000000000", "mg/L"),
        ("below", "1.000000000000000", "ug/L"),
        ("absent", None, None),
        ("not analyzed", None, None),
    ]
    assert problems == ("",)


@pytest.mark.parametrize(
    ("meaning", "empty", "number"),
    re.findall(r"^\| `([^`]+)` \| ([^|`]+) \| ([^|]+) \|$", LAYOUTS.split("### Detection conditions")[1], re.MULTILINE),
)
def test_detection_conditions_are_read_as_the_document_says(meaning: ConditionMeaning, empty: str, number: str) -> None:
    told = {
        "held": ValueKind.UNREADABLE,
        "below": ValueKind.BELOW,
        "above": ValueKind.ABOVE,
        "present": ValueKind.PRESENT,
        "there is no result": ValueKind.NOT_ANALYZED,
        "the number": ValueKind.NUMBER,
    }
    for text, words in (("", empty), ("3.2", number)):
        kind = read_value(text, condition=meaning, condition_text=meaning).kind
        assert [meant for start, meant in told.items() if words.startswith(start)] == [kind]


def _shown_values() -> list[tuple[str, str]]:
    table = LAYOUTS.split("| written | means |")[1].split("\n\n")[0]
    rows = [line.strip("|").split(" | ") for line in table.splitlines() if line.startswith("| `")]
    return [(text, meaning) for written, meaning in rows for text in re.findall(r"`([^`]+)`", written)]


@pytest.mark.parametrize(("text", "meaning"), _shown_values())
def test_values_are_read_as_the_document_says(text: str, meaning: str) -> None:
    kind = read_value(text).kind
    told = {
        "a number": ValueKind.NUMBER,
        "below": ValueKind.BELOW,
        "above": ValueKind.ABOVE,
        "present": ValueKind.PRESENT,
        "absent": ValueKind.ABSENT,
        "too numerous": ValueKind.TOO_NUMEROUS,
        "there is no result": ValueKind.NOT_ANALYZED,
    }
    assert [meant for words, meant in told.items() if meaning.strip().startswith(words)] == [kind]
