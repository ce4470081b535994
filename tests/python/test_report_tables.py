"""The tables of a report as files: every one, with its units, and nothing else replaced."""

from pathlib import Path

import pytest

import airchain
from airchain.base.safe_text import cell_text
from airchain.report.table_files import TableFiles, file_name
from airchain.shown.tables import Table


def test_a_table_of_one_value_is_one_line() -> None:
    from airchain.report.blocks import Section
    from airchain.report.closing_parts import all_tables

    same = Table(["kPa", "2000", "3000"], ["", "", ""], [["50", "0.86", "0.86"]] * 2, "Lambda")
    blocks = all_tables([Section("a", "A", [], tables=[same])]).blocks
    assert blocks == ["<p>Lambda: 0.86 in every cell.</p>"]


def test_an_earlier_folder_is_replaced_and_another_stays(tmp_path: Path) -> None:
    folder = tmp_path / "tables"
    one = TableFiles("A", "f", {"a_01_x": Table(["x"], ["m"], [["1,234.5"], ["=1+1"]])})
    one.write(folder)
    assert (folder / "a_01_x.csv").read_text() == "x\nm\n1234.5\n'=1+1\n"
    two = TableFiles("A", "f", {"b_01_y": Table(["y"], [""], [["-3"]])})
    assert [path.name for path in two.write(folder)] == ["b_01_y.csv", "tables.json"]
    assert sorted(path.name for path in folder.iterdir()) == ["b_01_y.csv", "tables.json"]
    (folder / "mine.csv").write_text("kept")
    with pytest.raises(airchain.InputError, match=r"mine\.csv.*no table of a report"):
        one.write(folder)
    (folder / "mine.csv").rename(folder / "notes.txt")
    with pytest.raises(airchain.InputError, match=r"notes\.txt"):
        one.write(folder)
    other = tmp_path / "other"
    other.mkdir()
    (other / "a.csv").write_text("kept")
    with pytest.raises(airchain.InputError, match=r"there is no tables\.json"):
        one.write(other)
    assert (other / "a.csv").read_text() == "kept"


@pytest.mark.parametrize(
    ("text", "cell"),
    [("-3.5", "-3.5"), ("+12", "+12"), ("-3 ± 1", "'-3 ± 1"), ("=A1", "'=A1"), ("tame", "tame")],
)
def test_a_cell_is_never_a_formula(text: str, cell: str) -> None:
    assert cell_text(text) == cell


def test_a_file_is_named_by_section_place_and_caption() -> None:
    assert file_name("fuel", 2, "Fuel system, full") == "fuel_02_fuel_system_full"
    assert file_name("fuel", 12, "") == "fuel_12"
    assert len(file_name("fuel", 1, "long " * 60)) <= 70
