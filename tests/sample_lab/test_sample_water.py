"""The reported numbers tell of a plausible plant.

Every range here is common practice, no source, unless a test names one; the numbers are read from the files, not from
the generator.
"""

from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal
from math import log10, sqrt
from statistics import mean

import pytest

from sample_lab.records import Record

Numbers = Callable[[str, str], dict[date, Decimal]]

NEW_MEMBRANES_IN_B = date(2025, 11, 15)
LEAK_OF_RACK_2 = (date(2026, 3, 2), date(2026, 3, 10))


def _mean(values: Iterable[Decimal]) -> float:
    return mean(float(value) for value in values)


def _passing(numbers: Numbers, analyte: str, inlet: str, outlet: str) -> dict[date, float]:
    before, after = numbers(analyte, inlet), numbers(analyte, outlet)
    return {day: float(after[day] / before[day]) for day in sorted(before.keys() & after.keys())}


def test_biological_carbon_removes_a_third_to_a_half_of_organic_carbon(numbers: Numbers) -> None:
    passing = _passing(numbers, "Total Organic Carbon", "Ozone Eff", "BAC Eff")
    assert len(passing) > 100
    removed = [1 - share for share in passing.values()]
    assert 0.30 <= mean(removed) <= 0.50
    assert min(removed) > 0.25
    assert max(removed) < 0.55


def test_ozone_makes_bromate_and_biological_carbon_takes_back_formaldehyde(numbers: Numbers) -> None:
    bromate = numbers("Bromate", "Ozone Eff").values()
    assert 8 < _mean(bromate) < 20
    made, left = numbers("Formaldehyde", "Ozone Eff"), numbers("Formaldehyde", "BAC Eff")
    assert _mean(made.values()) > 30
    assert _mean(left.values()) < 0.25 * _mean(made.values())


def test_ozone_lowers_absorbance_more_than_carbon(numbers: Numbers) -> None:
    absorbance = mean(_passing(numbers, "UV-254", "Plant Influent", "Ozone Eff").values())
    carbon = mean(_passing(numbers, "Total Organic Carbon", "Plant Influent", "Ozone Eff").values())
    assert absorbance < 0.75 < carbon


def test_ultrafiltrate_is_below_a_tenth_of_a_turbidity_unit(numbers: Numbers) -> None:
    filtrate = numbers("Turbidity", "UF Filtrate (comb.)")
    whole = [value for day, value in filtrate.items() if not _leaks(day)]
    assert len(whole) > 100
    assert max(whole) < Decimal("0.10")


def test_a_leaking_rack_shows_in_the_filtrate(numbers: Numbers, sound_records: list[Record]) -> None:
    turbidity = [value for day, value in numbers("Turbidity", "UF Filtrate (comb.)").items() if _leaks(day)]
    assert min(turbidity) > Decimal("0.055")
    (coliforms,) = [
        r["value"]
        for r in sound_records
        if r["sample_point"] == "UF Filtrate (comb.)" and r["analyte"] == "Total Coliforms" and _leaks(r.day)
    ]
    assert Decimal(coliforms) >= 10


def test_a_solvent_passes_the_membranes(numbers: Numbers) -> None:
    # Small uncharged molecules pass reverse osmosis: the permeate's organic carbon tells of them.
    permeate = numbers("Total Organic Carbon", "RO-A Permeate")
    usual = mean(float(value) for day, value in permeate.items() if day.year == 2026 and day.month != 6)
    assert float(permeate[date(2026, 6, 16)]) > 4 * usual
    assert float(permeate[date(2026, 6, 30)]) < 1.5 * usual


def _leaks(day: date) -> bool:
    return LEAK_OF_RACK_2[0] <= day <= LEAK_OF_RACK_2[1]


@pytest.mark.parametrize("analyte", ["Sodium", "Chloride", "Magnesium", "Sulfate"])
def test_new_membranes_hold_back_ninety_nine_percent_of_salts(analyte: str, numbers: Numbers) -> None:
    passing = _passing(numbers, analyte, "UF Filtrate (comb.)", "RO-B Permeate")
    young = [share for day, share in passing.items() if day > NEW_MEMBRANES_IN_B]
    assert young
    assert 0.0005 < mean(young) < 0.0115


def test_conductivity_falls_by_about_ninety_nine_percent(numbers: Numbers) -> None:
    passing = _passing(numbers, "Specific Conductance", "UF Filtrate (comb.)", "RO-A Permeate")
    assert 0.980 < 1 - mean(passing.values()) < 0.999


def test_nitrate_passes_more_than_sulfate(numbers: Numbers) -> None:
    nitrate = mean(_passing(numbers, "Nitrate-N", "UF Filtrate (comb.)", "RO-A Permeate").values())
    chloride = mean(_passing(numbers, "Chloride", "UF Filtrate (comb.)", "RO-A Permeate").values())
    assert nitrate > 3 * chloride


def test_train_b_was_the_leakier_until_its_new_membranes(numbers: Numbers) -> None:
    a, b = (_passing(numbers, "Chloride", "UF Filtrate (comb.)", f"RO-{train} Permeate") for train in "AB")
    before = mean(b[day] / a[day] for day in b.keys() & a.keys() if day < NEW_MEMBRANES_IN_B)
    after = mean(b[day] / a[day] for day in b.keys() & a.keys() if day > NEW_MEMBRANES_IN_B)
    assert before > 1.4
    assert after < 0.9


def test_train_a_leaks_more_every_year(numbers: Numbers) -> None:
    passing = _passing(numbers, "Chloride", "UF Filtrate (comb.)", "RO-A Permeate")
    first = mean(share for day, share in passing.items() if day < date(2025, 5, 1))
    last = mean(share for day, share in passing.items() if day > date(2026, 5, 1))
    assert 1.05 < last / first < 1.25


def test_dioxane_falls_by_half_a_log_in_advanced_oxidation(numbers: Numbers) -> None:
    # 22 CCR 60320.201: 0.5 log, which leaves 31.6 percent.
    permeate = _mean(numbers("1,4-Dioxane", "RO-A Permeate").values())
    oxidized = _mean(numbers("1,4-Dioxane", "UV/AOP Eff").values())
    assert oxidized < 0.316 * permeate


def test_finished_water_is_conditioned(numbers: Numbers) -> None:
    assert 15 < _mean(numbers("Calcium", "Clearwell Outlet").values()) < 30
    assert 40 < _mean(numbers("Alkalinity as CaCO3", "Clearwell Outlet").values()) < 70


def test_finished_water_is_near_calcium_carbonate_saturation(numbers: Numbers) -> None:
    values = {
        name: numbers(name, "Clearwell Outlet")
        for name in ("pH", "Calcium", "Alkalinity as CaCO3", "TDS at 180 C", "Temp, field")
    }
    days = set.intersection(*(set(by_day) for by_day in values.values()))
    assert len(days) >= 20
    indices = [_langelier(*(float(values[name][day]) for name in values)) for day in days]
    assert min(indices) > -0.3
    assert max(indices) < 0.5


def _langelier(ph: float, calcium: float, alkalinity: float, solids: float, celsius: float) -> float:
    """Standard Methods 2330 B, its printed constants [memory]; alkalinity taken as bicarbonate."""
    kelvin = celsius + 273.15
    strength = solids / 40000
    a = 1.82e6 * ((60954 / (kelvin + 116) - 68.937) * kelvin) ** -1.5
    activity = a * (sqrt(strength) / (1 + sqrt(strength)) - 0.3 * strength)
    pk2 = 107.8871 + 0.03252849 * kelvin - 5151.79 / kelvin - 38.92561 * log10(kelvin) + 563713.9 / kelvin**2
    pks = 171.9065 + 0.077993 * kelvin - 2839.319 / kelvin - 71.595 * log10(kelvin)
    saturation = pk2 - pks - log10(calcium / 40078) - log10(alkalinity / 50044) + 5 * activity
    return ph - saturation


EQUIVALENTS = {
    "Calcium": 20.039, "Magnesium": 12.1525, "Sodium": 22.990, "Potassium": 39.098,
    "Ammonia, automated phenate": 14.007, "Alkalinity as CaCO3": -50.044, "Chloride": -35.453, "Sulfate": -48.03,
    "Nitrate-N": -14.007, "Fluoride": -18.998,
}  # fmt: skip


@pytest.mark.parametrize("point", ["Plant Influent", "BAC Eff", "UF Filtrate (comb.)", "Clearwell Outlet"])
def test_charges_balance(point: str, numbers: Numbers) -> None:
    # Standard Methods 1030 E [memory]: 0.2 meq/L up to 3 meq/L of anions, 2 percent up to 10, 5 percent above.
    values = {name: numbers(name, point) for name in EQUIVALENTS}
    needed = [by_day.keys() for name, by_day in values.items() if name != "Ammonia, automated phenate"]
    days = set(needed[0]).intersection(*needed[1:])
    assert len(days) >= 15
    for day in days:
        charges = [float(by_day.get(day, 0)) / EQUIVALENTS[name] for name, by_day in values.items()]
        cations, anions = sum(c for c in charges if c > 0), -sum(c for c in charges if c < 0)
        allowed = 0.2 if anions <= 3 else 2 * (cations + anions) / 100 if anions <= 10 else 5 * (cations + anions) / 100
        assert abs(cations - anions) <= allowed, (point, day)


def test_solids_and_conductivity_agree(numbers: Numbers) -> None:
    # Standard Methods 1030 E [memory]: 0.55 to 0.70, here with room for the measured residue.
    solids, conductance = (numbers(name, "Plant Influent") for name in ("TDS at 180 C", "Specific Conductance"))
    ratios = [float(solids[day] / conductance[day]) for day in solids.keys() & conductance.keys()]
    assert len(ratios) > 20
    assert min(ratios) > 0.55
    assert max(ratios) < 0.75


def test_hardness_follows_from_calcium_and_magnesium(numbers: Numbers) -> None:
    # Standard Methods 2340 B.
    hardness, calcium, magnesium = (
        numbers(name, "Plant Influent") for name in ("Hardness, calculated", "Calcium", "Magnesium")
    )
    for day, value in hardness.items():
        expected = 2.497 * float(calcium[day]) + 4.118 * float(magnesium[day])
        assert float(value) == pytest.approx(expected, rel=0.06)


def test_total_nitrogen_holds_its_parts(numbers: Numbers) -> None:
    total, nitrate = numbers("Total Nitrogen", "Plant Influent"), numbers("Nitrate-N", "Plant Influent")
    assert all(total[day] > nitrate[day] for day in total.keys() & nitrate.keys())


def test_summer_is_warmer_than_winter(numbers: Numbers) -> None:
    temperature = numbers("Temp, field", "Plant Influent")
    summer = _mean(value for day, value in temperature.items() if day.month in (7, 8))
    winter = _mean(value for day, value in temperature.items() if day.month in (1, 2))
    assert 6 < summer - winter < 10


def test_coliforms_stop_at_the_membranes(sound_records: list[Record]) -> None:
    at = {"UF Filtrate (comb.)": "<1", "Clearwell Outlet": "absent"}
    for point, word in at.items():
        values = {
            r["value"]
            for r in sound_records
            if r["sample_point"] == point and r["method"] == "SM 9223 B" and not _leaks(r.day)
        }
        assert values == {word}


def test_numbers_below_the_reporting_limit_are_called_estimates(sound_records: list[Record]) -> None:
    for record in sound_records:
        if record["reporting_limit"] and record["value"].replace(".", "").isdigit():
            estimated = Decimal(record["value"]) < Decimal(record["reporting_limit"])
            assert (record["qualifier"] == "J") == estimated, record
