"""Worked examples of drinking-water compliance arithmetic, with the rule or the agency that each one comes from.

``origin`` names the published rule or agency text. ``printed`` is the value that is compared, after rounding, as an
agency would print it. Where ``origin`` says "agency", the agency published the numbers themselves; otherwise the
numbers were worked by hand from the rule.
"""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cache

from pipeline.reference import basis_factors, shipped_analytes, shipped_limits, unit_spellings
from pipeline.screening.figures import figure, figure_at_step
from pipeline.screening.judge import judge
from pipeline.screening.model import ScreeningResult, Verdict
from pipeline.units import UnitTable
from pipeline.vocabulary import Outcome, Purpose
from tests.strategies import POINT, result

YEAR_END = date(2035, 12, 31)
QUARTER_DAYS = (date(2035, 2, 10), date(2035, 5, 12), date(2035, 8, 11), date(2035, 11, 10))
QUARTER_ENDS = (date(2035, 3, 31), date(2035, 6, 30), date(2035, 9, 30), date(2035, 12, 31))
EXCEEDS, MEETS, NEAR = Outcome.EXCEEDS, Outcome.MEETS, Outcome.NEAR_LIMIT
NOT_YET = Outcome.ABOVE_NOT_YET


@dataclass(frozen=True)
class WorkedExample:
    """One example: the limit's row, the results, the frequency, and what the rule makes of them."""

    name: str
    origin: str
    limit_id: str
    results: list[ScreeningResult]
    outcome: Outcome
    printed: str
    exact: str = ""
    frequency: str | None = "quarterly"
    on: date = YEAR_END
    since: date | None = None

    def __str__(self) -> str:
        return self.name


def quarters(analyte: str, unit: str, *written: str | None) -> list[ScreeningResult]:
    """One result a quarter of 2035; ``None`` where the sample was missed."""
    pairs = zip(written, QUARTER_DAYS, strict=False)
    return [result(text, day, analyte=analyte, unit=unit) for text, day in pairs if text is not None]


def group(day: date, unit: str, **members: str) -> list[ScreeningResult]:
    """Results of one sample, members by name with underscores for spaces."""
    return [result(text, day, analyte=NAMES.get(name, name), unit=unit) for name, text in members.items()]


NAMES = {
    "TCE": "Trichloroethylene",
    "BDCM": "Bromodichloromethane",
    "DBCM": "Dibromochloromethane",
    "HFPODA": "HFPO-DA",
    "Ra226": "Radium-226",
    "Ra228": "Radium-228",
    "alpha": "Gross alpha",
}
TTHM = "Total trihalomethanes (TTHM)"


def nitrate(written: str, day: date, **more: object) -> ScreeningResult:
    """A nitrate result as N in mg/L."""
    return result(written, day, analyte="Nitrate", basis="as N", **more)


def nitrite(written: str, day: date) -> ScreeningResult:
    """A nitrite result as N in mg/L."""
    return result(written, day, analyte="Nitrite", basis="as N")


def confirmed(first: str, second: str, analyte: str, basis: str = "", days: int = 1) -> list[ScreeningResult]:
    """A first result on 10 February 2035 and its confirmation some days later."""
    later = date(2035, 2, 10 + days)
    return [
        result(first, QUARTER_DAYS[0], analyte=analyte, basis=basis, sample="first"),
        result(
            second,
            later,
            analyte=analyte,
            basis=basis,
            sample="second",
            purpose=Purpose.CONFIRMATION,
            confirmation_of="first",
        ),
    ]


def bromate_months() -> list[ScreeningResult]:
    """Bromate of twelve months [ug/L]."""
    values = ("4", "6", "5", "9", "14", "12", "15", "16", "11", "8", "7", "6")
    return [result(v, date(2035, m, 9), analyte="Bromate", unit="ug/L") for m, v in enumerate(values, start=1)]


def chlorine_months() -> list[ScreeningResult]:
    """Total chlorine of twelve months [mg/L as Cl2]."""
    values = ("3.4", "3.6", "3.8", "4.6", "4.3", "4.0", "3.9", "3.8", "3.9", "4.1", "3.7", "3.5")
    days = [date(2035, month, 9) for month in range(1, 13)]
    pairs = zip(values, days, strict=True)
    return [result(v, day, analyte="Total chlorine", basis="as Cl2") for v, day in pairs]


def hazard_quarters() -> list[ScreeningResult]:
    """Four quarters of hazard indices 1.6, 0.9, 1.1 and 1.2, each from members of one sample [ng/L]."""
    first = group(QUARTER_DAYS[0], "ng/L", HFPODA="6.0", PFBS="200", PFNA="4.0", PFHxS="5.0")
    others = [
        group(day, "ng/L", HFPODA="5.0", PFBS="<3.0", PFNA="<4.0", PFHxS=hexane)
        for day, hexane in zip(QUARTER_DAYS[1:], ("4.0", "6.0", "7.0"), strict=True)
    ]
    return first + [one for quarter in others for one in quarter]


def tthm_system(values: tuple[str, ...]) -> list[ScreeningResult]:
    """Seven consecutive quarters of reported TTHM [ug/L], from the first of 2034."""
    days = [date(2034 + n // 4, n % 4 * 3 + 2, 10) for n in range(len(values))]
    return [result(text, day, analyte=TTHM, unit="ug/L") for text, day in zip(values, days, strict=True)]


SYSTEM_MEANS = ("55", "125", "65", "45", "60", "120", "70")
NY = "agency: New York State Department of Health, annual report guidance, Appendix B"
EPA_ARSENIC = "agency: EPA question page on arsenic rounding (Water Supply Guidance 21)"

EXAMPLES = [
    WorkedExample(
        "C01 trichloroethylene, one quarter above",
        "40 CFR 141.24(f)(15)",
        "us-primary-trichloroethylene",
        quarters("Trichloroethylene", "mg/L", "0.004", "0.006", "0.005", "0.004"),
        NEAR,
        "0.005",
        "0.00475",
    ),
    WorkedExample(
        "C02a carbon tetrachloride, first quarter alone is too much",
        "40 CFR 141.24(f)(15)(i), early test",
        "us-primary-carbon-tetrachloride",
        quarters("Carbon tetrachloride", "mg/L", "0.022"),
        EXCEEDS,
        "0.006",
        "0.0055",
        on=QUARTER_ENDS[0],
        since=QUARTER_ENDS[0],
    ),
    WorkedExample(
        "C02b carbon tetrachloride, rounding applies to the early test",
        "40 CFR 141.24(f)(15)(i), early test",
        "us-primary-carbon-tetrachloride",
        quarters("Carbon tetrachloride", "mg/L", "0.021"),
        NOT_YET,
        "0.021",
        on=QUARTER_ENDS[0],
    ),
    WorkedExample(
        "C03 arsenic, non-detects count as zero",
        "40 CFR 141.23(i)(1)",
        "us-primary-arsenic",
        quarters("Arsenic", "mg/L", "0.012", "<0.001", "0.018", "<0.001"),
        MEETS,
        "0.008",
        "0.0075",
    ),
    WorkedExample(
        "C04a arsenic, drop a 4",
        EPA_ARSENIC,
        "us-primary-arsenic",
        [result("0.0104", QUARTER_DAYS[0])],
        NEAR,
        "0.010",
        "0.0104",
        frequency="yearly",
    ),
    WorkedExample(
        "C04b arsenic, a 5 goes up",
        EPA_ARSENIC,
        "us-primary-arsenic",
        [result("0.0105", QUARTER_DAYS[0])],
        EXCEEDS,
        "0.011",
        "0.0105",
        frequency="yearly",
    ),
    WorkedExample(
        "C05 nitrate, mean of the pair",
        "40 CFR 141.23(i)(3)",
        "us-primary-nitrate",
        confirmed("11.2", "8.9", "Nitrate", "as N"),
        NEAR,
        "10",
        "10.05",
    ),
    WorkedExample(
        "C06a nitrate, mean of the pair above",
        "40 CFR 141.23(i)(3)",
        "us-primary-nitrate",
        confirmed("11.4", "10.2", "Nitrate", "as N"),
        EXCEEDS,
        "11",
        "10.8",
        since=date(2035, 2, 11),
    ),
    WorkedExample(
        "C06b nitrate, no confirmation within 24 hours",
        "40 CFR 141.23(f)(2), (i)(3); Arizona DEQ exceedance page",
        "us-primary-nitrate",
        [nitrate("10.6", QUARTER_DAYS[0])],
        EXCEEDS,
        "11",
        "10.6",
        on=date(2035, 2, 20),
        since=date(2035, 2, 11),
    ),
    WorkedExample(
        "C07a nitrate and nitrite, sum within",
        "40 CFR 141.62(b)(9)",
        "us-primary-nitrate-nitrite",
        [nitrate("9.4", QUARTER_DAYS[0]), nitrite("0.9", QUARTER_DAYS[0])],
        NEAR,
        "10",
        "10.3",
    ),
    WorkedExample(
        "C07b nitrate and nitrite, only the sum is above",
        "40 CFR 141.62(b)(9)",
        "us-primary-nitrate-nitrite",
        [nitrate("9.8", QUARTER_DAYS[0]), nitrite("0.9", QUARTER_DAYS[0])],
        EXCEEDS,
        "11",
        "10.7",
    ),
    WorkedExample(
        "C08 benzene, a missed quarter is no zero",
        "40 CFR 141.24(f)(15); 35 IAC 611.733(c)(4)",
        "us-primary-benzene",
        quarters("Benzene", "mg/L", "0.006", "0.005", None, "0.006"),
        EXCEEDS,
        "0.006",
        "0.0056667",
    ),
    WorkedExample(
        "C09 selenium, equal is not greater",
        "40 CFR 141.23(i)(2)",
        "us-primary-selenium",
        confirmed("0.06", "0.04", "Selenium", days=5),
        NEAR,
        "0.05",
        "0.05",
        frequency="yearly",
        on=QUARTER_ENDS[0],
    ),
    WorkedExample(
        "selenium, a second sample after more than two weeks confirms nothing",
        "40 CFR 141.23(f)(1)",
        "us-primary-selenium",
        confirmed("0.06", "0.04", "Selenium", days=18),
        EXCEEDS,
        "0.06",
        "0.06",
        frequency="yearly",
        on=QUARTER_ENDS[0],
        since=date(2035, 2, 24),
    ),
    WorkedExample(
        "arsenic, the dissolved part does not speak for the total",
        "common practice, no source: the limits of 40 CFR 141.62(b) are for the total",
        "us-primary-arsenic",
        [
            result("0.0104", QUARTER_DAYS[0], fraction="total", sample="bottle"),
            result("0.002", QUARTER_DAYS[0], fraction="dissolved", sample="bottle"),
            result("0.002", QUARTER_ENDS[0], fraction="dissolved", sample="later bottle"),
        ],
        NEAR,
        "0.010",
        "0.0104",
        frequency="yearly",
    ),
    WorkedExample(
        "arsenic, special samples are not averaged in",
        "40 CFR 141.853(b) for special purpose samples, read for all compliance statistics",
        "us-primary-arsenic",
        [
            *quarters("Arsenic", "mg/L", "0.008", "0.008", "0.008", "0.008"),
            result("0.030", QUARTER_ENDS[1], sample="pilot", purpose=Purpose.PROCESS),
            result("0.030", QUARTER_ENDS[2], sample="check", purpose=Purpose.SPECIAL),
        ],
        NEAR,
        "0.008",
        "0.008",
    ),
    WorkedExample(
        "C10 tetrachloroethylene, a yearly result starts quarterly samples",
        "40 CFR 141.24(f)(15)(ii)",
        "us-primary-tetrachloroethylene",
        quarters("Tetrachloroethylene", "mg/L", "0.008"),
        NOT_YET,
        "0.008",
        frequency="yearly",
        on=QUARTER_ENDS[0],
    ),
    WorkedExample(
        "C10b atrazine, average 1.9 of 0.8 to 3.8",
        NY,
        "us-primary-atrazine",
        quarters("Atrazine", "ug/L", "0.80", "3.8", "2.1", "0.9"),
        MEETS,
        "0.002",
        "0.0019",
    ),
    WorkedExample(
        "C11 trihalomethanes, a non-detect member is zero",
        "40 CFR 141.64(b)(2); non-detect as zero is practice",
        "us-primary-tthm",
        group(QUARTER_DAYS[0], "ug/L", Chloroform="38.2", BDCM="14.6", DBCM="6.1", Bromoform="<0.5"),
        Outcome.NOT_ENOUGH_DATA,
        "0.059",
        "0.0589",
        on=QUARTER_ENDS[0],
    ),
    *(
        WorkedExample(
            f"C12 trihalomethane averages after {count} quarters print {printed}",
            NY,
            "us-primary-tthm",
            tthm_system(SYSTEM_MEANS[:count]),
            NEAR,
            f"0.0{printed}",
            exact,
            on=on,
        )
        for count, printed, exact, on in (
            (4, "73", "0.0725", date(2034, 12, 31)),
            (5, "74", "0.07375", QUARTER_ENDS[0]),
            (6, "73", "0.0725", QUARTER_ENDS[1]),
            (7, "74", "0.07375", QUARTER_ENDS[2]),
        )
    ),
    *(
        WorkedExample(
            f"C13 trihalomethanes at location {number}",
            f"{NY}; judged by location, 40 CFR 141.620(d)",
            "us-primary-tthm",
            quarters(TTHM, "ug/L", *values),
            outcome,
            f"0.0{printed}",
        )
        for number, values, outcome, printed in (
            (1, ("45", "60", "125", "70"), NEAR, "75"),
            (2, ("40", "55", "115", "60"), NEAR, "68"),
            (3, ("45", "60", "105", "70"), NEAR, "70"),
            (4, ("50", "65", "135", "80"), EXCEEDS, "83"),
        )
    ),
    WorkedExample(
        "C13b trihalomethanes, quarters not rounded before the average",
        "40 CFR 141.2 read without rounding of the quarters",
        "us-primary-tthm",
        quarters(TTHM, "ug/L", "104.6", "84.6", "71.4", "60.6"),
        NEAR,
        "0.080",
        "0.0803",
    ),
    WorkedExample(
        "C15a trihalomethanes, certain after three quarters",
        "40 CFR 141.133(a)(3); 35 IAC 611.383(a)(3)",
        "us-primary-tthm",
        quarters(TTHM, "ug/L", "98", "121", "104"),
        EXCEEDS,
        "0.081",
        "0.08075",
        on=QUARTER_ENDS[2],
        since=QUARTER_ENDS[2],
    ),
    WorkedExample(
        "C15b trihalomethanes, wait for the fourth quarter",
        "40 CFR 141.133(a)(3); 35 IAC 611.383(a)(3)",
        "us-primary-tthm",
        quarters(TTHM, "ug/L", "98", "121", "102"),
        NOT_YET,
        "0.107",
        "0.107",
        on=QUARTER_ENDS[2],
    ),
    WorkedExample(
        "C16 bromate, months above do not decide",
        "40 CFR 141.133(b)(2)",
        "us-primary-bromate",
        bromate_months(),
        NEAR,
        "0.009",
        "0.0094167",
        frequency="monthly",
    ),
    WorkedExample(
        "C18 chlorine, months above 4.0 are allowed",
        "40 CFR 141.133(c)(1)",
        "us-residual-max-chlorine",
        chlorine_months(),
        NEAR,
        "3.9",
        "3.8833",
        frequency="monthly",
    ),
    WorkedExample(
        "C24 gross alpha stands for radium-226 with half its detection limit",
        "40 CFR 141.26(c)(3)(v); agency: EPA question page on gross alpha for radium (the 1.5)",
        "us-primary-radium-226-228",
        group(QUARTER_DAYS[0], "pCi/L", alpha="<3", Ra228="3.6"),
        NEAR,
        "5",
        "5.1",
        frequency="every 3 years",
    ),
    WorkedExample(
        "C25 radium, sum to one figure",
        "40 CFR 141.66(b), 141.25(d)",
        "us-primary-radium-226-228",
        group(QUARTER_DAYS[0], "pCi/L", Ra226="3.3", Ra228="2.3"),
        EXCEEDS,
        "6",
        "5.6",
        frequency="every 3 years",
    ),
    WorkedExample(
        "C26 gross alpha less uranium",
        "40 CFR 141.66(c); 0.67 pCi/ug from memory",
        "us-primary-gross-alpha",
        [
            result("25", QUARTER_DAYS[0], analyte="Gross alpha", unit="pCi/L"),
            result("12", QUARTER_DAYS[0], analyte="Uranium", unit="ug/L"),
        ],
        EXCEEDS,
        "17",
        "16.96",
        frequency="every 3 years",
    ),
    WorkedExample(
        "C28 hazard index of a year",
        "40 CFR 141.903(f); EPA PFAS rounding sheet P101D2O6",
        "us-primary-pfas-hazard-index",
        hazard_quarters(),
        NEAR,
        "1",
        "1.2",
    ),
    WorkedExample(
        "C29 hazard index, compliance puts zero below the quantitation level",
        "40 CFR 141.903(f)",
        "us-primary-pfas-hazard-index",
        group(QUARTER_DAYS[0], "ng/L", HFPODA="4.2", PFBS="2.0", PFNA="3.6", PFHxS="8.0"),
        Outcome.NOT_ENOUGH_DATA,
        "1",
        "0.8",
        on=QUARTER_ENDS[0],
    ),
    WorkedExample(
        "C29 hazard index, the trigger takes measured numbers",
        "40 CFR 141.902(a)",
        "us-trigger-pfas-hazard-index",
        group(QUARTER_DAYS[0], "ng/L", HFPODA="4.2", PFBS="2.0", PFNA="3.6", PFHxS="8.0"),
        Outcome.TRIGGER_REACHED,
        "1.581",
        "1.581",
        on=QUARTER_ENDS[0],
        since=QUARTER_DAYS[0],
    ),
    WorkedExample(
        "C30 PFOA, a number below the quantitation level is zero",
        "40 CFR 141.903(f)",
        "us-primary-pfoa",
        quarters("PFOA", "ng/L", "3.9", "5.6", "6.0", "4.4"),
        NEAR,
        "4.0",
        "4",
    ),
    WorkedExample(
        "PFOA, the results of a quarter are averaged before the quarters are",
        "40 CFR 141.903(f) (from memory)",
        "us-primary-pfoa",
        [
            *quarters("PFOA", "ng/L", "10.0", "<4.0", "<4.0", "<4.0"),
            result("10.0", QUARTER_DAYS[0], analyte="PFOA", unit="ng/L", sample="second of the quarter"),
            result("10.0", QUARTER_ENDS[0], analyte="PFOA", unit="ng/L", sample="third of the quarter"),
        ],
        MEETS,
        "2.5",
        "2.5",
    ),
    WorkedExample(
        "PFOA trigger, at the number is reached",
        "40 CFR 141.902(a)(5): at or above",
        "us-trigger-pfoa",
        quarters("PFOA", "ng/L", "2.0"),
        Outcome.TRIGGER_REACHED,
        "2",
        "2",
        on=QUARTER_ENDS[0],
    ),
    WorkedExample(
        "C31a PFOA, first quarter not yet",
        "40 CFR 141.903(f); 35 IAC 611.7903(e)",
        "us-primary-pfoa",
        quarters("PFOA", "ng/L", "16.1"),
        NOT_YET,
        "16.1",
        on=QUARTER_ENDS[0],
    ),
    WorkedExample(
        "C31b PFOA, first quarter at once",
        "40 CFR 141.903(f); 35 IAC 611.7903(e)",
        "us-primary-pfoa",
        quarters("PFOA", "ng/L", "16.3"),
        EXCEEDS,
        "4.1",
        "4.075",
        on=QUARTER_ENDS[0],
        since=QUARTER_ENDS[0],
    ),
    WorkedExample(
        "C32a PFHxS, 14.5 is 10 in one figure",
        "agency: EPA PFAS rounding sheet P101D2O6 (the figure); numbers worked from it",
        "us-primary-pfhxs",
        quarters("PFHxS", "ng/L", "14", "15", "13", "16"),
        NEAR,
        "10",
        "14.5",
    ),
    WorkedExample(
        "C32b PFHxS, 15.0 is 20 in one figure",
        "agency: EPA PFAS rounding sheet P101D2O6 (the figure); numbers worked from it",
        "us-primary-pfhxs",
        quarters("PFHxS", "ng/L", "14", "15", "15", "16"),
        EXCEEDS,
        "20",
        "15",
    ),
    *(
        WorkedExample(
            f"C40 pH {written} lies inside",
            "40 CFR 143.3",
            "us-secondary-ph",
            [result(written, QUARTER_DAYS[0], analyte="pH", unit="pH units")],
            NEAR,
            printed,
            written,
        )
        for written, printed in (("8.54", "8.5"), ("6.45", "6.5"))
    ),
    WorkedExample(
        "dibromoethane, an insensitive non-detect does not undo a certain exceedance",
        "40 CFR 141.24(h)(11), early test with the non-detect at zero",
        "us-primary-ethylene-dibromide",
        quarters("Ethylene dibromide (EDB)", "mg/L", "0.0003", "<0.0001"),
        EXCEEDS,
        "0.00008 to 0.00010",
        "0.000075",
        on=QUARTER_ENDS[1],
        since=QUARTER_ENDS[0],
    ),
]


def faults_of(example: WorkedExample, verdict: Verdict) -> list[str]:
    """What a verdict says differently from the example; empty when they agree."""
    compared = (verdict.compared_low, verdict.compared_high)
    printed = " to ".join(dict.fromkeys(figure_at_step(end, verdict.limit.step) for end in compared if end is not None))
    faults = []
    if verdict.outcome is not example.outcome:
        faults.append(f"outcome {verdict.outcome.value}, expected {example.outcome.value}")
    if printed != example.printed:
        faults.append(f"printed {printed}, expected {example.printed}")
    if example.exact and (verdict.statistic_low is None or figure(verdict.statistic_low) != example.exact):
        faults.append(f"exact {verdict.statistic_low}, expected {example.exact}")
    if example.since and verdict.since != example.since:
        faults.append(f"since {verdict.since}, expected {example.since}")
    return faults


def judged(example: WorkedExample) -> Verdict:
    """Verdict on an example by the shipped limit table and the shipped units."""
    row = next(limit for limit in shipped_limits() if limit.limit_id == example.limit_id)
    return judge(
        row,
        POINT,
        example.results,
        on=example.on,
        frequency=example.frequency,
        near_limit_share=Fraction(4, 5),
        convert=shipped_units().convert,
    )


@cache
def shipped_units() -> UnitTable:
    """Unit table as it ships."""
    return UnitTable(unit_spellings(), basis_factors(), shipped_analytes())
