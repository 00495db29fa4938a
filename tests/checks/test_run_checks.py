"""The run as a whole: clean data passes, empty cells are left alone, and what cannot be evaluated is an error."""


def test_a_clean_cell_passes_every_rule(load):
    load.add()
    report = load.check()
    assert load.findings() == []
    assert report.success
    assert {result.evaluated for result in report.results} == {1}
