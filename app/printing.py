"""What commands print: tables for a person, JSON for a program; data on stdout, everything else on stderr."""

import json
import sys
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from pathlib import Path

import polars as pl
from pydantic import BaseModel
from rich.console import Console
from rich.table import Table
from rich.text import Text

from pipeline.ingest.stored_value import to_stored

WIDTH_OF_A_FILE = 400


def print_json(data: object) -> None:
    """Print data as one JSON document; decimals keep their digits as text."""
    json.dump(_plain(data), sys.stdout, ensure_ascii=False, indent=2)
    sys.stdout.write("\n")


def print_frame(frame: pl.DataFrame, headings: Mapping[str, str]) -> None:
    """Print the named columns of a frame as a table, under the headings a person reads."""
    print_rows([list(row) for row in frame.select(list(headings)).iter_rows()], list(headings.values()))


def print_rows(rows: Sequence[Sequence[object]], headings: Sequence[str]) -> None:
    """Print rows as a table; nothing in them is taken for markup."""
    table = Table(box=None, pad_edge=False, header_style="bold")
    for heading in headings:
        table.add_column(heading, overflow="fold")
    for row in rows:
        table.add_row(*(Text(_shown(cell)) for cell in row))
    # Into a file or a pipe a row stays one line; in a terminal it folds to the window.
    width = None if sys.stdout.isatty() else WIDTH_OF_A_FILE
    Console(file=sys.stdout, highlight=False, width=width).print(table)


def say(text: str) -> None:
    """Print a line of data for a person on stdout."""
    sys.stdout.write(f"{text}\n")


def progress(text: str) -> None:
    """Say on stderr what is going on."""
    sys.stderr.write(f"{text}\n")
    sys.stderr.flush()


def _shown(cell: object) -> str:
    if cell is None:
        return ""
    if isinstance(cell, datetime):
        return cell.strftime("%Y-%m-%d %H:%M")
    return str(cell)


def _plain(data: object) -> object:
    match data:
        case None | bool() | int() | str() if not isinstance(data, Enum):
            return data
        case Enum():
            return data.value
        case datetime() | date():
            return data.isoformat()
        case Decimal():
            return format(data, "f")
        case Fraction():
            return _fraction(data)
        case float() | Path():
            return str(data)
        case BaseModel():
            return _plain(data.model_dump())
        case pl.DataFrame():
            return [_plain(row) for row in data.iter_rows(named=True)]
        case Mapping():
            return {str(key): _plain(value) for key, value in data.items()}
        case Sequence() | set() | frozenset():
            return [_plain(item) for item in data]
    if is_dataclass(data) and not isinstance(data, type):
        return {field.name: _plain(getattr(data, field.name)) for field in fields(data)}
    raise TypeError(f"{type(data).__name__} has no JSON form")


def _fraction(value: Fraction) -> str:
    """A fraction as a decimal text; with its exact form beside it where it has no end."""
    stored = to_stored(value)
    if stored is None:
        return str(value)
    text = format(stored.normalize(), "f")
    return text if Fraction(stored) == value else f"{text} ({value})"
