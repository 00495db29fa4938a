"""A second, simple reader and store of readings, written from docs/readings.md alone: one dictionary, no database."""

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

Key = tuple[str, datetime]
Version = tuple[Decimal, int]
FLAGS = {"Good": 1, "": 2, "Doubt": 3, "Bad": 4}


@dataclass
class SecondHistorian:
    """What counts, load by load; each load is a list of (tag, instant, text of the value, status)."""

    loads: list[dict[Key, Version]] = field(default_factory=list)
    withdrawn: set[int] = field(default_factory=set)

    def load(self, lines: list[tuple[str, datetime, str, str]]) -> Counter[str]:
        """Take a file; answers how many cells met which fate."""
        fates: Counter[str] = Counter()
        rows: defaultdict[Key, list[Version]] = defaultdict(list)
        for tag, moment, text, status in lines:
            if not text:
                fates["empty"] += 1
            elif status == "None":
                fates["set_aside"] += 1
            elif not text.replace(".", "", 1).lstrip("-").isdigit():
                fates["held"] += 1
            else:
                rows[tag, moment].append((Decimal(text), FLAGS[status]))
        said: dict[Key, Version] = {}
        for key, versions in rows.items():
            best = min(flag for _, flag in versions)
            values = {value for value, flag in versions if flag == best}
            if len(values) > 1:
                fates["held"] += sum(flag == best for _, flag in versions)
                fates["set_aside"] += sum(flag != best for _, flag in versions)
                continue
            (value,) = values
            fates["duplicate"] += sum(other == value for other, _ in versions) - 1
            fates["set_aside"] += sum(other != value for other, _ in versions)
            fates[self._fate(key, (value, best))] += 1
            said[key] = (value, best)
        self.loads.append(said)
        return Counter({fate: count for fate, count in fates.items() if count})

    def _fate(self, key: Key, version: Version) -> str:
        known = [said[key] for number, said in enumerate(self.loads) if number not in self.withdrawn and key in said]
        if version in known:
            return "duplicate"
        return "revision" if known else "new"

    def in_force(self) -> dict[Key, Version]:
        """The version that came last of each tag and time, of those that are still said."""
        found: dict[Key, list[Version]] = defaultdict(list)
        for number, said in enumerate(self.loads):
            if number not in self.withdrawn:
                for key, version in said.items():
                    if version not in found[key]:
                        found[key].append(version)
        return {key: versions[-1] for key, versions in found.items()}

    def days(
        self, zone: ZoneInfo, interval: timedelta, ranges: dict[str, tuple[Decimal, Decimal]]
    ) -> dict[tuple[str, date], tuple[object, ...]]:
        """Count, usable, flagged, outside, lowest, highest, total, first, last, gaps, seconds of gaps and outside."""
        by_day: defaultdict[tuple[str, date], list[tuple[datetime, Decimal, int]]] = defaultdict(list)
        for (tag, moment), (value, flag) in sorted(self.in_force().items()):
            by_day[tag, moment.astimezone(zone).date()].append((moment, value, flag))
        return {key: _day(key, rows, zone, 3 * interval, ranges.get(key[0])) for key, rows in by_day.items()}


def _day(
    key: tuple[str, date],
    rows: list[tuple[datetime, Decimal, int]],
    zone: ZoneInfo,
    longest: timedelta,
    bounds: tuple[Decimal, Decimal] | None,
) -> tuple[object, ...]:
    following = key[1] + timedelta(days=1)
    end = datetime(following.year, following.month, following.day, tzinfo=zone).astimezone(UTC)
    nexts = [moment for moment, _, _ in rows[1:]]
    usable = [value for _, value, flag in rows if flag <= 3]
    gaps = [after - before for (before, _, _), after in zip(rows, nexts, strict=False) if after - before > longest]
    outside = [
        min(after, moment + longest, end) - moment
        for (moment, value, flag), after in zip(rows, [*nexts, end], strict=True)
        if bounds and flag <= 3 and not bounds[0] <= value <= bounds[1]
    ]
    return (
        len(rows), len(usable), sum(flag >= 3 for _, _, flag in rows), len(outside),
        min(usable, default=None), max(usable, default=None), sum(usable) if usable else None,
        usable[0] if usable else None, usable[-1] if usable else None,
        len(gaps), int(sum(gaps, timedelta(0)).total_seconds()), int(sum(outside, timedelta(0)).total_seconds()),
    )  # fmt: skip
