"""What an unknown text can mean: likely where a slip is plain, a person's choice where a wrong one would hurt."""

import pytest

from pipeline.plant.folder import read_plant
from pipeline.plant.meanings import Missing, Suggestion, Unknown, suggest
from pipeline.plant.plant import Plant
from tests.narrow_files import PLANT_TOML, SAMPLE_POINTS

SAMPLE_LOG = (
    "sample,sample_point,collected,received,purpose,confirmation_of,note\n"
    "S-1,FW,2026-05-04 08:00,,compliance,,\n"
    "S-2,RO,2026-05-04 08:10,,compliance,,\n"
)


@pytest.fixture(scope="module")
def plant(tmp_path_factory: pytest.TempPathFactory) -> Plant:
    folder = tmp_path_factory.mktemp("plant")
    (folder / "plant.toml").write_text(PLANT_TOML)
    (folder / "sample_points.csv").write_text(SAMPLE_POINTS)
    (folder / "sample_log.csv").write_text(SAMPLE_LOG)
    return read_plant(folder)


def analyte(plant: Plant, text: str, **beside: set[str]) -> Suggestion:
    return suggest(Unknown(Missing.ANALYTE, "", text, **{k: frozenset(v) for k, v in beside.items()}), plant)


def point(plant: Plant, text: str, *samples: str) -> Suggestion:
    return suggest(Unknown(Missing.POINT, "", text, samples=frozenset(samples)), plant)


def unit(plant: Plant, text: str) -> Suggestion:
    return suggest(Unknown(Missing.UNIT, "", text, analytes=frozenset({"Manganese"})), plant)


def likely(suggestion: Suggestion) -> str:
    return str(suggestion.likely) if suggestion.likely else ""


@pytest.mark.parametrize(
    ("written", "means"),
    [
        ("Manganesse", "Manganese"),
        ("Arsennic", "Arsenic"),
        ("Dibromoacettic acid", "Dibromoacetic acid"),
        ("Chlorobenzzene", "Monochlorobenzene"),
        ("Turbiddity", "Turbidity"),
    ],
)
def test_a_plain_slip_of_the_pen_has_a_likely_meaning(plant: Plant, written: str, means: str) -> None:
    assert likely(analyte(plant, written)) == means


# Pairs that a wrong choice confuses: limits differ by substance, fraction and basis (40 CFR 141.51, 141.62; for
# chromium-6 and PFAS common practice, no source).
@pytest.mark.parametrize(
    "written",
    [
        "Nitrat", "Nitrte", "Nitrit", "Bromte", "Chlorat", "Clorite", "PFOSA", "PFOX", "PFNS", "Chromium 5",
        "Chromium, diss'd", "1,3-Dichloroethane", "1,2-Dichlorethen", "Benzo(e)pyren", "alpha-Lindane",
        "Cyanide", "Chlorine", "Organic carbon", "Chlordan-d4",
    ],
)  # fmt: skip
def test_between_substances_fractions_and_bases_a_person_chooses(plant: Plant, written: str) -> None:
    suggestion = analyte(plant, written, units={"mg/L"})
    assert likely(suggestion) == ""
    assert suggestion.doubt


def test_no_known_spelling_is_taken_for_a_slip_of_another_analyte(
    plant: Plant, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Each shipped spelling in turn as one that is not known: every twentieth here, all 2,511 once by hand.
    spellings, astray = dict(plant.names.analyte_spellings), []
    for text, means in list(spellings.items())[::20]:
        monkeypatch.setitem(
            vars(plant.names),
            "analyte_spellings",
            {other: known for other, known in spellings.items() if other != text},
        )
        found = likely(analyte(plant, text))
        astray += [(text, found)] if found and not found.startswith(means) else []
    assert astray == []


def test_a_cas_number_names_what_no_spelling_resembles(plant: Plant) -> None:
    assert likely(analyte(plant, "Code 17", cas_numbers={"7439-96-5"}, units={"ug/L"})) == "Manganese"


def test_a_cas_number_of_several_analytes_is_a_choice(plant: Plant) -> None:
    # Free, available and total cyanide share 57-12-5.
    suggestion = analyte(plant, "Code 18", cas_numbers={"57-12-5"})
    assert likely(suggestion) == ""
    assert {meaning.means for meaning in suggestion.meanings} > {"Cyanide, free", "Cyanide, total"}


def test_a_cas_number_that_the_name_contradicts_is_a_choice(plant: Plant) -> None:
    suggestion = analyte(plant, "Tolune", cas_numbers={"71-43-2"})
    assert (likely(suggestion), [meaning.means for meaning in suggestion.meanings]) == ("", ["Benzene", "Toluene"])
    assert "toluene" in suggestion.doubt


def test_a_name_that_says_more_than_the_cas_number_is_a_choice(plant: Plant) -> None:
    # 7440-47-3 is chromium of any valence; the name asks for one.
    suggestion = analyte(plant, "Chrom (VI) by difference", cas_numbers={"7440-47-3"})
    assert likely(suggestion) == ""
    assert "vi" in suggestion.doubt


def test_a_cas_number_with_a_wrong_check_digit_says_nothing(plant: Plant) -> None:
    assert analyte(plant, "Code 17", cas_numbers={"7439-96-6"}).meanings == ()


def test_an_analyte_that_needs_a_basis_is_a_choice_of_bases(plant: Plant) -> None:
    suggestion = analyte(plant, "Code 19", cas_numbers={"14797-55-8"}, units={"mg/L"})
    assert likely(suggestion) == ""
    assert {meaning.implied_basis for meaning in suggestion.meanings} == {"", "as N", "as NO3"}


def test_a_unit_that_states_the_basis_leaves_no_choice(plant: Plant) -> None:
    assert likely(analyte(plant, "Code 19", cas_numbers={"14797-55-8"}, units={"mg/L as N"})) == "Nitrate"


def test_a_likely_analyte_that_is_not_measured_in_the_unit_is_doubted(plant: Plant) -> None:
    suggestion = analyte(plant, "Manganesse", units={"NTU"})
    assert (likely(suggestion), suggestion.doubt) == ("", "Manganese is not measured in NTU.")


def test_a_known_name_with_its_parts_behind_it_is_taken_apart(plant: Plant) -> None:
    (found, *_) = analyte(plant, "Nitrate [as N]", units={"mg/L"}).meanings
    assert (found.means, found.implied_basis) == ("Nitrate", "as N")


def test_the_sample_log_says_where_a_sample_was_taken(plant: Plant) -> None:
    assert likely(point(plant, "Tap 3", "S-1")) == "FW"


@pytest.mark.parametrize("samples", [("S-1", "S-2"), ("S-1", "not logged"), ()])
def test_a_sample_log_that_does_not_settle_it_leaves_the_choice(plant: Plant, samples: tuple[str, ...]) -> None:
    assert likely(point(plant, "Tap 3", *samples)) == ""


def test_another_train_is_no_slip(plant: Plant) -> None:
    assert likely(point(plant, "Train B permeate")) == ""
    assert likely(point(plant, "Train A permeatte")) == "RO"


@pytest.mark.parametrize(
    ("written", "means"), [("µg per L", "ug/L"), ("mg L-1", "mg/L"), ("ug/litre", "ug/L"), ("NTU.", "NTU")]
)
def test_a_unit_in_the_same_letters_has_a_likely_meaning(plant: Plant, written: str, means: str) -> None:
    assert likely(unit(plant, written)) == means


@pytest.mark.parametrize("written", ["pbb", "mcgl", "g", "mM", "parts"])
def test_a_unit_that_may_be_of_another_size_is_a_choice(plant: Plant, written: str) -> None:
    suggestion = unit(plant, written)
    assert likely(suggestion) == ""
    assert suggestion.doubt


def test_a_missing_basis_is_always_a_choice(plant: Plant) -> None:
    suggestion = suggest(Unknown(Missing.BASIS, "", "NO3", analytes=frozenset({"Nitrate"})), plant)
    assert [str(meaning) for meaning in suggestion.meanings] == ["Nitrate, as N", "Nitrate, as NO3"]
    assert suggestion.likely is None
