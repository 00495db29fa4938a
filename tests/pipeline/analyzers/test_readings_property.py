"""Any files in any order, cut anywhere: the store holds what a second, simple implementation holds."""

import random
import tempfile
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from zoneinfo import ZoneInfo

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests.pipeline.analyzers.historian import Historian, account
from tests.pipeline.analyzers.second_historian import SecondHistorian

Line = tuple[str, datetime, str, str]

# Around the two clock changes of 2026 in California, so that days of 23 and 25 hours are among them.
STARTS = [datetime(2026, 3, 8, 7, tzinfo=UTC), datetime(2026, 11, 1, 6, tzinfo=UTC)]
LINES = st.tuples(
    st.sampled_from(["TURB", "TOC"]),
    st.builds(
        lambda start, minute: start + timedelta(minutes=minute), st.sampled_from(STARTS), st.integers(0, 30 * 60)
    ),
    st.sampled_from(["0.5", "0.5", "2", "-1", "10.5", "", "x"]),
    st.sampled_from(["Good", "", "Doubt", "Bad", "None"]),
)
# Each example makes a store and loads several files: few of them, and not made smaller for minutes when one fails.
FEW = settings(
    max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)  # fmt: skip
RANGES = {"TURB": (Decimal(0), Decimal(10)), "TOC": (Decimal(0), Decimal(1))}


def text_of(lines: list[Line]) -> str:
    rows = (f"{moment:%Y-%m-%d %H:%M:%S},{tag},{value},{status}\n" for tag, moment, value, status in lines)
    return "time,tag,value,status\n" + "".join(rows)


def stored_days(historian: Historian) -> dict[tuple[str, object], tuple[object, ...]]:
    rows = historian.ask(
        "SELECT tag, day, readings, usable, flagged, outside, lowest, highest, total, first_value, last_value, "
        "inner_gaps, inner_gap_s, outside_s FROM reading_day JOIN analyzer_tag USING (tag_id)"
    )
    return {(tag, day): tuple(rest) for tag, day, *rest in rows}


@FEW
@given(
    files=st.lists(st.lists(LINES, max_size=25), min_size=1, max_size=3), taken=st.integers(0, 5), seed=st.integers()
)  # fmt: skip
def test_loads_and_a_withdrawal_agree_with_a_second_implementation(
    files: list[list[Line]], taken: int, seed: int
) -> None:
    second = SecondHistorian()
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        historian = Historian(Path(folder))
        for lines in files:
            shuffled = chance.sample(lines, len(lines))
            report = historian.load(text_of(shuffled), block_bytes=chance.choice([40, 200, 2**20]),
                                    part_readings=chance.choice([1, 5, 1000]))  # fmt: skip
            found = account(report)
            assert {fate: count for fate, count in found.items() if fate != "flagged"} == second.load(lines)
            assert historian.in_force() == second.in_force()
        if taken < len(files):
            historian.withdraw(taken + 1)
            second.withdrawn.add(taken)
            assert historian.in_force() == second.in_force()
        expected = second.days(ZoneInfo("America/Los_Angeles"), timedelta(minutes=1), RANGES)
        assert stored_days(historian) == expected
        assert historian.faults() == []
