"""The list of formats."""

from __future__ import annotations

import builtins
import sys
from typing import Any

import pytest

from stationplan.plan.document import Plan
from stationplan.render.errors import MissingLibraryError
from stationplan.render.files.formats import FORMATS, Format
from stationplan.render.files.tables import TABLES
from stationplan.render.files.wishes import Wishes

from .test_calendar import WISHES

BY_NAME = {format.name: format for format in FORMATS}


def test_formats_are_named_once_in_small_letters() -> None:
    assert len(BY_NAME) == len(FORMATS)
    assert all(name.isalnum() and name == name.lower() for name in BY_NAME)


@pytest.mark.parametrize("format", FORMATS, ids=BY_NAME)
def test_every_format_gives_the_same_bytes_again(format: Format, plan: Plan) -> None:
    content = format.write(plan, WISHES)
    assert content
    assert format.write(plan, WISHES) == content


@pytest.mark.parametrize("format", [format for format in FORMATS if format.package], ids=lambda format: format.name)
def test_a_missing_library_is_told_with_what_brings_it(
    format: Format, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = builtins.__import__

    def without(name: str, *arguments: Any, **more: Any) -> Any:
        if name.partition(".")[0] == format.package:
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)
        return real(name, *arguments, **more)

    monkeypatch.delitem(sys.modules, format.module, raising=False)
    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(MissingLibraryError, match=rf"{format.package}, .*pip install 'stationplan\[{format.extra}\]'"):
        format.write(plan, WISHES)


def test_another_missing_module_is_an_error_of_ours(plan: Plan) -> None:
    with pytest.raises(ModuleNotFoundError):
        Format("x", "stationplan.render.files.nowhere", package="icalendar", extra="calendar").write(plan, Wishes())


def test_a_folder_has_a_calendar_for_every_person_and_a_file_for_every_table(awkward_plan: Plan) -> None:
    calendars = dict(BY_NAME["ics"].files(awkward_plan, WISHES))
    assert list(calendars) == ["Zoé-李-Ωmega.ics", "Odo.ics"]
    assert b"NAME:Odo: " in calendars["Odo.ics"]
    assert list(dict(BY_NAME["csv"].files(awkward_plan, WISHES))) == [f"{name}.csv" for name in TABLES]
    assert list(dict(BY_NAME["json"].files(awkward_plan, WISHES))) == ["plan.json"]
