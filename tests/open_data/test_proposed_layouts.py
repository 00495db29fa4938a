"""Layouts proposed for open data as if no layout shipped: which of our columns come out right, each by its name.

What is right is what the schema says of its columns (Water Quality Exchange 2.2 and 3.0, as in the shipped layouts) and
what the publishers say of theirs (README of each folder).
"""

from collections.abc import Mapping
from datetime import date
from pathlib import Path

import pytest

from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.propose import Proposal, propose
from pipeline.ingest.source import read_source
from pipeline.plant.folder import read_plant
from tests.open_data.delivery import PLANTS

WQX_2, WQX_3 = "wqx_2.toml", "wqx_3.toml"


def proposed(path: Path) -> Proposal:
    return propose(read_source(path), read_plant(PLANTS / "kentucky"), "x", date(2026, 11, 25))


def columns(proposal: Proposal) -> dict[str, list[str]]:
    found: Mapping[str, str | list[str]] = proposal.draft["columns"]
    return {target: [names] if isinstance(names, str) else names for target, names in found.items()}


def right_columns(layout: str, proposal: Proposal) -> dict[str, list[str]]:
    """What the shipped layout reads of this file's header."""
    shipped = shipped_layouts()[layout]
    assert isinstance(shipped, Layout)
    there = {name.strip() for name in proposal.headers}
    read = {target: [name for name in names if name in there] for target, names in shipped.columns.items()}
    return {target: names for target, names in read.items() if names}


@pytest.mark.parametrize(
    ("file", "layout", "number", "not_right"),
    [
        ("wqx-kentucky-2024/narrowresult.csv", WQX_2, 17, {"comment"}),
        # Its only time of analysis is "1-Jan-01".
        ("wqx-cryptosporidium/narrowresult.csv", WQX_2, 17, {"comment", "analyzed"}),
        ("wqp-bay-area-ions/resultphyschem.csv", WQX_2, 18, {"comment"}),
        ("usgs-wqp-nwis-samples/samples_results.txt", WQX_3, 22, {"comment"}),
    ],
)
def test_columns_of_the_water_quality_exchange(
    open_data: Path, file: str, layout: str, number: int, not_right: set[str]
) -> None:
    proposal = proposed(open_data / file)
    right, found = right_columns(layout, proposal), columns(proposal)
    assert len(right) == number
    assert {target for target, names in right.items() if found.get(target) != names} == not_right
    assert found.keys() - right.keys() == set()


def test_limits_whose_kind_stands_beside_them(open_data: Path) -> None:
    shipped = shipped_layouts()[WQX_3]
    assert isinstance(shipped, Layout)
    found = proposed(open_data / "usgs-wqp-nwis-samples/samples_results.txt").draft["typed_limits"]
    assert found == [limit.model_dump() for limit in shipped.typed_limits]


def test_a_crosstab_of_a_distribution_system(open_data: Path) -> None:
    file = "nyc-distribution/Drinking_Water_Quality_Distribution_Monitoring_Data.csv"
    found = proposed(open_data / file)
    assert columns(found) == {
        "sample": ["Sample Number"],
        "point": ["Sample Site"],
        "collected": ["Sample Date", "Sample Time"],
        "purpose": ["Sample class"],
    }
    assert found.draft["crosstab"] == {"headings": ["{analyte} ({unit})"], "ignored": ["Location"]}
    assert found.draft["times"] == {"order": "month first"}


def test_one_analyte_in_a_heading_of_many_words(open_data: Path) -> None:
    found = proposed(open_data / "toronto-lead-tap/toronto_water_lead_sample.csv")
    assert columns(found) == {
        "sample": ["Sample.Number"],
        "point": ["PartialPostalCode"],
        "collected": ["Sample.Date"],
    }
    assert found.draft["crosstab"]["heading_says"] == {"Lead.Amount..ppm.": {"analyte": "Lead", "unit": "ppm"}}
    assert found.draft["crosstab"]["ignored"] == ["X_id"]


def test_codes_of_a_survey(open_data: Path) -> None:
    found = proposed(open_data / "usgs-inl-groundwater/samples_2019_onward.csv")
    right = {
        "sample": ["sample_id"], "point": ["site_nm"], "collected": ["sample_dt"], "analyzed": ["anl_dt"],
        "analyte": ["parm_short_nm"], "value": ["result_va"], "unit": ["unit_cd"], "qualifier": ["remark_cd"],
        "method": ["meth_cd"], "reporting_limit": ["rpt_lev_va"], "uncertainty": ["lab_sd_va"],
        "sample_type": ["sample_type_cd"], "replicate": ["rep_pair_id"], "laboratory": ["anl_ent_cd"],
        "comment": ["remark"],
    }  # fmt: skip
    assert columns(found) == right
    assert found.draft["words"] == {"not_detected": ["U", "UJ", "ND", "<"]}


@pytest.mark.parametrize(
    ("file", "time"),
    [
        ("gecco-2017-drinking-water/waterDataTraining.csv", "Time"),
        ("neon-pringle-creek-sonde/neon_prin_downstream_5min.csv", "Timestamp"),
    ],
)
def test_records_of_analyzers_are_readings(open_data: Path, file: str, time: str) -> None:
    found = proposed(open_data / file)
    assert (found.draft["kind"], found.draft["shape"], columns(found)) == ("readings", "wide", {"time": [time]})
