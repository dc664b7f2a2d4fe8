"""Every mistake is told with its file and line, in a sentence that says what would be right."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from stationplan.scenario import InvalidScenario, load

from .mistake import Mistake
from .mistakes_in_meaning import MISTAKES_IN_MEANING
from .mistakes_in_writing import MISTAKES_IN_WRITING
from .valid_text import VALID

if TYPE_CHECKING:
    from pathlib import Path


MISTAKES = {**MISTAKES_IN_WRITING, **MISTAKES_IN_MEANING}


@pytest.mark.parametrize("mistake", MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_is_told_at_its_line(mistake: Mistake, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert VALID.count(mistake.old) >= 1, "the test replaces something that is not there"
    text = VALID.replace(mistake.old, mistake.new, 1)
    assert mistake.at in text
    line = text.count("\n", 0, text.index(mistake.at)) + 1
    tmp_path.joinpath("scenario.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(InvalidScenario) as caught:
        load(type(tmp_path)("scenario.yaml"))
    told = {problem.where: problem.sentence for problem in caught.value.problems}
    assert f"scenario.yaml:{line}" in told, str(caught.value)
    sentences = [problem.sentence for problem in caught.value.problems if problem.where == f"scenario.yaml:{line}"]
    assert any(mistake.gist in sentence for sentence in sentences), str(caught.value)


def test_the_only_step_of_an_item_is_not_called_missing_when_it_is_wrong(tmp_path: Path) -> None:
    wrong = VALID[: VALID.index("  almond sponge:")] + """\
  almond sponge:
    makes: 2 trays
    steps:
      - {name: whip, takes: 5}
products:
""" + VALID[VALID.index("  lantern bun:") :]  # fmt: skip
    tmp_path.joinpath("scenario.yaml").write_text(wrong, encoding="utf-8")
    with pytest.raises(InvalidScenario) as caught:
        load(tmp_path)
    sentences = [problem.sentence for problem in caught.value.problems]
    assert any("'5' has no unit" in sentence for sentence in sentences)
    assert not any("there are no steps" in sentence for sentence in sentences)


def test_an_order_of_a_night_shift_that_is_due_after_midnight_needs_its_day(tmp_path: Path) -> None:
    night = VALID.replace('{opens: "05:00", closes: "17:30"}', '{opens: "22:00", closes: "06:00"}')
    night = night.replace('due: "17:30"', 'due: "04:00"')
    tmp_path.joinpath("scenario.yaml").write_text(night, encoding="utf-8")
    with pytest.raises(InvalidScenario) as caught:
        load(tmp_path)
    assert [problem.sentence for problem in caught.value.problems] == [
        "04:00 is before the shift opens at 22:00; write day 2 04:00"
    ]
