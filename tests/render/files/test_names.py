"""Names of files from names of people."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from stationplan.render.files.names import file_names


def test_letters_and_digits_of_every_script_are_kept() -> None:
    assert file_names(["Ines", "Zoé d'Arc", "李 2", "../etc/passwd", "a\\b:c"]) == (
        "Ines", "Zoé-d-Arc", "李-2", "etc-passwd", "a-b-c",
    )  # fmt: skip


def test_names_that_a_system_may_take_for_the_same_are_numbered() -> None:
    assert file_names(["Ida", "ida", "IDA", "Ida-2"]) == ("Ida", "ida-2", "IDA-3", "Ida-2-2")
    assert file_names(["Zo\u00e9", "Zoe\u0301"]) == ("Zoé", "Zoé-2")


def test_no_name_is_empty_or_that_of_a_device() -> None:
    assert file_names(["?!", "...", "con", "LPT1"]) == ("person", "person-2", "con-", "LPT1-")


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.lists(st.text(max_size=100), max_size=8))
def test_every_name_is_a_plain_one_of_its_own(names: list[str]) -> None:
    found = file_names(names)
    assert len({name.casefold() for name in found}) == len(names)
    for name in found:
        assert 0 < len(name) <= 70
        assert name.replace("-", "").isalnum() or name.strip("-")
        assert not set(name) & set('/\\:*?"<>|. \0')
