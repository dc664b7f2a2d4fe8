"""``stationplan export``."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import icalendar
import openpyxl
import pytest

from stationplan.render.files.formats import FORMATS
from stationplan.render.files.tables import TABLES

from .conftest import Run

DATE = ("--date", "2026-03-14")


@pytest.mark.parametrize("format", [format.name for format in FORMATS])
def test_the_name_of_the_file_tells_the_format(run: Run, plan_file: Path, tmp_path: Path, format: str) -> None:
    options = DATE if format == "ics" else ()
    named, told = tmp_path / f"plan.{format.upper()}", tmp_path / "plan.data"
    result = run("export", plan_file, "--out", named, *options)
    assert (result.exit_code, result.stdout) == (0, "")
    assert result.stderr == f"Saved in {named}.\n"
    assert run("export", plan_file, "--out", told, "--to", format, *options).exit_code == 0
    assert named.read_bytes() == told.read_bytes() != b""


def test_a_dash_is_the_output(run: Run, plan_file: Path, tmp_path: Path) -> None:
    result = run("export", plan_file, "--out", "-", "--to", "csv", "--table", "hands")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout_bytes.startswith(b"person,doing,label,")
    assert run("export", plan_file, "--out", tmp_path / "a.csv", "--table", "hands").exit_code == 0
    assert (tmp_path / "a.csv").read_bytes() == result.stdout_bytes


def test_a_folder_gets_a_calendar_for_each_person(run: Run, plan_file: Path, tmp_path: Path) -> None:
    result = run("export", plan_file, "--out", f"{tmp_path}/week/", "--to", "ics", *DATE)
    assert result.exit_code == 0
    assert result.stderr == "".join(f"Saved in {tmp_path}/week/{name}.ics.\n" for name in ("Tamsin", "Odo"))
    calendar = icalendar.Calendar.from_ical((tmp_path / "week" / "Odo.ics").read_bytes())
    assert calendar["NAME"] == "Odo: First shift"
    one = run("export", plan_file, "--out", tmp_path / "odo.ics", "--for", "Odo", *DATE)
    assert one.exit_code == 0
    assert (tmp_path / "odo.ics").read_bytes() == (tmp_path / "week" / "Odo.ics").read_bytes()


def test_a_folder_that_is_there_gets_a_file_for_each_table(run: Run, plan_file: Path, tmp_path: Path) -> None:
    assert run("export", plan_file, "--out", tmp_path, "--to", "csv").exit_code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(f"{name}.csv" for name in TABLES)


def test_a_file_that_is_there_is_left_alone_unless_told_otherwise(run: Run, plan_file: Path, tmp_path: Path) -> None:
    mine = tmp_path / "orders.csv"
    mine.write_text("mine", encoding="utf-8")
    for out in (mine, tmp_path):
        result = run("export", plan_file, "--out", out, "--to", "csv")
        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr == f"{mine}: there is such a file already; choose another name, or add --replace\n"
    assert [path.name for path in tmp_path.iterdir()] == ["orders.csv"]
    assert mine.read_text(encoding="utf-8") == "mine"
    assert run("export", plan_file, "--out", mine, "--replace").exit_code == 0
    assert mine.read_bytes().startswith(b"label,")
    assert [path.name for path in tmp_path.iterdir()] == ["orders.csv"]


def test_what_is_no_file_is_never_replaced(run: Run, plan_file: Path, tmp_path: Path) -> None:
    (tmp_path / "orders.csv").mkdir()
    result = run("export", plan_file, "--out", tmp_path, "--to", "csv", "--replace")
    assert result.exit_code == 2
    assert result.stderr == f"{tmp_path}/orders.csv: it is a folder or a device, not a file\n"
    assert [path.name for path in tmp_path.iterdir()] == ["orders.csv"]


def test_a_folder_that_cannot_be_made_is_named(run: Run, plan_file: Path, tmp_path: Path) -> None:
    for out in (f"{tmp_path}/none/plan.csv", f"{tmp_path}/none/deeper/"):
        result = run("export", plan_file, "--out", out, "--to", "csv")
        assert result.exit_code == 2
        assert result.stderr == f"{out}: no such file or directory\n"
    assert list(tmp_path.iterdir()) == []


def test_the_time_stamp_is_that_of_the_plan_so_that_the_same_plan_gives_the_same_bytes(
    run: Run, plan_file: Path, tmp_path: Path
) -> None:
    copy = tmp_path / "plan.json"
    copy.write_bytes(plan_file.read_bytes())
    os.utime(copy, (1_772_357_400, 1_772_357_400))
    for format in ("ics", "xlsx"):
        options = ("--out", "-", "--to", format, *DATE)
        assert run("export", copy, *options).stdout_bytes == run("export", copy, *options).stdout_bytes
    assert (
        "\r\nDTSTAMP:20260301T093000Z\r\n"
        in run("export", copy, "--out", "-", "--to", "ics", *DATE).stdout_bytes.decode()
    )


def test_a_workbook_opens(run: Run, plan_file: Path, tmp_path: Path) -> None:
    assert run("export", plan_file, "--out", tmp_path / "plan.xlsx", *DATE).exit_code == 0
    assert openpyxl.load_workbook(tmp_path / "plan.xlsx").sheetnames == ["plan", *TABLES]


@pytest.mark.parametrize(
    ("options", "complaint"),
    [
        (("--out", "plan.doc"), "'plan.doc' does not tell the format: say --to "),
        (("--out", "-"), "'-' does not tell the format: say --to "),
        (("--out", "here/"), "'here/' does not tell the format: say --to "),
        (("--out", "-", "--to", "doc"), "Invalid value for '--to': "),
        (("--to", "csv"), "Missing option '--out'"),
        (("--out", "-", "--to", "csv", "--for", "Odo"), "--for goes with ics, not with csv."),
        (("--out", "-", "--to", "xlsx", "--table", "hands"), "--table goes with csv, not with xlsx."),
        (("--out", "-", "--to", "csv", "--table", "knives"), "Invalid value for '--table': "),
        (
            ("--out", "here/", "--to", "ics", "--for", "Odo", *DATE),
            "--for gives one file: name it instead of a folder.",
        ),
        (("--out", "-", "--to", "ics", "--date", "14.3.2026"), "'14.3.2026' is not a date like 2026-03-14"),
        (("--out", "-", "--to", "ics", "--date", "2026-02-30"), "'2026-02-30' is not a date like 2026-03-14"),
        (("--out", "-", "--to", "ics", "--date", "0001-01-01"), "0001-01-01: years go from 1970 to 9989"),
        (("--out", "-", "--to", "ics", *DATE, "--timezone", "Kitchen"), "'Kitchen' is not a time zone of the IANA"),
        (("--out", "-", "--to", "ics", *DATE, "--timezone", "../x"), "'../x' is not a time zone of the IANA"),
        (("--out", "-", "--to", "ics", *DATE, "--timezone", ""), "'' is not a time zone of the IANA"),
    ],
)
def test_a_wrong_option_is_told(run: Run, plan_file: Path, options: tuple[str, ...], complaint: str) -> None:
    result = run("export", plan_file, *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert complaint in " ".join(result.stderr.split())


def test_a_calendar_without_a_date_is_told(run: Run, plan_file: Path) -> None:
    result = run("export", plan_file, "--out", "-", "--to", "ics")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == "a calendar needs the date of the plan's first day, such as --date 2026-03-14\n"


def test_somebody_who_is_not_in_the_plan_is_told_with_who_is(run: Run, plan_file: Path) -> None:
    result = run("export", plan_file, "--out", "-", "--to", "ics", "--for", "Ida", *DATE)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"{plan_file}: nobody in it is called 'Ida', only Tamsin, Odo\n"


def test_a_plan_that_contradicts_its_scenario_is_not_exported(run: Run, plan_file: Path, tmp_path: Path) -> None:
    raw = json.loads(plan_file.read_text(encoding="utf-8"))
    raw["batches"][0]["start"] -= 1
    (tmp_path / "plan.json").write_text(json.dumps(raw), encoding="utf-8")
    result = run("export", tmp_path / "plan.json", "--out", tmp_path / "plan.csv")
    assert result.exit_code == 2
    assert "this plan contradicts its scenario" in result.stderr
    assert not (tmp_path / "plan.csv").exists()


def test_a_scenario_is_no_plan(run: Run, tmp_path: Path) -> None:
    result = run("export", tmp_path / "scenario.yaml", "--out", tmp_path / "plan.csv")
    assert result.exit_code == 2
    assert "this is a scenario and no saved plan" in result.stderr


def test_a_missing_library_is_told(plan_file: Path) -> None:
    code = "import sys; sys.modules['openpyxl'] = None\nfrom stationplan.cli import main\nmain(sys.argv[1:])"
    command = [sys.executable, "-c", code, "export", str(plan_file), "--out", "-", "--to", "xlsx"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "this needs openpyxl, which is not installed: pip install 'stationplan[spreadsheet]'\n"
