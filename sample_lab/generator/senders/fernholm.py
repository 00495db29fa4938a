"""Fernholm Laboratory: traces, in crosstabs as its instruments' software prints them.

Semicolons, decimal commas and points between thousands, dates with the day first, Windows-1252, titles above, and one
block for each kind of analysis, with the method, the unit and the reporting limit of each column below its heading.
"""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from itertools import groupby

from sample_lab.generator.days import waters_on
from sample_lab.generator.noise import Noise
from sample_lab.generator.points import Point
from sample_lab.generator.rows import Mark
from sample_lab.generator.senders.bench import Test, tests
from sample_lab.generator.senders.rounds import Bottle, bottle, quarterly_days
from sample_lab.generator.senders.sent import Planted, SentFile

LABORATORY = "Fernholm Laboratory"
CLIENT = "Quillmere"
HEADS = (
    "Lab no.", "Client", "Client sample", "Type", "Sampling point", "Sampled", "Received", "Extracted", "Analysed",
    "Rev.", "Status", "Issued",
)  # fmt: skip
LINES = ("Method", "Unit", "RL")
WRITTEN_POINTS = {
    Point.INFLUENT: "QW-01 inflow", Point.OZONE_EFFLUENT: "QW-02 after ozone",
    Point.BIOLOGICAL_CARBON_EFFLUENT: "QW-03 after carbon", Point.MEMBRANE_FILTRATE: "QW-04 after UF",
    Point.PERMEATE_A: "QW-05 permeate A", Point.PERMEATE_B: "QW-06 permeate B",
    Point.ADVANCED_OXIDATION_EFFLUENT: "QW-07 after UV", Point.FINISHED_WATER: "QW-08 finished",
}  # fmt: skip
SURROGATES = {"PFAS": "13C4-PFBA recovery", "Indicators": "Carbamazepine-d10 recovery"}
TITLES = {
    "PFAS": "Per- and polyfluoroalkyl substances",
    "Indicators": "Pharmaceuticals, sweeteners and other indicators",
    "Volatiles": "Volatile organic compounds",
}
# Days from collection to extraction, and from there to the analysis; volatiles are not extracted.
_WAITS = {"PFAS": ((6, 18), (2, 9)), "Indicators": ((3, 9), (1, 6)), "Volatiles": (None, (3, 11))}
_OTHER_CLIENTS = ("Marlbeck Waterworks", "Ottershaw Springs")


@dataclass(slots=True)
class Line:
    """One sample in one block: what stands in the columns before the values, and the value of each heading.

    ``typed`` are texts that somebody typed over a value.
    """

    heads: dict[str, str]
    values: dict[str, str]
    day: date
    point: str
    typed: dict[str, str] = field(default_factory=dict)
    marks: list[tuple[str, Mark]] = field(default_factory=list)

    @property
    def is_of_plant(self) -> bool:
        """Whether it is a sample of the plant, and none of another client or of the laboratory's own making."""
        return self.point in WRITTEN_POINTS

    def copy(self) -> "Line":
        """Another line that says the same, without marks."""
        return Line(dict(self.heads), dict(self.values), self.day, self.point, dict(self.typed))


@dataclass(slots=True)
class Block:
    """One part of a report: the columns of one kind of analysis, and its samples."""

    name: str
    tests: Sequence[Test]
    lines: list[Line]
    units: dict[str, str] = field(default_factory=dict)
    headings: dict[str, str] = field(default_factory=dict)


Report = list[Block]


def faultless_reports(seed: int) -> dict[str, Report]:
    """Every report as it should have been, by the name of its file: two whole years, then quarters."""
    days = quarterly_days()
    noise = Noise(seed)
    by_file = {f"fernholm_{year}.csv": [day for day in days if day.year == year] for year in (2024, 2025)}
    by_file |= {f"fernholm_{day:%Y-%m}.csv": [day] for day in days if day.year == 2026}
    return {
        name: [
            Block(block, list(chosen), list(_lines(seed, noise, block, days_of_file)))
            for block, chosen in _by_block(tests("fernholm"))
        ]
        for name, days_of_file in by_file.items()
    }


def _by_block(listed: Iterable[Test]) -> list[tuple[str, list[Test]]]:
    return [(block, list(chosen)) for block, chosen in groupby(listed, key=lambda test: test.block)]


def _lines(seed: int, noise: Noise, block: str, days: Iterable[date]) -> Iterator[Line]:
    chosen = dict(_by_block(tests("fernholm")))[block]
    for day in days:
        for number, point in enumerate(chosen[0].points, 1):
            taken = bottle(noise, day, point)
            water = waters_on(seed, day)[point]
            values = {test.written: test.measured(noise, taken.sample, day, water[test.analyte]) for test in chosen}
            yield Line(
                _heads(noise, block, taken, number), _with_surrogate(noise, block, values, taken.sample), day, point
            )
        yield from _beside(noise, block, chosen, day)


def _heads(noise: Noise, block: str, taken: Bottle, number: int) -> dict[str, str]:
    to_extraction, to_analysis = _WAITS[block]
    day = taken.collected.date()
    start = taken.collected
    heads = {
        "Lab no.": f"FH{day:%y%m}-{'PIV'[list(_WAITS).index(block)]}{number:02d}", "Client": CLIENT,
        "Client sample": taken.sample, "Type": "Sample", "Sampling point": WRITTEN_POINTS[taken.point],
        "Sampled": _time(taken.collected), "Received": _time(taken.received), "Rev.": "0", "Status": "final",
    }  # fmt: skip
    if to_extraction:
        start = _at_work(day, int(noise.between(*to_extraction, "fernholm", block, day)), 9, 40)
        heads["Extracted"] = _time(start)
    done = _at_work(start.date(), int(noise.between(*to_analysis, "fernholm run", block, day)), 13, 5)
    heads["Analysed"] = _time(done + timedelta(minutes=22 * number))
    heads["Issued"] = f"{done + timedelta(days=6):%d.%m.%Y}"
    return heads


def _beside(noise: Noise, block: str, chosen: Sequence[Test], day: date) -> Iterator[Line]:
    """What stands among the plant's samples: the laboratory's own checks, and a sample of another client."""
    first = _heads(noise, block, bottle(noise, day, chosen[0].points[0]), 90)
    for kind, level in (("Blank", 0.0), ("Control", 20.0)):
        heads = {**first, "Type": kind, "Client": "", "Client sample": "", "Sampling point": "", "Sampled": ""}
        heads |= {"Received": "", "Lab no.": first["Lab no."].replace("90", "91" if kind == "Blank" else "92")}
        values = {test.written: test.measured(noise, f"{kind} {day}", day, level) for test in chosen}
        yield Line(heads, _with_surrogate(noise, block, values, f"{kind} {day}"), day, kind)
    other = {**first, "Client": _OTHER_CLIENTS[day.month % 2], "Client sample": f"{day:%y}/{day.month:02d}-A"}
    other |= {"Sampling point": "Well 3", "Lab no.": first["Lab no."].replace("90", "99")}
    values = {test.written: test.measured(noise, f"other {day}", day, 3.0) for test in chosen}
    yield Line(other, _with_surrogate(noise, block, values, f"other {day}"), day, "other client")


def _with_surrogate(noise: Noise, block: str, values: dict[str, str], sample: str) -> dict[str, str]:
    if block in SURROGATES:
        values[SURROGATES[block]] = f"{noise.between(78, 118, 'surrogate', block, sample):.0f}"
    return values


def _at_work(day: date, days: int, hour: int, minute: int) -> datetime:
    then = day + timedelta(days=days)
    then -= timedelta(days=1) if then.weekday() == 6 else timedelta()
    return datetime.combine(then, datetime.min.time()) + timedelta(hours=hour, minutes=minute)


def _time(moment: datetime) -> str:
    return f"{moment:%d.%m.%Y %H:%M}"


def written(name: str, report: Report, arrived: str) -> SentFile:
    """The file of one report, and where its faults stand."""
    text = io.StringIO()
    writer = csv.writer(text, delimiter=";", lineterminator="\r\n")
    writer.writerows(_titles(name))
    line = len(_titles(name)) + 1
    planted: list[Planted] = []
    for block in report:
        writer.writerow([TITLES[block.name]])
        headings = [test.written for test in block.tests]
        headings += [SURROGATES[block.name]] if block.name in SURROGATES else []
        shown = [block.headings.get(heading, heading) for heading in headings]
        writer.writerow([*HEADS, *shown])
        analytes = {test.written: test.analyte for test in block.tests}
        for label, texts in zip(LINES, _lines_below(block), strict=True):
            writer.writerow([label, *[""] * (len(HEADS) - 1), *texts])
        line += 5
        for row in block.lines:
            values = [row.typed.get(heading) or _comma(row.values[heading]) for heading in headings]
            writer.writerow([*(row.heads.get(head, "") for head in HEADS), *values])
            planted += [
                Planted(line, block.headings.get(heading, heading), analytes.get(heading, heading), mark,
                        result_id=row.heads["Lab no."])
                for heading, mark in row.marks
            ]  # fmt: skip
            line += 1
        writer.writerow([])
        line += 1
    return SentFile(name, text.getvalue().encode("cp1252"), arrived, tuple(planted))


def _titles(name: str) -> list[list[str]]:
    """The lines above the first block."""
    return [
        [LABORATORY],
        ["Report", name.removesuffix(".csv").replace("fernholm_", "FH-")],
        ["Results hold for the samples as received. Concentrations in ng/l and \u00b5g/l; < below the RL."],
        [],
    ]


def _lines_below(block: Block) -> tuple[list[str], list[str], list[str]]:
    extra = [""] if block.name in SURROGATES else []
    methods = [test.method for test in block.tests] + extra
    units = [block.units.get(test.written, test.unit) for test in block.tests] + (["%"] if extra else [])
    limits = [_comma(test.limit_on(block.lines[-1].day)) for test in block.tests] + extra
    return methods, units, limits


def _comma(text: str) -> str:
    """A number as it is printed here: a comma for the decimal, a point between thousands; other texts as they are."""
    sign = "<" if text.startswith("<") else ""
    whole, _, decimals = text.removeprefix("<").partition(".")
    if not whole.isdigit() or (decimals and not decimals.isdigit()):
        return text
    return sign + f"{int(whole):,}".replace(",", ".") + (f",{decimals}" if decimals else "")
