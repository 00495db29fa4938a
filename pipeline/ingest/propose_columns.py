"""Which column of an unknown file is most likely which of ours: by the words of its header, and by its contents."""

import re
import tomllib
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from importlib import resources
from itertools import pairwise
from types import MappingProxyType
from typing import Final

from pipeline.ingest.file_layout import folded
from pipeline.ingest.propose_styles import is_clock_time, looks_like_a_date
from pipeline.ingest.time_text import ZONE_HOURS
from pipeline.ingest.value_text import read_value
from pipeline.plant.names import fraction_words, valid_cas_number
from pipeline.plant.plant import Plant
from pipeline.vocabulary import Purpose, ValueKind

MOST_SPELLINGS: Final = 500
_MOSTLY: Final = 0.6

Words = Mapping[str, Sequence[str]]


@cache
def header_words(kind: str) -> Words:
    """Usual words of headers by our columns, in the order in which these take their pick."""
    text = resources.files("pipeline.ingest").joinpath("header_words.toml").read_text("utf-8")
    words: Words = tomllib.loads(text)[kind]
    return words


TIME_TARGETS: Final = frozenset(
    {"collected", "received", "filtered", "extracted", "analyzed", "reported", "relinquished", "issued"}
)
NUMBER_TARGETS: Final = frozenset(
    {"value", "detection_limit", "reporting_limit", "uncertainty", "receipt_temperature", "dilution"}
)
_NEVER_EMPTY: Final = frozenset({"analyte", "value", "collected", "point"})
_LIMITS: Final = frozenset({"detection_limit", "reporting_limit"})
_FEW_WORDS: Final = 3
_NUMERIC: Final = frozenset({ValueKind.NUMBER, ValueKind.BELOW, ValueKind.ABOVE})
_METHOD: Final = re.compile(r"\b(?:EPA|SM|ASTM|ISO|USGS|Standard Methods)\s*[\w.-]*\d", re.IGNORECASE)


@dataclass(frozen=True)
class Column:
    """One column of an unknown file: its name, where it stands, and its different texts in their order."""

    name: str
    position: int
    texts: tuple[str, ...]

    @cached_property
    def words(self) -> str:
        """The name as words, without case: ``parm_short_nm`` and ``ActivityStartDate`` too."""
        return in_words(self.name)

    def share(self, holds: Callable[[str], bool]) -> float:
        """Share of its texts of which something holds; zero where the column is empty."""
        return sum(1 for text in self.texts if holds(text)) / len(self.texts) if self.texts else 0.0

    @cached_property
    def is_numeric(self) -> bool:
        """Whether most of it reads as values of results."""
        return self.share(is_value) >= _MOSTLY

    @cached_property
    def counts_rows(self) -> bool:
        """Whether it numbers the rows: whole numbers from 0 or 1, each one more than the one before."""
        whole = [int(text) for text in self.texts if text.isascii() and text.isdigit() and len(text) < 10]
        in_order = all(after - before == 1 for before, after in pairwise(whole))
        return len(whole) == len(self.texts) > 1 and whole[0] in (0, 1) and in_order

    @cached_property
    def is_date(self) -> bool:
        """Whether most of it begins with a date."""
        return self.share(looks_like_a_date) >= _MOSTLY

    @cached_property
    def is_clock(self) -> bool:
        """Whether it holds times of day alone."""
        return self.share(is_clock_time) >= 0.9

    @cached_property
    def is_zone(self) -> bool:
        """Whether it holds codes of time zones alone."""
        return self.share(lambda text: text.strip() in ZONE_HOURS) >= 0.9


@dataclass(frozen=True, slots=True)
class Guess:
    """The columns for one of ours, and why."""

    names: tuple[str, ...]
    reason: str


def in_words(header: str) -> str:
    """A header as words, without case.

    >>> in_words("ActivityStartTime/TimeZoneCode"), in_words("rpt_lev_va")
    ('activity start time time zone code', 'rpt lev va')
    """
    return folded(re.sub(r"[_/.\\#()\[\]:,-]+|(?<=[a-z])(?=[A-Z])", " ", header))


def columns_of(names: Sequence[str], rows: Iterable[Sequence[str]]) -> list[Column]:
    """The columns of a table, each with its first 500 different texts."""
    texts: list[dict[str, None]] = [{} for _ in names]
    for row in rows:
        for kept, cell in zip(texts, row, strict=False):
            if len(kept) < MOST_SPELLINGS and cell.strip():
                kept.setdefault(cell.strip())
    return [
        Column(name.strip(), position, tuple(kept))
        for position, (name, kept) in enumerate(zip(names, texts, strict=True))
    ]


def is_value(text: str) -> bool:
    """Whether a text reads as a result: a number with any marks, a censored one, or "ND"."""
    reading = read_value(text)
    if reading.kind in _NUMERIC:
        return True
    bare = re.sub(r"(?<=\d)[ ,.'\u2019\u00a0\u202f](?=\d)", "", text.strip())
    return bool(bare) and read_value(bare).kind in _NUMERIC


def is_header_word(text: str) -> bool:
    """Whether a text holds a usual word of a header."""
    written = in_words(text)
    return any(_has(word, written) for words in header_words("results").values() for word in words)


def guess_columns(
    columns: Sequence[Column],
    plant: Plant,
    targets: Iterable[str],
    further_words: Words = MappingProxyType({}),
) -> dict[str, Guess]:
    """The likeliest columns for ours, each column for one of ours only.

    What stands in a column can veto the words above it: a column of dates holds no value, whatever it is called.
    """
    wanted = set(targets)
    guesses: dict[str, Guess] = {}
    named = Counter(folded(column.name) for column in columns)
    free = [column for column in columns if column.name and named[folded(column.name)] == 1]
    for target, words in (*header_words("results").items(), *further_words.items()):
        if target in wanted and target not in guesses and (found := _by_words(target, words, free, plant)):
            column, word = found
            free.remove(column)
            guesses[target] = Guess((column.name,), f'its name says "{word.rstrip("$")}"')
    for target, holds, said in _by_contents(plant):
        if target in wanted and target not in guesses:
            possible = [column for column in free if column.is_date == (target == "collected")]
            best = max(possible, key=lambda one: one.share(holds), default=None)
            if best is not None and best.share(holds) >= _MOSTLY:
                free.remove(best)
                guesses[target] = Guess((best.name,), f"{best.share(holds):.0%} of its texts are {said}")
    if "method" in guesses:
        guesses["method"] = _with_context(guesses["method"], free)
    return {target: _with_clock(target, guess, columns, free) for target, guess in guesses.items()}


def _with_context(guess: Guess, free: list[Column]) -> Guess:
    """A method with the body that wrote it, where that has a column of its own: ``EPA`` and ``300.0``."""
    wanted = f"{in_words(guess.names[0])} context"
    context = next((column for column in free if column.words == wanted), None)
    if context is None:
        return guess
    free.remove(context)
    return Guess((context.name, *guess.names), f"{guess.reason}, with its context before it")


def _by_words(target: str, words: Sequence[str], free: Sequence[Column], plant: Plant) -> tuple[Column, str] | None:
    """The column with the earliest of the words; among several the shortest name: "Result" before "Result comment"."""
    for word in words:
        fitting = [column for column in free if _has(word, column.words) and _can_be(target, column, plant)]
        if fitting:
            return min(fitting, key=lambda column: len(column.words)), word
    return None


def _has(word: str, words: str) -> bool:
    if word.endswith("$"):
        return bool(re.search(rf"\b{word}", words))
    return bool(re.search(rf"\b{word}s?\b", words))


def _can_be(target: str, column: Column, plant: Plant) -> bool:
    """Whether what stands in a column can be what its name promises; an empty column can be anything."""
    if not column.texts:
        return target not in _NEVER_EMPTY and (target not in _LIMITS or len(column.words.split()) <= _FEW_WORDS)
    if target in TIME_TARGETS:
        return column.is_date
    if target in NUMBER_TARGETS:
        return column.is_numeric and not column.is_date
    if target == "unit":
        return column.share(lambda text: plant.units.resolve(text).unit is not None) >= 0.3
    if target == "analyte":
        return not (column.is_numeric or column.is_date or column.is_clock)
    if target == "cas":
        return column.share(lambda text: bool(re.fullmatch(r"[\d/-]+", text))) >= _MOSTLY
    return not (column.is_date or column.is_clock) or target in ("comment", "revision")


def _by_contents(plant: Plant) -> list[tuple[str, Callable[[str], bool], str]]:
    names = plant.names
    return [
        ("cas", valid_cas_number, "CAS numbers"),
        ("unit", lambda text: plant.units.resolve(text).unit is not None and not text.isdigit(), "units"),
        ("analyte", lambda text: len(text) > 2 and names.analyte(text).problem == "", "known analytes"),
        ("point", lambda text: names.point(text) is not None, "known sample points"),
        ("sample", lambda text: text in plant.sample_log, "samples of the sample log"),
        ("laboratory", lambda text: names.laboratory(text) is not None, "known laboratories"),
        ("fraction", lambda text: bool(fraction_words(text)) and len(text) > 1, "fractions"),
        ("method", lambda text: bool(_METHOD.search(text)), "methods"),
        ("purpose", lambda text: folded(text) in set(Purpose), "purposes of samples"),
        ("collected", looks_like_a_date, "dates"),
        ("value", is_value, "values"),
    ]


def _with_clock(target: str, guess: Guess, columns: Sequence[Column], free: list[Column]) -> Guess:
    """A date with the time of day and the zone that stand beside it, where they have columns of their own."""
    if target not in TIME_TARGETS:
        return guess
    by_name: Mapping[str, Column] = {column.name: column for column in columns}
    date_column = by_name[guess.names[0]]
    if any(":" in text for text in date_column.texts[:20]):
        return guess
    names = list(guess.names)
    for is_one in (_is_clock_of, _is_zone_of):
        beside = [column for column in free if is_one(column, date_column)]
        if not beside:
            break  # a zone without a time says nothing
        nearest = min(beside, key=lambda column: abs(column.position - date_column.position))
        free.remove(nearest)
        names.append(nearest.name)
    added = " with the time beside it" if len(names) > len(guess.names) else ""
    return Guess(tuple(names), guess.reason + added)


def _is_clock_of(column: Column, date_column: Column) -> bool:
    if not column.texts:
        return _shares_stem(column, date_column) and "time" in column.words and "zone" not in column.words
    return column.is_clock and _belongs(column, date_column)


def _is_zone_of(column: Column, date_column: Column) -> bool:
    if not column.texts:
        return _shares_stem(column, date_column) and "zone" in column.words
    return column.is_zone and _belongs(column, date_column)


def _belongs(column: Column, date_column: Column) -> bool:
    """Whether a time stands right beside a date, or shares the beginning of its name."""
    return 0 < column.position - date_column.position <= 2 or _shares_stem(column, date_column)


def _shares_stem(column: Column, date_column: Column) -> bool:
    stem = date_column.words.replace("date", "").split()
    return bool(stem) and column.words.split()[: len(stem)] == stem
