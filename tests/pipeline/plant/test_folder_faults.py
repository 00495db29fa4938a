"""A wrong plant folder names file, line and column, and says what to do; one case a kind of fault."""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from pipeline.errors import PlantFolderError
from pipeline.plant.folder import read_plant

POINTS = "sample_point,name,place,disinfected\n"
FIN = "FIN,Finished water,finished water entry point,yes\n"
LIMITS = (
    "limit_id,jurisdiction,status,kind,analyte,value,value_high,unit,basis,direction,statistic,step,nondetect_rule,"
)
LIMITS += "applies_at,effective_from,effective_to,statistic_parameters,trigger_values,group_members\n"
SETTINGS = 'name = "A"\ntime_zone = "UTC"\n'
PLAN = "sample_point,analyte,frequency,status,effective_from,effective_to,laboratory\n"
LOG = "sample,sample_point,collected,purpose,confirmation_of\n"
ALIASES = "sender,as_written,kind,means,implied_basis,implied_fraction,effective_from,effective_to\n"
CONDITIONS = "as_written,kind,means,when,still_needs\n"
BASES = "analyte,canonical_unit,default_basis,canonical_basis\n"
ANALYTES = "analyte,cas_number,canonical_unit,basis_required,canonical_basis,value_kind,plausible_low,plausible_high\n"
TIMES = "holding_time_id,programme,written_for,analytes,stage,max_value,max_unit\n"


def limit(**changed: str) -> str:
    """A right row of the limit table, with some cells changed."""
    cells = dict.fromkeys(LIMITS.strip().split(","), "") | {
        "limit_id": "own-lead",
        "jurisdiction": "plant",
        "status": "in force",
        "kind": "internal goal",
        "analyte": "Lead",
        "value": "0.010",
        "unit": "mg/L",
        "direction": "not above",
        "statistic": "single value",
        "step": "0.001",
        "nondetect_rule": "zero",
        "applies_at": "finished water entry point",
    }
    return LIMITS + ",".join((cells | changed).values()) + "\n"


class Spoiled(NamedTuple):
    """One file of the folder, spoiled, and what the fault must say."""

    name: str
    file: str
    content: str | bytes | None
    line: int | None
    column: str
    problem: str
    remedy: str


SPOILED = [
    # Files and tables
    Spoiled("missing settings", "plant.toml", None, None, "", "missing", "barrierbook init"),
    Spoiled("missing sample points", "sample_points.csv", None, None, "", "missing", "barrierbook init"),
    Spoiled("not UTF-8", "labs.csv", b"laboratory,name\nLAB,Caf\xe9\n", 2, "", "not UTF-8", "UTF-8"),
    Spoiled("settings not UTF-8", "plant.toml", b'name = "Caf\xe9"\n', 1, "", "not UTF-8", "UTF-8"),
    Spoiled("semicolons", "labs.csv", "laboratory;name\nLAB;L\n", 1, "", "semicolons", "commas"),
    Spoiled("tabs", "labs.csv", "laboratory\tname\nLAB\tL\n", 1, "", "tabs", "commas"),
    Spoiled("empty table", "labs.csv", "", 1, "", "empty", "laboratory"),
    Spoiled("unknown column", "labs.csv", "laboratory,nmae\nLAB,L\n", 1, "nmae", "not known", "'name'"),
    Spoiled("double column", "labs.csv", "laboratory,name,name\nLAB,L,L\n", 1, "name", "twice", "Keep one"),
    Spoiled("missing column", "labs.csv", "name\nL\n", 1, "laboratory", "missing", "header"),
    Spoiled("too few cells", "labs.csv", "laboratory,name\nLAB\n", 2, "", "1 cells", "quotation marks"),
    Spoiled("open quotation", "labs.csv", 'laboratory,name\nLAB,"L\n', 2, "", "not readable as CSV", "quotation"),
    Spoiled("empty cell", "labs.csv", "laboratory,name\n,L\n", 2, "laboratory", "empty", "needs a laboratory"),
    Spoiled("misspelled file", "limit.csv", limit(), None, "", "no table", "limits.csv"),
    # plant.toml
    Spoiled("not TOML", "plant.toml", 'name = "A"\ntime_zone = \n', 2, "", "not TOML", "key = value"),
    Spoiled("unknown key", "plant.toml", SETTINGS + "zone = 1\n", 3, "zone", "zone", "time_zone"),
    Spoiled("no name", "plant.toml", 'time_zone = "UTC"\n', None, "name", "missing", "name ="),
    Spoiled("no such zone", "plant.toml", 'name = "A"\ntime_zone = "America/Los_Angelos"\n', 2, "time_zone",
            "does not exist", "America/Los_Angeles"),
    Spoiled("zone is a folder", "plant.toml", 'name = "A"\ntime_zone = "America"\n', 2, "time_zone", "exist", "IANA"),
    Spoiled("share above one", "plant.toml", SETTINGS + 'near_limit_share = "80"\n', 3,
            "near_limit_share", "80", "above 0 and up to 1"),
    Spoiled("jurisdictions not a list", "plant.toml", SETTINGS + 'jurisdictions = "United States"\n',
            3, "jurisdictions", "not a list", "[\"United States\"]"),
    Spoiled("jurisdiction of no limit", "plant.toml", SETTINGS + 'jurisdictions = ["Untied States"]\n', 3,
            "jurisdictions", "no limit", "'United States'"),
    Spoiled("unknown policy", "plant.toml", SETTINGS + 'holding_time_days = "about"\n', 3,
            "holding_time_days", "about", "exact"),
    Spoiled("display unit", "plant.toml", SETTINGS + '[display_units]\nLead = "NTU"\n', 4, "Lead",
            "cannot be converted", "ug/L"),
    Spoiled("display of nothing", "plant.toml", SETTINGS + '[display_units]\nLaed = "ug/L"\n', 4,
            "Laed", "does not exist", "Lead"),
    Spoiled("demonstration on a text", "plant.toml", SETTINGS + 'demonstration_date = "2026-10-31"\n', 3,
            "demonstration_date", "cannot be", "without quotation marks"),
    # sample_points.csv
    Spoiled("unknown place", "sample_points.csv", POINTS + "FIN,F,finished water,yes\n", 2, "place", "not possible",
            "finished water entry point"),
    Spoiled("point twice", "sample_points.csv", POINTS + FIN + "fin,Other,other,no\n", 3, "sample_point", "line 2",
            "name of its own"),
    Spoiled("name is a point", "sample_points.csv", POINTS + FIN + "OTH,FIN,other,no\n", 3, "name", "line 2", "own"),
    Spoiled("no sample point", "sample_points.csv", POINTS, 1, "sample_point", "no sample point", "entry point"),
    Spoiled("neither yes nor no", "sample_points.csv", POINTS + "FIN,F,other,true\n", 2, "disinfected",
            "neither yes nor no", "yes or no"),
    Spoiled("disinfected not said", "sample_points.csv", POINTS + "FIN,F,other,\n", 2, "disinfected", "neither",
            "yes or no"),
    # limits.csv
    Spoiled("misspelled jurisdiction", "limits.csv", limit(jurisdiction="united states"), 2, "jurisdiction",
            "not quite", "'United States'"),
    Spoiled("unit of information", "limits.csv", limit(statistic="information only", unit="mg/furlong"), 2, "unit",
            "not known", "ug/L"),
    Spoiled("limit twice", "limits.csv", limit() + limit().splitlines()[1] + "\n", 3, "limit_id", "line 2", "Keep one"),
    Spoiled("unknown statistic", "limits.csv", limit(statistic="average"), 2, "statistic", "average", "single value"),
    Spoiled("unknown status", "limits.csv", limit(status="valid"), 2, "status", "valid", "in force"),
    Spoiled("unknown kind", "limits.csv", limit(kind="primry"), 2, "kind", "primry", "primary"),
    Spoiled("unknown direction", "limits.csv", limit(direction="below"), 2, "direction", "below", "not above"),
    Spoiled("unknown non-detect rule", "limits.csv", limit(nondetect_rule="half"), 2, "nondetect_rule", "half", "zero"),
    Spoiled("unknown place of limit", "limits.csv", limit(applies_at="finished water"), 2, "applies_at",
            "finished water", "entry point"),
    Spoiled("unknown unit", "limits.csv", limit(unit="mg/furlong"), 2, "unit", "not known", "ug/L"),
    Spoiled("ambiguous unit", "limits.csv", limit(unit="ppt"), 2, "unit", "ambiguous", "ug/L"),
    Spoiled("unit of something else", "limits.csv", limit(unit="NTU"), 2, "unit", "cannot be converted", "ug/L"),
    Spoiled("basis not stated", "limits.csv", limit(analyte="Nitrate", value="10", step="1"), 2, "unit",
            "basis of Nitrate is not stated", "as N"),
    Spoiled("unknown analyte", "limits.csv", limit(analyte="Laed"), 2, "analyte", "does not exist", "'Lead'"),
    Spoiled("step does not divide", "limits.csv", limit(value="0.0105"), 2, "step", "does not divide", "exact"),
    Spoiled("step not said", "limits.csv", limit(step=""), 2, "step", "no rounding step", "exact"),
    Spoiled("step of zero", "limits.csv", limit(step="0"), 2, "step", "not possible", "above zero"),
    Spoiled("not a number", "limits.csv", limit(value="ten"), 2, "value", "not a number", "decimal point"),
    Spoiled("decimal comma", "limits.csv", limit(value='"0,010"'), 2, "value", "not a number", "decimal point"),
    Spoiled("no value", "limits.csv", limit(value=""), 2, "value", "no value", "descriptive"),
    Spoiled("upper below lower", "limits.csv", limit(value_high="0.005", direction="within"), 2, "value_high", "below",
            "Exchange"),
    Spoiled("within without upper", "limits.csv", limit(direction="within"), 2, "value_high", "no upper", "upper"),
    Spoiled("bad date", "limits.csv", limit(effective_from="2025-02-30"), 2, "effective_from", "not a date", "YYYY"),
    Spoiled("date of another form", "limits.csv", limit(effective_from="3/4/2025"), 2, "effective_from", "not a date",
            "YYYY-MM-DD"),
    Spoiled("ends before it starts", "limits.csv", limit(effective_from="2025-01-02", effective_to="2025-01-01"), 2,
            "effective_to", "before it starts", "inclusive"),
    Spoiled("unknown parameter", "limits.csv", limit(statistic_parameters="erly=yes"), 2, "statistic_parameters",
            "'erly'", "'early'"),
    Spoiled("parameter without value", "limits.csv", limit(statistic_parameters="early"), 2, "statistic_parameters",
            "key=value", "key=value"),
    Spoiled("by frequency without choice", "limits.csv", limit(statistic="by monitoring frequency"), 2,
            "statistic_parameters", "yearly_or_less", "single value"),
    Spoiled("unreadable trigger", "limits.csv", limit(trigger_values="above 5"), 2, "trigger_values", "not readable",
            "see LIMIT_ID"),
    Spoiled("trigger of no limit", "limits.csv", limit(trigger_values="see own-laed"), 2, "trigger_values",
            "does not exist", "own-lead"),
    Spoiled("unknown member", "limits.csv", limit(group_members="Lead;Coper/10"), 2, "group_members", "'Coper'",
            "Name/10"),
    Spoiled("divided by zero", "limits.csv", limit(group_members="Lead/0"), 2, "group_members", "zero", "factor"),
    # aliases.csv
    Spoiled("alias of no analyte", "aliases.csv", ALIASES + ",Pb2,analyte,Laed,,,,\n", 2, "means", "does not exist",
            "'Lead'"),
    Spoiled("alias of no point", "aliases.csv", ALIASES + ",X,point,FINN,,,,\n", 2, "means", "does not exist", "'FIN'"),
    Spoiled("alias of no unit", "aliases.csv", ALIASES + ",X,unit,mg/furlong,,,,\n", 2, "means", "not known", "known"),
    Spoiled("alias of no laboratory", "aliases.csv", ALIASES + ",X,laboratory,LBA,,,,\n", 2, "means", "does not exist",
            "labs.csv"),
    Spoiled("unknown kind of alias", "aliases.csv", ALIASES + ",X,analite,Lead,,,,\n", 2, "kind", "analite", "analyte"),
    Spoiled("set aside without reason", "aliases.csv", ALIASES + ",X,set aside,,,,,\n", 2, "means", "reason", "why"),
    Spoiled("unknown basis", "aliases.csv", ALIASES + ",X,analyte,Nitrate,nitrogen,,,\n", 2, "implied_basis",
            "not known", "as N"),
    Spoiled("unknown fraction", "aliases.csv", ALIASES + ",X,analyte,Lead,,diss,,\n", 2, "implied_fraction", "diss",
            "dissolved"),
    Spoiled("name with two meanings", "aliases.csv", ALIASES + ",X,analyte,Lead,,,,\n,x ,analyte,Copper,,,,\n", 3,
            "as_written", "line 2", "dates"),
    Spoiled("condition that is never met", "aliases.csv", CONDITIONS + "OC,analyte,Lead,fraction=disolved,\n", 2,
            "when", "never be met", "fraction=dissolved"),
    Spoiled("needs something else", "aliases.csv", CONDITIONS + "OC,analyte,Lead,,unit\n", 2, "still_needs", "'unit'",
            "basis"),
    # analytes.csv
    Spoiled("bases of two substances", "analytes.csv", BASES + "Lead,ug/L,as Pb,as N\n", 2, "default_basis",
            "no factor", "same substance"),
    Spoiled("wrong CAS number", "analytes.csv", ANALYTES + "Lead,7439-92-2,ug/L,no,,,,\n", 2, "cas_number",
            "check digit", "spreadsheet"),
    Spoiled("analyte twice", "analytes.csv", ANALYTES + "Lead,,ug/L,no,,,,\nlead,,ug/L,no,,,,\n", 3, "analyte",
            "line 2", "Keep one"),
    Spoiled("unknown canonical unit", "analytes.csv", ANALYTES + "Lead,,ug/furlong,no,,,,\n", 2, "canonical_unit",
            "not known", "unit"),
    Spoiled("impossible value kind", "analytes.csv", ANALYTES + "Lead,,ug/L,no,,digits,,\n", 2, "value_kind", "digits",
            "number"),
    Spoiled("range upside down", "analytes.csv", ANALYTES + "Lead,,ug/L,no,,,5,1\n", 2, "plausible_high", "below",
            "Exchange"),
    Spoiled("basis without a name", "analytes.csv", ANALYTES + "Lead,,ug/L,yes,,,,\n", 2, "canonical_basis",
            "basis is required", "as N"),
    # holding_times.csv
    Spoiled("unknown stage", "holding_times.csv", TIMES + "x,SDWA,Lead,Lead,receipt->analysis,6,months\n", 2, "stage",
            "receipt", "collection->analysis"),
    Spoiled("unknown unit of time", "holding_times.csv", TIMES + "x,SDWA,Lead,Lead,collection->analysis,6,weeks\n", 2,
            "max_unit", "weeks", "months"),
    Spoiled("time of zero", "holding_times.csv", TIMES + "x,SDWA,Lead,Lead,collection->analysis,0,d\n", 2, "max_value",
            "not possible", "above zero"),
    Spoiled("time for no analyte", "holding_times.csv", TIMES + "x,SDWA,Lead,Laed,collection->analysis,6,d\n", 2,
            "analytes", "does not exist", "'Lead'"),
    # monitoring_plan.csv
    Spoiled("unknown frequency", "monitoring_plan.csv", PLAN + "FIN,Lead,sometimes,routine,,,\n", 2, "frequency",
            "sometimes", "quarterly"),
    Spoiled("unknown plan status", "monitoring_plan.csv", PLAN + "FIN,Lead,yearly,usual,,,\n", 2, "status", "usual",
            "routine"),
    Spoiled("plan for no point", "monitoring_plan.csv", PLAN + "FINN,Lead,yearly,routine,,,\n", 2, "sample_point",
            "does not exist", "'FIN'"),
    Spoiled("plan for no analyte", "monitoring_plan.csv", PLAN + "FIN,Laed,yearly,routine,,,\n", 2, "analyte",
            "does not exist", "'Lead'"),
    Spoiled("plan for no laboratory", "monitoring_plan.csv", PLAN + "FIN,Lead,yearly,routine,,,LBA\n", 2, "laboratory",
            "does not exist", "labs.csv"),
    Spoiled("two frequencies at once", "monitoring_plan.csv",
            PLAN + "FIN,Lead,yearly,routine,,2025-01-01,\nFIN,Lead,monthly,routine,2025-01-01,,\n", 3, "effective_from",
            "line 2", "inclusive"),
    # sample_log.csv
    Spoiled("sample twice", "sample_log.csv", LOG + "S1,FIN,,compliance,\nS1,FIN,,compliance,\n", 3, "sample",
            "line 2", "Keep one"),
    Spoiled("sample at no point", "sample_log.csv", LOG + "S1,FINN,,compliance,\n", 2, "sample_point",
            "not exist", "FIN"),
    Spoiled("unknown purpose", "sample_log.csv", LOG + "S1,FIN,,complaince,\n", 2, "purpose",
            "complaince", "compliance"),
    Spoiled("confirms nothing", "sample_log.csv", LOG + "S1,FIN,,confirmation,S0\n", 2, "confirmation_of", "not exist",
            "same table"),
    Spoiled("confirms itself", "sample_log.csv", LOG + "S1,FIN,,confirmation,S1\n", 2, "confirmation_of", "itself",
            "first sample"),
    Spoiled("unreadable time", "sample_log.csv", LOG + "S1,FIN,4 March,compliance,\n", 2, "collected", "not a time",
            "YYYY-MM-DD HH:MM"),
]  # fmt: skip


@pytest.mark.parametrize("spoiled", SPOILED, ids=lambda spoiled: spoiled.name)
def test_a_fault_is_named_with_its_place_and_remedy(spoiled: Spoiled, write_folder: Callable[..., Path]) -> None:
    folder = write_folder(**{spoiled.file: spoiled.content})
    if spoiled.name == "misspelled file":
        (folder / "limits.csv").unlink()
    with pytest.raises(PlantFolderError) as caught:
        read_plant(folder)
    places = [(fault.place.file, fault.place.line, fault.place.column) for fault in caught.value.problems]
    assert (spoiled.file, spoiled.line, spoiled.column) in places
    fault = caught.value.problems[places.index((spoiled.file, spoiled.line, spoiled.column))]
    assert spoiled.problem in fault.problem
    assert spoiled.remedy in fault.remedy


def test_all_faults_of_a_folder_are_reported_at_once(write_folder: Callable[..., Path]) -> None:
    folder = write_folder(
        **{
            "labs.csv": "laboratory,name\n,L\n",
            "limits.csv": limit(unit="NTU", step="7", applies_at="sea"),
            "sample_log.csv": LOG + "S1,FINN,someday,compliance,\n",
        }
    )
    with pytest.raises(PlantFolderError) as caught:
        read_plant(folder)
    found = {(fault.place.file, fault.place.column) for fault in caught.value.problems}
    assert found >= {
        ("labs.csv", "laboratory"),
        ("limits.csv", "unit"),
        ("limits.csv", "step"),
        ("limits.csv", "applies_at"),
        ("sample_log.csv", "collected"),
    }


def test_own_analytes_have_to_carry_the_shipped_limits(write_folder: Callable[..., Path]) -> None:
    folder = write_folder(**{"analytes.csv": ANALYTES + "Lead,,ug/L,no,,,,\n", "limits.csv": None})
    with pytest.raises(PlantFolderError) as caught:
        read_plant(folder)
    faults = [fault for fault in caught.value.problems if "shipped limits" in fault.problem]
    assert [(fault.place.file, "limits.csv of your own" in fault.remedy) for fault in faults] == [
        ("analytes.csv", True)
    ]


def test_the_line_is_the_physical_one_when_a_cell_holds_a_line_break(write_folder: Callable[..., Path]) -> None:
    folder = write_folder(**{"labs.csv": 'laboratory,name\nLAB,"two\nlines"\n\n,L\n'})
    with pytest.raises(PlantFolderError) as caught:
        read_plant(folder)
    assert [fault.place.line for fault in caught.value.problems if fault.place.file == "labs.csv"] == [5]


def test_a_folder_that_does_not_exist_says_how_to_make_one(tmp_path: Path) -> None:
    with pytest.raises(PlantFolderError, match="barrierbook init"):
        read_plant(tmp_path / "nowhere")


def test_one_fault_reads_as_one_line(write_folder: Callable[..., Path]) -> None:
    with pytest.raises(PlantFolderError) as caught:
        read_plant(write_folder(**{"limits.csv": limit(step="0.003")}))
    (fault,) = caught.value.problems
    assert str(fault).startswith("limits.csv, line 2, column step: the step 0.003 does not divide the value 0.010.")
    assert "\n" not in str(fault)
