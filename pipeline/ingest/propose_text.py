"""A proposed layout as a commented TOML file that a person can read and go on editing."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from pipeline.ingest.layout_text import quoted


def layout_text(
    draft: Mapping[str, Any], reasons: Mapping[str, str], undecided: Sequence[str], unused: Sequence[str]
) -> str:
    """The text of the file: each key with the reason for it, what is open at the top, unused columns at the end."""
    lines = ["# docs/layouts.md says what each line means. After # stands why it was proposed."]
    lines += [f"# To be decided: {_one_line(said)}" for said in undecided]
    lines += ["", *_table((), draft, reasons)]
    if unused:
        lines += ["", "# Columns of the file that nothing above reads:", *(f"#   {quoted(name)}" for name in unused)]
    return "\n".join(lines) + "\n"


def _table(path: tuple[str, ...], table: Mapping[str, Any], reasons: Mapping[str, str]) -> Iterator[str]:
    """The values of a table, then its tables; a table within a table gets a heading of its own."""
    for key, value in table.items():
        if not isinstance(value, Mapping):
            reason = reasons.get(".".join((*path, key)), "")
            yield f"{_key(key)} = {_value(value)}{f'  # {_one_line(reason)}' if reason else ''}"
    for key, value in table.items():
        if isinstance(value, Mapping):
            inner = (*path, key)
            reason = reasons.get(".".join(inner), "")
            if not value or any(not isinstance(one, Mapping) for one in value.values()):
                yield ""
                yield f"[{'.'.join(map(_key, inner))}]{f'  # {_one_line(reason)}' if reason else ''}"
            yield from _table(inner, value, reasons)


def _key(key: str) -> str:
    return key if key.isascii() and key.replace("_", "").isalnum() else quoted(key)


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | Decimal):
        return str(value)
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, Mapping):
        return f"{{ {', '.join(f'{_key(key)} = {_value(one)}' for key, one in value.items())} }}"
    if isinstance(value, Iterable):
        return f"[{', '.join(_value(one) for one in value)}]"
    raise TypeError(f"{type(value).__name__} has no place in a layout")


def _one_line(text: str) -> str:
    """A text for a comment: no line break or other control character ends it early."""
    return "".join(sign if sign.isprintable() else " " for sign in text)
