"""The one reader of CSV tables, and the headings that name a unit."""

import pytest

from plantpick.files.csv_table import Format, NoTable, heading_unit, parse_csv, read_csv
from plantpick.files.log_cells import COLUMNS, column
from plantpick.files.survey_tables import MEASURED

FORM = Format(
    kind="a table", heading="a, b", most_bytes=1_000, most_rows=3, most_columns=4, shorten="Cut it down."
)


def fault(text: str, form: Format = FORM) -> tuple[str, str]:
    with pytest.raises(NoTable) as found:
        parse_csv(text, form, "t.csv")
    return found.value.problem.where, str(found.value.problem)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_the_separator_is_that_of_the_heading_row(separator):
    text = f"# made up, with; signs\n\na{separator}b\n1{separator}2\n # remark\n{separator}\n3{separator}\n"
    table = parse_csv(text, FORM, "t.csv")
    assert table.headings == ["a", "b"] and table.head_line == 3
    assert table.rows == [["1", "2"], ["3", ""]] and table.lines == [4, 7]


def test_a_row_is_known_by_the_line_it_begins_in():
    """A quoted cell may go over several lines: the row after it is still found where an editor shows it."""
    table = parse_csv('a,b\n"one\ntwo",2\n3,4\n', FORM, "t.csv")
    assert table.lines == [2, 4] and table.rows[0] == ["one\ntwo", "2"]


def test_what_is_no_table_is_refused_with_its_place():
    assert fault("") == ("t.csv", "t.csv: is empty. It needs a heading row: a, b.")
    assert fault("# only a remark\n")[0] == "t.csv"
    where, said = fault('a,b\n1,"2\n3,4\n')
    assert where.startswith("t.csv:") and "quotation mark" in said
    assert fault("a,b\n1,2\n1,2,3,4,5\n")[0] == "t.csv:3"
    assert "more than 3 rows" in fault("a,b\n" + "1,2\n" * 4)[1]
    assert len(parse_csv("a,b\n" + "1,2\n" * 3, FORM, "t.csv").rows) == 3


def test_letters_that_are_not_utf8_have_a_line(tmp_path):
    path = tmp_path / "t.csv"
    path.write_bytes("a,b\n1,2\nd\u00e9j\u00e0,4\n".encode("cp1252"))
    with pytest.raises(NoTable) as found:
        read_csv(path, FORM)
    assert found.value.problem.where == "t.csv:3" and "0xe9" in found.value.problem.what
    path.write_bytes("\ufeffa,b\n1,2\n".encode())
    assert read_csv(path, FORM).headings == ["a", "b"]


def test_rows_longer_than_the_heading_row_are_told():
    table = parse_csv("a,b\n1,2,3\n1\n", FORM, "t.csv")
    assert [p.where for p in table.too_long()] == ["t.csv:2:3"]


@pytest.mark.parametrize(
    "heading", ["Depth (ft)", "depth_ft", "Depth in feet", "DEPTH [Foot]", "water_depth_ft."]
)
def test_a_heading_names_its_unit(heading):
    assert heading_unit(heading, MEASURED) == ("depth", "ft")


def test_a_share_may_be_headed_in_many_ways():
    """Regression: "percent of stretch" is a share, not the stretch."""
    for heading in (
        "share_percent",
        "Cover %",
        "percent of stretch",
        "percent cover",
        "share of the stretch %",
    ):
        assert column(heading) == ("share", 1.0), heading
    assert column("share") == ("share", None) and column("percent plant") is None
    for word, (others, _) in COLUMNS.items():
        assert all(column(name)[0] == word for name in (word, *others))
