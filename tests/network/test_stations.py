"""Equipment as chambers and pools."""

from __future__ import annotations

from typing import Any

import pytest

from stationplan.engine.problem import Chamber, Closure, Pool
from stationplan.network.network import StationGroup
from stationplan.network.stations import heating_minutes, stations_of, wash_minutes
from stationplan.scenario.models import Equipment, Shift
from stationplan.scenario.units import parse_setting


def stations(
    settings: tuple[str, ...] = (), contents: tuple[str, ...] = (), **entry: Any
) -> tuple[tuple[StationGroup, Pool | Chamber], ...]:
    shift = Shift.model_validate({"opens": "06:00", "closes": "14:00"})
    return stations_of(0, Equipment.model_validate(entry), [parse_setting(text) for text in settings], contents, shift)


@pytest.mark.parametrize(
    ("count", "chambers", "names"),
    [
        (1, 1, ["oven"]),
        (2, 1, ["oven 1", "oven 2"]),
        (1, 2, ["oven 1", "oven 2"]),
        (2, 2, ["oven 1.1", "oven 1.2", "oven 2.1", "oven 2.2"]),
    ],
)
def test_every_chamber_is_a_station_of_its_own(count: int, chambers: int, names: list[str]) -> None:
    found = stations(name="oven", kind="oven", count=count, chambers=chambers, holds="4 trays")
    assert [group.names[0] for group, _ in found] == names
    assert all(isinstance(resource, Chamber) and resource.capacity == 4 for _, resource in found)


@pytest.mark.parametrize(
    ("before", "after", "minutes"),
    [
        ("20 C", "180 C", 27),  # 160 degrees at 6 a minute
        ("180 C", "165 C", 5),  # 15 degrees at 3 a minute
        ("180 C", "181 C", 1),
        ("180 C", "180 C fan", 1),
        ("180 C", "186 C fan", 1),
        ("350 F", "180 C", 1),  # 176.7 C
    ],
)
def test_minutes_from_one_setting_to_another(before: str, after: str, minutes: int) -> None:
    oven = Equipment.model_validate({"name": "oven", "kind": "oven", "heats": "6 C/min", "cools": "3 C/min"})
    assert heating_minutes(oven, parse_setting(before), parse_setting(after)) == minutes


def test_without_rates_an_oven_heats_by_ten_and_cools_by_four_a_minute() -> None:
    ((_, oven),) = stations(("180 C", "220 C fan"), name="oven", kind="oven", holds="4 trays")
    assert isinstance(oven, Chamber)
    assert oven.changeovers == {("180 C", "220 C fan"): 4, ("220 C fan", "180 C"): 10}
    assert oven.first == {"180 C": 16, "220 C fan": 20}
    assert oven.tidy


def test_an_oven_that_is_hot_when_the_shift_opens_need_not_heat() -> None:
    ((group, oven),) = stations(("180 C", "180 C fan", "160 C"), name="oven", kind="oven", starts_at="180 C")
    assert isinstance(oven, Chamber)
    assert oven.first == {"180 C fan": 1, "160 C": 5}
    assert (group.cold, group.capacity, group.unit) == (parse_setting("180 C"), 1, "batch")


MIXER: dict[str, Any] = {"name": "mixer", "kind": "mixer", "count": 2, "holds": "20 l", "usable": "60 %"}


def test_bowls_that_need_no_washing_are_one_pool() -> None:
    ((group, pool),) = stations(contents=("cream", "dough"), **MIXER)
    assert pool == Pool("mixer", 2)
    assert (group.names, group.capacity, group.unit) == (("mixer 1", "mixer 2"), 12_000, "ml")


def test_bowls_that_need_washing_are_machines_of_their_own() -> None:
    found = stations(contents=("cream", "dough"), wash="6 min", **MIXER)
    washes = {("cream", "dough"): 6, ("dough", "cream"): 6}
    assert [resource for _, resource in found] == [
        Chamber("mixer 1", 1, washes, tidy=False),
        Chamber("mixer 2", 1, washes, tidy=False),
    ]


def test_one_content_needs_no_washing() -> None:
    assert len(stations(contents=("cream",), wash="6 min", **MIXER)) == 1


def test_a_wash_between_like_and_like_must_be_given() -> None:
    again = [{"before": "cream", "after": "cream", "takes": "2 min"}]
    found = stations(contents=("cream",), changeovers=again, **MIXER)
    assert [resource.changeovers for _, resource in found if isinstance(resource, Chamber)] == [
        {("cream", "cream"): 2}
    ] * 2


def test_the_most_exact_changeover_counts() -> None:
    changeovers = [
        {"before": "anything", "after": "anything", "takes": "1 min"},
        {"before": "anything", "after": "whites", "takes": "8 min"},
        {"before": "nuts", "after": "anything", "takes": "12 min"},
        {"before": "nuts", "after": "whites", "takes": "150 s"},
    ]
    mixer = Equipment.model_validate({**MIXER, "wash": "5 min", "changeovers": changeovers})
    assert wash_minutes(mixer, "nuts", "whites") == 3
    assert wash_minutes(mixer, "cream", "whites") == 8
    assert wash_minutes(mixer, "nuts", "cream") == 12
    assert wash_minutes(mixer, "cream", "dough") == 1
    assert wash_minutes(mixer, "cream", "cream") == 0
    plain = Equipment.model_validate({**MIXER, "wash": "5 min", "changeovers": changeovers[1:2]})
    assert wash_minutes(plain, "cream", "dough") == 5


def test_places_are_one_pool_of_all_their_room() -> None:
    ((group, pool),) = stations(name="trolley", kind="rack", count=2, holds="20 trays")
    assert pool == Pool("trolley", 40)
    assert (group.names, group.capacity, group.unit) == (("trolley",), 40, "tray")
    ((group, pool),) = stations(name="ring", kind="hob", count=3)
    assert (pool, group.unit) == (Pool("ring", 3), "place")


OVENS = {"name": "oven", "kind": "oven", "count": 2, "chambers": 2}


def test_a_unit_out_of_use_takes_all_its_chambers_with_it() -> None:
    found = stations(**OVENS, out_of_use=[{"between": "07:00-08:00", "unit": 2}])
    assert [resource.closures for _, resource in found] == [(), (), (Closure(60, 120, 1),), (Closure(60, 120, 1),)]


def test_without_a_unit_all_are_out_of_use_and_times_that_meet_are_one() -> None:
    found = stations(**OVENS, out_of_use=["05:00-07:00", {"between": "07:00-07:30"}, "12:00-"])
    assert {resource.closures for _, resource in found} == {(Closure(0, 90, 1), Closure(360, 480, 1))}


def test_a_time_outside_the_shift_closes_nothing() -> None:
    found = stations(**OVENS, out_of_use=["05:00-06:00", "15:00-16:00"])
    assert {resource.closures for _, resource in found} == {()}


def test_a_bowl_out_of_use_is_told_apart_from_the_others_though_none_is_washed() -> None:
    found = stations(name="mixer", kind="mixer", count=2, out_of_use=[{"between": "07:00-08:00", "unit": 1}])
    assert [resource for _, resource in found] == [
        Chamber("mixer 1", 1, tidy=False, closures=(Closure(60, 120, 1),)),
        Chamber("mixer 2", 1, tidy=False),
    ]


def test_a_place_lacks_the_room_of_its_units_that_are_out_of_use() -> None:
    times = [{"between": "07:00-09:00", "unit": 1}, {"between": "08:00-10:00", "unit": 2}, {"between": "12:00-13:00"}]
    ((_, pool),) = stations(name="rack", kind="rack", count=2, holds="10.5 trays", out_of_use=times)
    # Both together hold 21 trays, one alone 10 whole ones.
    assert pool == Pool(
        "rack", 21, (Closure(60, 120, 11), Closure(120, 180, 21), Closure(180, 240, 11), Closure(360, 420, 21))
    )
