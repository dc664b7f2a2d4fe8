"""When waves may begin, and what may be said where none was found."""

from __future__ import annotations

from typing import Any

from exams import held, raw

from stationplan.plan.exam.errors import ExamImpossibleError


def proved_impossible(plain: dict[str, Any]) -> bool:
    try:
        held(plain)
    except ExamImpossibleError as error:
        return error.proved
    return False


def test_helpers_who_go_home_at_closing_prove_nothing_against_waves_that_are_asked_for_beyond_it() -> None:
    """Four waves at 08:04 and 09:03 of both days keep every rule; the search does not try these clocks."""
    oven = {"name": "oven", "kind": "oven", "holds": "1 tray", "heats": "5 C/min", "cools": "2.9 C/min"}
    plain = raw(
        equipment=[oven, {"name": "bench", "kind": "bench"}],
        candidates=4,
        workplaces=1,
        days=2,
        people=[{"name": "Ines", "skills": ["pastry"]}],
        time_allowed="55 min",
        menu=[{"product": "tart", "quantity": 1}, {"product": "flan", "quantity": 1}],
    )
    plain["shift"] = {"opens": "08:00", "closes": "10:00"}
    plain["products"] = {
        "tart": {
            "makes": "1 tray",
            "steps": [
                {"name": "mix", "takes": "10 min"},
                {"name": "bake", "takes": "5 min", "equipment": "oven at 100 C", "hands_on": "none"},
                {"name": "plate", "takes": "1 min"},
            ],
        },
        "flan": {
            "makes": "1 tray",
            "steps": [
                {"name": "mix", "takes": "3 min"},
                {"name": "bake", "takes": "10 min", "equipment": "oven at 180 C", "hands_on": "none"},
                {"name": "plate", "takes": "7 min"},
                {"name": "judge", "takes": "5 min", "people": "pastry"},
            ],
        },
    }
    assert not proved_impossible(plain)
