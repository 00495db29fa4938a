"""Names of laboratory methods: the same one is written in many ways."""

import re
from dataclasses import dataclass
from functools import lru_cache

_METHOD_NUMBER = re.compile(r"(?<![\d.])(\d{3,4}(?:\.\d+)?)(?!\d)")
_YEAR = re.compile(r"(?:19|20)\d\d")


@dataclass(frozen=True, slots=True)
class _MethodName:
    """The publisher of a method where it is said, its number, and what follows the number, without its marks."""

    publisher: str
    number: str
    part: str


def method_fits(method: str, written: str) -> bool:
    """Whether a laboratory's text names a method of the table.

    Publishers, editions, revisions and years may be written in any way or be missing. A part that the table names
    (SM 4500-NO2, SM 2540 C) has to agree where it is written; a decimal is part of the number.

    Examples
    --------
    >>> method_fits("EPA 200.8", "200.8 rev 5.4"), method_fits("EPA 537.1", "EPA 537")
    (True, False)
    >>> method_fits("SM 4500-NO2", "SM4500-NO2- B-2011"), method_fits("SM 4500-Cl", "SM 4500-ClO2 D")
    (True, False)
    """
    wanted = _method_names(method)
    if not wanted:
        return method.casefold() in written.casefold()
    return any(_same_method(table, lab) for table in wanted for lab in _method_names(written))


@lru_cache(maxsize=4096)
def _method_names(text: str) -> tuple[_MethodName, ...]:
    upper = text.upper()
    publisher = _publisher(upper)
    numbers = list(_METHOD_NUMBER.finditer(upper))
    ends = [match.start() for match in numbers[1:]] + [len(upper)]
    return tuple(
        _MethodName(publisher, number[1], _part(upper[number.end() : end]))
        for number, end in zip(numbers, ends, strict=False)
        if not _YEAR.fullmatch(number[1])
    )


def _publisher(upper: str) -> str:
    epa = bool(re.search(r"EPA|\bE\d", upper))
    standard_methods = bool(re.search(r"\bSM|STANDARD METHODS", upper))
    return {(True, False): "EPA", (False, True): "SM"}.get((epa, standard_methods), "")


def _part(after_number: str) -> str:
    return re.sub(r"[^A-Z0-9]", "", re.split(r"[(,;/]", after_number)[0])


def _same_method(table: _MethodName, lab: _MethodName) -> bool:
    if table.number != lab.number or (table.publisher and lab.publisher and table.publisher != lab.publisher):
        return False
    if table.publisher == "EPA" or len(table.number) != len("4500"):
        return True
    if lab.part.startswith(table.part):
        return bool(re.fullmatch(r"[A-K]?(?:\d{2})?", lab.part[len(table.part) :]))
    return table.part.startswith(lab.part) and len(table.part) - len(lab.part) == 1
