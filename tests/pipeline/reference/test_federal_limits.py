"""Federal limits against a second list, typed from the printed tables and not from the shipped one.

40 CFR 141.61(a) and (c), 141.62(b), 141.64, 141.65 and 141.66, and 143.3 (edition of 2024) [values from memory; the
unit is that of the regulation].
"""

from decimal import Decimal
from fractions import Fraction

import pytest

from pipeline.reference import shipped_limits

LIMITS = {limit.limit_id: limit for limit in shipped_limits()}

MG_PER_L = {
    # 141.62(b)
    "fluoride": "4.0",
    "barium": "2",
    "cadmium": "0.005",
    "chromium": "0.1",
    "mercury": "0.002",
    "nitrate": "10",
    "nitrite": "1",
    "nitrate-nitrite": "10",
    "selenium": "0.05",
    "antimony": "0.006",
    "beryllium": "0.004",
    "cyanide": "0.2",
    "thallium": "0.002",
    "arsenic": "0.010",
    # 141.61(a)
    "vinyl-chloride": "0.002",
    "benzene": "0.005",
    "carbon-tetrachloride": "0.005",
    "1-2-dichloroethane": "0.005",
    "trichloroethylene": "0.005",
    "para-dichlorobenzene": "0.075",
    "1-1-dichloroethylene": "0.007",
    "1-1-1-trichloroethane": "0.2",
    "cis-1-2-dichloroethylene": "0.07",
    "1-2-dichloropropane": "0.005",
    "ethylbenzene": "0.7",
    "chlorobenzene": "0.1",
    "ortho-dichlorobenzene": "0.6",
    "styrene": "0.1",
    "tetrachloroethylene": "0.005",
    "toluene": "1",
    "trans-1-2-dichloroethylene": "0.1",
    "xylenes": "10",
    "dichloromethane": "0.005",
    "1-2-4-trichlorobenzene": "0.07",
    "1-1-2-trichloroethane": "0.005",
    # 141.61(c)(1)
    "alachlor": "0.002",
    "atrazine": "0.003",
    "benzo-a-pyrene": "0.0002",
    "carbofuran": "0.04",
    "chlordane": "0.002",
    "2-4-d": "0.07",
    "dalapon": "0.2",
    "dbcp": "0.0002",
    "di-2-ethylhexyl-adipate": "0.4",
    "di-2-ethylhexyl-phthalate": "0.006",
    "dinoseb": "0.007",
    "diquat": "0.02",
    "endothall": "0.1",
    "endrin": "0.002",
    "ethylene-dibromide": "0.00005",
    "glyphosate": "0.7",
    "heptachlor": "0.0004",
    "heptachlor-epoxide": "0.0002",
    "hexachlorobenzene": "0.001",
    "hexachlorocyclopentadiene": "0.05",
    "lindane": "0.0002",
    "methoxychlor": "0.04",
    "oxamyl": "0.2",
    "pcbs": "0.0005",
    "2-4-5-tp": "0.05",
    "2-3-7-8-tcdd": "0.00000003",
    "pentachlorophenol": "0.001",
    "picloram": "0.5",
    "simazine": "0.004",
    "toxaphene": "0.003",
    # 141.64
    "tthm": "0.080",
    "haa5": "0.060",
    "bromate": "0.010",
    "chlorite": "1.0",
}
SECONDARY_MG_PER_L = {  # 143.3
    "aluminum": "0.2",
    "chloride": "250",
    "copper": "1.0",
    "fluoride": "2.0",
    "foaming-agents": "0.5",
    "iron": "0.3",
    "manganese": "0.05",
    "silver": "0.1",
    "sulfate": "250",
    "total-dissolved-solids": "500",
    "zinc": "5",
}
OTHER = {
    "us-primary-pfoa": ("4.0", "ng/L"),  # 141.61(c)(2)
    "us-primary-pfos": ("4.0", "ng/L"),
    "us-primary-pfhxs": ("10", "ng/L"),
    "us-primary-pfna": ("10", "ng/L"),
    "us-primary-hfpo-da": ("10", "ng/L"),
    "us-primary-asbestos": ("7", "MFL"),  # 141.62(b)(2)
    "us-primary-radium-226-228": ("5", "pCi/L"),  # 141.66(b)
    "us-primary-gross-alpha": ("15", "pCi/L"),  # 141.66(c)
    "us-primary-beta-photon": ("4", "mrem/yr"),  # 141.66(d)
    "us-primary-uranium": ("30", "ug/L"),  # 141.66(e)
    "us-residual-max-chlorine": ("4.0", "mg/L"),  # 141.65(a)
    "us-residual-max-chloramines": ("4.0", "mg/L"),
    "us-residual-max-chlorine-dioxide": ("0.8", "mg/L"),
    "us-action-lead": ("0.015", "mg/L"),  # 141.80(c)
    "us-action-copper": ("1.3", "mg/L"),
    "us-secondary-color": ("15", "color units"),  # 143.3
    "us-secondary-odor": ("3", "TON"),
}


@pytest.mark.parametrize(("name", "mg_per_l"), MG_PER_L.items())
def test_a_primary_limit_is_that_of_the_regulation(name: str, mg_per_l: str) -> None:
    limit = LIMITS[f"us-primary-{name}"]
    assert (limit.value, limit.unit) == (Decimal(mg_per_l), "mg/L")


@pytest.mark.parametrize(("name", "mg_per_l"), SECONDARY_MG_PER_L.items())
def test_a_secondary_limit_is_that_of_the_regulation(name: str, mg_per_l: str) -> None:
    limit = LIMITS[f"us-secondary-{name}"]
    assert (limit.value, limit.unit) == (Decimal(mg_per_l), "mg/L")


@pytest.mark.parametrize(("limit_id", "value", "unit"), [(name, *limit) for name, limit in OTHER.items()])
def test_a_limit_in_another_unit_is_that_of_the_regulation(limit_id: str, value: str, unit: str) -> None:
    assert (LIMITS[limit_id].value, LIMITS[limit_id].unit) == (Decimal(value), unit)


def test_secondary_ph_lies_within_6_5_and_8_5() -> None:  # 143.3
    limit = LIMITS["us-secondary-ph"]
    assert (limit.direction, limit.value, limit.value_high) == ("within", Decimal("6.5"), Decimal("8.5"))


# 40 CFR 141.50(c)(2): health-based water concentrations of the hazard index, in ng/L.
def test_the_hazard_index_divides_by_the_health_based_concentrations() -> None:
    members = {member.analyte: 1 / member.factor for member in LIMITS["us-primary-pfas-hazard-index"].group_members}
    assert members == {"HFPO-DA": 10, "PFBS": 2000, "PFNA": 10, "PFHxS": 10}


# 40 CFR 141.66(c): gross alpha excludes uranium; 0.67 pCi of uranium a microgram is the regulatory ratio.
def test_uranium_is_subtracted_from_gross_alpha() -> None:
    members = {member.analyte: member.factor for member in LIMITS["us-primary-gross-alpha"].group_members}
    assert members == {"Gross alpha": 1, "Uranium": Fraction(-67, 100)}
