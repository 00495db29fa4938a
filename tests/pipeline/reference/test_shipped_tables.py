"""The shipped tables agree with each other, say where each figure comes from, and keep their identifiers."""

import re
from collections import Counter, defaultdict
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

import pytest

from pipeline import reference
from pipeline.errors import ConversionError
from pipeline.plant.fixed_lists import OWN_UNIT_STATISTICS
from pipeline.plant.names import valid_cas_number
from pipeline.plant.shipped_names import folded
from pipeline.plant.tables import Analyte, HoldingTime, Limit
from pipeline.units import UnitTable

ANALYTES = {row.analyte: row for row in reference.shipped_analytes()}
UNITS = UnitTable(reference.unit_spellings(), reference.basis_factors(), reference.shipped_analytes())
TABLES = (
    "aliases.csv",
    "analyte_groups.csv",
    "analytes.csv",
    "basis.csv",
    "holding_times.csv",
    "limits.csv",
    "units.csv",
)


def permanent(file: str) -> set[str]:
    return set(Path(__file__).with_name(file).read_text(encoding="utf-8").split())


# CAS, "Check Digit Verification of CAS Registry Numbers": the rule that valid_cas_number follows.
@pytest.mark.parametrize("row", [row for row in ANALYTES.values() if row.cas_number], ids=lambda row: row.analyte)
def test_every_cas_number_of_an_analyte_has_a_right_check_digit(row: Analyte) -> None:
    assert valid_cas_number(row.cas_number)


@pytest.mark.parametrize(
    "limit", [limit for limit in reference.shipped_limits() if limit.cas_number], ids=lambda limit: limit.limit_id
)
def test_a_limit_and_its_analyte_have_the_same_cas_number(limit: Limit) -> None:
    assert limit.cas_number == ANALYTES[limit.analyte].cas_number


def test_no_limit_id_ever_vanishes() -> None:
    ids = [limit.limit_id for limit in reference.shipped_limits()]
    assert len(ids) == len(set(ids))
    assert permanent("shipped_limit_ids.txt") <= set(ids)


def test_no_holding_time_id_ever_vanishes() -> None:
    ids = [row.holding_time_id for row in reference.shipped_holding_times()]
    assert len(ids) == len(set(ids))
    assert permanent("shipped_holding_time_ids.txt") <= set(ids)


def test_all_265_limits_ship() -> None:
    assert Counter(limit.jurisdiction for limit in reference.shipped_limits()) == {
        "United States": 144,
        "California": 121,
    }


def test_state_rows_ship_as_examples_only() -> None:
    statuses = {limit.status for limit in reference.shipped_limits() if limit.jurisdiction != "United States"}
    assert statuses == {"example"}


@pytest.mark.parametrize("rows", [reference.shipped_limits(), reference.shipped_holding_times(), ANALYTES.values()])
def test_every_figure_says_where_it_comes_from(rows: Iterable[Analyte | HoldingTime | Limit]) -> None:
    assert [row for row in rows if not row.source] == []


# Limits whose unit is a share, a count of samples, a dose rule or a word; uranium by activity stands beside uranium by
# mass and is never converted (40 CFR 141.66(e) limits the mass, 22 CCR 64442 the activity).
NOT_IN_A_UNIT_OF_THE_ANALYTE = {
    "us-treatment-acrylamide",
    "us-treatment-epichlorohydrin",
    "us-residual-distribution",
    "us-primary-e-coli",
    "us-coliform-share",
    "us-coliform-count",
    "us-secondary-corrosivity",
    "ca-primary-uranium",
}


@pytest.mark.parametrize("limit", reference.shipped_limits(), ids=lambda limit: limit.limit_id)
def test_a_limit_converts_to_the_canonical_unit_or_is_listed_as_not(limit: Limit) -> None:
    analyte = ANALYTES[limit.analyte]
    target = analyte.canonical_unit, analyte.canonical_basis
    if limit.limit_id in NOT_IN_A_UNIT_OF_THE_ANALYTE:
        assert limit.statistic in OWN_UNIT_STATISTICS or limit.unit in analyte.also_accepted_units
        with pytest.raises(ConversionError):
            UNITS.conversion(limit.analyte, limit.unit, limit.basis, *target)
    else:
        assert UNITS.conversion(limit.analyte, limit.unit, limit.basis, *target).factor > 0


FOR_GROUPS = [row for row in reference.shipped_holding_times() if row.written_for not in ANALYTES]


@pytest.mark.parametrize("row", FOR_GROUPS, ids=lambda row: row.holding_time_id)
def test_a_holding_time_for_a_group_covers_the_members_of_the_group(row: HoldingTime) -> None:
    members = [member.member for member in reference.analyte_groups() if member.group == row.written_for]
    assert list(row.analytes) == members or (not members and len(row.analytes) == 1)


# 40 CFR 141.23(k)(2): nitrate is held 14 days in chlorinated, 48 hours in unchlorinated supplies.
@pytest.mark.parametrize(("disinfected", "hours"), [(True, 14 * 24), (False, 48)])
def test_the_holding_time_of_nitrate_depends_on_disinfection(disinfected: bool, hours: int) -> None:
    rows = [
        row
        for row in reference.shipped_holding_times()
        if row.analytes == ("Nitrate",) and row.disinfected is disinfected and row.programme == "SDWA"
    ]
    assert [row.max_value * {"h": 1, "d": 24}[row.max_unit] for row in rows] == [hours]


def test_no_name_means_two_things_in_one_scope() -> None:
    meanings = defaultdict(set)
    for alias in reference.shipped_aliases():
        meanings[alias.scope, folded(alias.as_written), alias.when].add((alias.means, alias.implied_basis))
    assert {name: found for name, found in meanings.items() if len(found) > 1} == {}


def test_every_alias_means_an_analyte_or_says_why_not() -> None:
    for alias in reference.shipped_aliases():
        assert alias.means in ANALYTES or (alias.scope == "do not resolve" and alias.note), alias


def test_a_name_of_an_analyte_that_needs_a_basis_implies_one_or_asks_for_it() -> None:
    for alias in reference.shipped_aliases():
        if alias.means and ANALYTES[alias.means].basis_required:
            assert alias.implied_basis or alias.still_needs == "basis", alias


def test_every_implied_basis_converts_to_the_canonical_one() -> None:
    for alias in reference.shipped_aliases():
        if alias.implied_basis:
            analyte = ANALYTES[alias.means]
            assert UNITS.conversion(
                alias.means, "mg/L", alias.implied_basis, "mg/L", analyte.canonical_basis or alias.implied_basis
            )


def test_every_canonical_unit_is_a_known_unit() -> None:
    for analyte in ANALYTES.values():
        meanings = {UNITS.resolve(analyte.canonical_unit, matrix).unit for matrix in ("water", "gas")}
        assert analyte.canonical_unit in meanings


def test_two_factors_between_the_same_bases_undo_each_other() -> None:
    factors = {(row.analytes, row.from_basis, row.to_basis): row.factor_exact for row in reference.basis_factors()}
    for (analytes, source, target), factor in factors.items():
        back = factors.get((analytes, target, source))
        assert back is None or factor * back == Fraction(1)


def test_members_of_groups_are_analytes() -> None:
    assert {member.member for member in reference.analyte_groups()} <= set(ANALYTES)


@pytest.mark.parametrize("file", TABLES)
def test_a_shipped_table_names_no_address_and_no_path(file: str) -> None:
    text = reference.table_bytes(file).decode("utf-8")
    assert re.findall(r"https?://|www\.|/home/|/work/|/tmp/|[A-Z]:\\", text) == []
