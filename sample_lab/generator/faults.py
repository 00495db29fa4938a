"""The faults that were planted in the laboratory's files, and a few oddities that only look like one.

Laboratory people will know every one of them. ``rule_id`` is the rule of the product that should speak; where the load
itself decides (a duplicate, a revision), it is empty.
"""

from dataclasses import dataclass, field

from sample_lab.generator.points import Point
from sample_lab.generator.rows import Mark

_PFAS = ("PFOA", "PFOS", "PFHxS", "PFNA", "HFPO-DA", "PFBS")


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault, and how it is planted.

    ``act`` is *change* (columns of lines that stand in the file), *repeat* (the same line once more), *twin* (a second
    line with the same identifiers and other content; both are marked), *insert* (another line made from one that
    stands there) or *reissue* (the line once more, changed, in the file of ``into``). The lines meant are those of
    ``analytes`` at ``point``: of the ``nth`` routine sample of ``month`` that holds them, from 0. ``first_report`` is
    what a reissued line's first report had said, as a multiple of the final value.
    """

    month: str
    point: Point
    analytes: tuple[str, ...]
    mark: Mark
    changes: dict[str, str] = field(default_factory=dict)
    act: str = "change"
    nth: int = 0
    into: str = ""
    first_report: float = 1.0


FAULTS = (
    # What cannot be read or understood, and is held.
    Fault(
        "2025-01", Point.BIOLOGICAL_CARBON_EFFLUENT, ("Iron",),
        Mark("unknown unit", "unit", "held", "unit_not_known", "No unit table knows this word."),
        {"unit": "parts"},
    ),
    Fault(
        "2025-04", Point.MEMBRANE_FILTRATE, ("PFOS",),
        Mark("ambiguous unit", "unit", "held", "unit_not_known",
             "Parts per trillion is ng/L, parts per thousand is g/kg."),
        {"unit": "ppt"},
    ),
    Fault(
        "2026-10", Point.FINISHED_WATER, ("Fluoride",),
        Mark("unit of the wrong dimension", "unit", "held", "unit_of_another_kind",
             "A sludge unit. While it is held, fluoride of October may not be said to meet its limit."),
        {"unit": "mg/kg"},
    ),
    Fault(
        "2025-03", Point.INFLUENT, ("Nitrate",),
        Mark("nitrate without a basis", "basis", "held", "basis_missing",
             "10 mg/L as N is 44 mg/L as NO3; the name does not say which, and nobody may guess."),
        {"analyte": "Nitrate"},
    ),
    Fault(
        "2026-09", Point.PERMEATE_A, ("Specific conductance",),
        Mark("unknown spelling of an analyte", "analyte", "held", "analyte_not_known",
             "The plant's aliases do not have the night analyst's spelling: one alias clears both cells."),
        {"analyte": "Specific Cond."},
    ),
    Fault(
        "2026-09", Point.PERMEATE_B, ("Specific conductance",),
        Mark("unknown spelling of an analyte", "analyte", "held", "analyte_not_known",
             "The plant's aliases do not have the night analyst's spelling: one alias clears both cells."),
        {"analyte": "Specific Cond."},
    ),
    Fault(
        "2025-05", Point.FINISHED_WATER, ("Free chlorine",),
        Mark("name on the stop list", "analyte", "held", "analyte_not_known",
             "Chlorine may be free, total or combined."),
        {"analyte": "Chlorine"},
    ),
    Fault(
        "2025-07", Point.PERMEATE_B, ("Total organic carbon",),
        Mark("unknown sample point", "sample_point", "held", "sample_point_not_known", "The plant has no train C."),
        {"sample_point": "RO-C Permeate"}, nth=1,
    ),
    Fault(
        "2025-01", Point.ADVANCED_OXIDATION_EFFLUENT, ("1,4-Dioxane",),
        Mark("non-detect without any limit", "value", "held", "non_detect_without_limit",
             "Not detected below what? Neither limit is given."),
        {"value": "ND", "qualifier": "U", "detection_limit": "", "reporting_limit": ""},
    ),
    Fault(
        "2025-03", Point.MEMBRANE_FILTRATE, ("Total organic carbon",),
        Mark("unreadable value", "value", "held", "value_not_readable", "Two decimal points."),
        {"value": "3..91"}, nth=2,
    ),
    Fault(
        "2025-09", Point.BIOLOGICAL_CARBON_EFFLUENT, ("Turbidity",),
        Mark("words in the value column", "value", "held", "value_not_readable", "The value went into a remark."),
        {"value": "see note", "comment": "reading unstable, about 0.5"}, nth=1,
    ),
    Fault(
        "2025-10", Point.PERMEATE_B, ("Bromide",),
        Mark("more than fifteen decimals", "value", "held", "value_not_readable",
             "A spreadsheet's arithmetic; the stored number would not be the written one."),
        {"value": "0.0123456789012345678", "qualifier": ""},
    ),
    Fault(
        "2025-04", Point.INFLUENT, ("pH",),
        Mark("lost decimal point", "value", "held", "value_not_possible", "pH 71 was 7.1."),
        {"value": "71"}, nth=3,
    ),
    Fault(
        "2026-06", Point.MEMBRANE_FILTRATE, ("Silica",),
        Mark("no collection time", "collected", "held", "collected_time_missing",
             "Without a date no limit, no holding time and no average can be chosen."),
        {"collected": ""},
    ),
    Fault(
        "2026-07", Point.BIOLOGICAL_CARBON_EFFLUENT, ("Potassium",),
        Mark("date not in the calendar", "collected", "held", "collected_time_not_readable", "There is no month 13."),
        {"collected": "2026-13-07 08:29"},
    ),
    Fault(
        "2025-10", Point.BIOLOGICAL_CARBON_EFFLUENT, ("Chloride",),
        Mark("analyzed before collected", "analyzed", "held", "step_long_before_collection",
             "Two days before collection: one of the two dates is wrong."),
        {"analyzed": "2025-10-12 10:12", "batch": "IC-251012"},
    ),
    Fault(
        "2026-03", Point.MEMBRANE_FILTRATE, ("Total organic carbon",),
        Mark("equal keys, different content", "value", "held", "",
             "The same result twice in one file with two values: which one counts only the laboratory knows."),
        {"value": "5.02"}, act="twin", nth=1,
    ),
    # What is readable but weak, and is flagged.
    Fault(
        "2026-01", Point.PERMEATE_A, ("Nitrate",),
        Mark("late nitrate", "analyzed", "flagged", "analyzed_late",
             "Undisinfected water: 48 hours (40 CFR 141.23(k)); analyzed after three days."),
        {"analyzed": "2026-01-16 11:40", "batch": "IC-260116"}, nth=1,
    ),
    Fault(
        "2026-04", Point.INFLUENT, _PFAS,
        Mark("late extraction, method 533", "extracted", "flagged", "extracted_late",
             "Extracted after 31 days; EPA method 533 allows 28."),
        {"extracted": "2026-05-15 10:20", "analyzed": "2026-05-19 21:05", "batch": "PF-260519",
         "reported": "2026-05-22"},
    ),
    Fault(
        "2025-07", Point.MEMBRANE_FILTRATE, _PFAS,
        Mark("late extraction, method 537.1", "extracted", "flagged", "extracted_late",
             "Extracted after 17 days: in time for method 533, too late for 537.1, which allows 14."),
        {"method": "EPA 537.1", "preservation": "Trizma 5 g/L, cool", "extracted": "2025-07-25 10:20",
         "analyzed": "2025-07-30 19:45", "batch": "PF-250730", "reported": "2025-08-02"},
    ),
    Fault(
        "2025-02", Point.FINISHED_WATER, ("Total coliform", "E. coli"),
        Mark("late coliform", "analyzed", "flagged", "analyzed_late",
             "Incubated after 33 hours; 30 are allowed (40 CFR 141.852(a)). A late absent is not a negative."),
        {"analyzed": "2025-02-15 18:42", "batch": "MB-250215"}, nth=1,
    ),
    Fault(
        "2026-10", Point.PERMEATE_A, ("Total dissolved solids",),
        Mark("late residue", "analyzed", "flagged", "analyzed_late",
             "Dried after nine days; seven are allowed (40 CFR 136.3 Table II): to be sampled again in October."),
        {"analyzed": "2026-10-22 11:05", "batch": "TDS-261022", "reported": "2026-10-25"},
    ),
    Fault(
        "2026-06", Point.OZONE_EFFLUENT, ("Turbidity", "UV absorbance at 254 nm", "Total organic carbon"),
        Mark("warm receipt", "receipt_temperature_c", "flagged", "received_warm",
             "The cooler arrived at 14.2 deg C; 6 are allowed."),
        {"receipt_temperature_c": "14.2"},
    ),
    Fault(
        "2026-10", Point.FINISHED_WATER, ("PFOA",),
        Mark("reporting limit above the limit", "reporting_limit", "flagged", "limit_not_provable",
             "Not detected below 5.0 ng/L proves nothing about the trigger level of 2.0 ng/L (40 CFR 141.902(a))."),
        {"value": "ND", "qualifier": "U", "detection_limit": "2.0", "reporting_limit": "5.0", "dilution": "5",
         "comment": "diluted: internal standard recovery low"},
    ),
    Fault(
        "2025-02", Point.PERMEATE_B, ("Selenium",),
        Mark("detection limit above reporting limit", "detection_limit", "flagged",
             "detection_limit_above_reporting_limit", "The two limits were swapped."),
        {"value": "<0.20", "qualifier": "", "detection_limit": "0.50", "reporting_limit": "0.20"},
    ),
    Fault(
        "2025-11", Point.PERMEATE_A, ("Iron",),
        Mark("zero for a chemistry value", "value", "flagged", "zero_concentration",
             "A method can say less than; it cannot say nothing."),
        {"value": "0", "qualifier": ""},
    ),
    Fault(
        "2025-12", Point.MEMBRANE_FILTRATE, ("Barium",),
        Mark("CAS number with a wrong check digit", "cas_number", "note", "cas_number_not_sound",
             "7440-39-3 was meant."),
        {"cas_number": "7440-39-4"},
    ),
    Fault(
        "2026-07", Point.MEMBRANE_FILTRATE, ("Monochloroacetic acid",),
        Mark("CAS number turned into a date", "cas_number", "note", "cas_number_not_sound",
             "A spreadsheet read 79-11-8 as the eighth of November."),
        {"cas_number": "11/8/1979"},
    ),
    Fault(
        "2025-12", Point.MEMBRANE_FILTRATE, ("Bromide",),
        Mark("CAS number of another analyte", "cas_number", "held", "cas_number_contradicts_name",
             "15541-45-4 is bromate: name and number contradict each other."),
        {"cas_number": "15541-45-4"},
    ),
    Fault(
        "2025-03", Point.INFLUENT, ("Total organic carbon",),
        Mark("local time in the spring gap", "collected", "flagged", "time_in_doubt",
             "On this night 02:30 did not happen."),
        {"collected": "2025-03-09 02:30", "received": "2025-03-09 10:20", "sample": "Q250309-INF",
         "laboratory_sample": "TWL2503-9001", "result_id": "TWL2503-9001-01", "purpose": "special",
         "analyzed": "2025-03-12 14:05", "batch": "TOC-250312", "reported": "2025-03-15"}, act="insert",
    ),
    Fault(
        "2025-11", Point.INFLUENT, ("Total organic carbon",),
        Mark("local time in the autumn fold", "collected", "flagged", "time_in_doubt",
             "On this night 01:30 happened twice."),
        {"collected": "2025-11-02 01:30", "received": "2025-11-02 10:20", "sample": "Q251102-INF",
         "laboratory_sample": "TWL2511-9001", "result_id": "TWL2511-9001-01", "purpose": "special",
         "analyzed": "2025-11-06 14:05", "batch": "TOC-251106", "reported": "2025-11-09"}, act="insert",
    ),
    Fault(
        "2026-05", Point.BIOLOGICAL_CARBON_EFFLUENT, ("Aluminum",),
        Mark("rejected by the laboratory", "status", "flagged", "result_rejected", "It may be seen, never used."),
        {"status": "rejected", "comment": "laboratory control sample failed"},
    ),
    # What came more than once.
    Fault(
        "2026-02", Point.INFLUENT, ("Manganese",),
        Mark("the same line twice", "result_id", "duplicate", "", "Wholly identical: one result and a duplicate."),
        act="repeat",
    ),
    Fault(
        "2025-09", Point.FINISHED_WATER, ("Chloride",),
        Mark("correction in a later file", "value", "revision", "",
             "The first report forgot a tenfold dilution; revision 2 came with the next month's file."),
        {"revision": "2", "comment": "corrected: dilution factor had been left out"}, act="reissue", into="2025-11",
        first_report=0.1,
    ),
    Fault(
        "2026-02", Point.PERMEATE_A, ("Boron",),
        Mark("preliminary, then final", "status", "note", "result_preliminary",
             "A preliminary number may still change."),
        {"status": "preliminary", "revision": "0"},
    ),
    Fault(
        "2026-02", Point.PERMEATE_A, ("Boron",),
        Mark("preliminary, then final", "status", "revision", "",
             "The final number takes the preliminary one's place."),
        {"status": "final", "revision": "1"}, act="reissue", into="2026-05",
        first_report=1.12,
    ),
    # What only looks wrong.
    Fault(
        "2025-08", Point.ADVANCED_OXIDATION_EFFLUENT, ("Formaldehyde",),
        Mark("broken bottle", "value", "accepted", "", "Not analyzed is an answer: the bottle broke on the way."),
        {"value": "not analyzed", "qualifier": "", "detection_limit": "", "reporting_limit": "", "extracted": "",
         "analyzed": "", "batch": "", "comment": "bottle broken in transit"},
    ),
    Fault(
        "2025-01", Point.OZONE_EFFLUENT, ("Nitrate",),
        Mark("padded unit", "unit", "accepted", "", "Blanks around a unit mean nothing."),
        {"unit": " mg/L  "},
    ),
    Fault(
        "2025-06", Point.MEMBRANE_FILTRATE, ("Chloride",),
        Mark("unit in capitals", "unit", "accepted", "", "MG/L is mg/L: no other unit is written so."),
        {"unit": "MG/L"},
    ),
    Fault(
        "2026-05", Point.INFLUENT, ("Turbidity",),
        Mark("line break in a comment", "comment", "accepted", "",
             "One record on two physical lines: every line number below it differs from its record number."),
        {"comment": "sample foamed\nread after settling"},
    ),
)  # fmt: skip
