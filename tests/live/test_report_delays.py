"""What a delay came from: worked by hand, against longest paths of a library, and for whatever may be recorded."""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stationplan.live.report_delays import Account, Before, Cause, Job, Keeping, account_of


def job(label: str, planned: tuple[int, int] | None, actual: tuple[int, int], *before: Before) -> Job:
    return Job(label, "stir", planned, *actual, before=before)


def after(job: Job, wait: int = 0) -> Before:
    return Before(job.label, job.end + wait, "waits", "rest" if wait else "")


def ready(planned: int, *jobs: Job) -> Job:
    actual = max(job.end for job in jobs)
    return Job("", "", (planned, planned), actual, actual, tuple(after(job) for job in jobs))


def account(planned: int, *jobs: Job) -> Account:
    return account_of({job.label: job for job in jobs}, ready(planned, jobs[-1]))


def told(account: Account) -> list[tuple[str, int, str]]:
    return [(cause.kind, cause.minutes, cause.label) for cause in account.causes]


def test_a_step_that_takes_longer_makes_everything_after_it_late() -> None:
    # Planned 0-10 and 10-20; the first takes 15.
    first = job("Aa1", (0, 10), (0, 15))
    found = account(20, first, job("Ab1", (10, 20), (15, 25), after(first)))
    assert (found.slip, told(found), found.chain) == (5, [("steps", 5, "Aa1")], ("Aa1", "Ab1"))
    assert found.causes[0].what == "Aa1 stir took 15 min instead of 10 min"


def test_room_in_the_plan_takes_minutes_up() -> None:
    # Four minutes were left between the two: of ten minutes lost, six arrive.
    first = job("Aa1", (0, 10), (0, 20))
    found = account(20, first, job("Ab1", (14, 20), (20, 26), after(first)))
    assert told(found) == [("steps", 10, "Aa1"), ("room", -4, "Aa1")]


def test_minutes_made_up_count_below_zero() -> None:
    first = job("Aa1", (0, 10), (0, 20))
    found = account(20, first, job("Ab1", (10, 20), (20, 27), after(first)))
    assert (found.slip, told(found)) == (7, [("steps", 10, "Aa1"), ("steps", -3, "Ab1")])


def test_what_ended_before_it_was_to_be_used_explains_nothing() -> None:
    # It ended a minute late and was not wanted for another ten: what came too late began too late, nobody knows why.
    first = job("Aa1", (0, 10), (0, 11))
    found = account(30, first, job("Ab1", (20, 30), (24, 34), after(first)))
    assert told(found) == [("not known", 4, "Ab1")]
    assert found.causes[0].what == "nothing recorded kept Ab1 stir from beginning"


def test_what_was_not_recorded_is_named() -> None:
    late = Job("Ab1", "stir", (20, 30), 24, 34, unrecorded=("Aa1",))
    assert account(30, late).causes[0].what == "nothing is recorded of Aa1, before Ab1 stir"


def test_somebody_away_is_owed_only_the_minutes_beyond_the_batch_before() -> None:
    # The batch before ends 4 late at 14, Odo is away from 8 to 20, and nobody begins until 23.
    first = job("Aa1", (0, 10), (0, 14))
    away = Keeping("people", 8, 20, "Odo, away until 00:20,")
    second = Job("Ab1", "stir", (10, 20), 23, 33, (after(first),), (away,))
    assert told(account(20, first, second)) == [("steps", 4, "Aa1"), ("people", 6, "Ab1"), ("not known", 3, "Ab1")]


def test_another_batch_first_is_owed_to_whom_both_needed() -> None:
    # Tamsin was to do Ab1 at 10; she did Ba1 first, which was planned from 20 to 25 and took just as long.
    other = job("Ba1", (20, 25), (10, 15))
    late = job("Ab1", (10, 20), (15, 25), Before("Ba1", 15, "people", "Tamsin"))
    found = account(20, other, late)
    assert told(found) == [("early", -10, "Ba1"), ("people", 15, "Ab1")]
    assert found.causes[1].what == "Tamsin was busy with Ba1, not planned before Ab1"


def test_a_wait_cut_short_makes_minutes_up() -> None:
    # 30 minutes of rest are asked for, 25 were given after a start that was 10 late.
    first = job("Aa1", (0, 10), (0, 20))
    late = job("Ab1", (40, 50), (45, 55), after(first, wait=30))
    found = account(50, first, late)
    assert (found.slip, told(found)) == (5, [("steps", 10, "Aa1"), ("waits", -5, "Ab1")])
    assert found.causes[1].what == "rest before Ab1 was cut short by 5 min"


def test_a_batch_made_again_is_owed_what_it_kept_the_next_one() -> None:
    # Aa1 fails, Aa2 is made for it and ends at 25: 15 minutes after what was there could have been used.
    failed = job("Aa1", (0, 10), (0, 10))
    again = Job("Aa2", "stir", None, 15, 25, added=Cause("failed", 0, "", "Aa1 failed, Aa2 was made for it"))
    late = job("Ab1", (10, 20), (25, 35), after(failed), after(again))
    found = account(20, failed, again, late)
    assert told(found) == [("failed", 15, "Ab1")]
    assert found.causes[0].what == "Aa1 failed, Aa2 was made for it"


def test_slower_equipment_is_owed_its_part_of_what_a_step_took_longer() -> None:
    slower = Cause("equipment", 4, "", "deck oven was slower, with Aa1 in it")
    baked = Job("Aa1", "bake", (0, 20), 0, 27, longer=(slower,))
    assert told(account(20, baked)) == [("steps", 3, "Aa1"), ("equipment", 4, "Aa1")]


def test_who_only_loads_lets_go_when_that_is_done() -> None:
    # Odo loads Aa1 from 0 to 2, which bakes ten minutes too long, and could have begun Ba1 at 2 all the same.
    baked = job("Aa1", (0, 20), (5, 35))
    late = job("Ba1", (2, 10), (7, 15), Before("Aa1", 7, "people", "Odo", from_start=True))
    assert told(account(10, baked, late)) == [("not known", 5, "Aa1")]


def test_a_shift_as_planned_has_nothing_to_explain() -> None:
    first = job("Aa1", (0, 10), (0, 10))
    found = account(20, first, job("Ab1", (10, 20), (10, 20), after(first)))
    assert (found.slip, found.causes) == (0, ())


# Seven activities with their predecessors and days; two critical paths of 78, A-E-G and C-F-G, and a slack of 1 on D:
# an exercise in the critical path method with published times; slack and length worked out by hand.
ACTIVITIES = {
    "A": (32, ""),
    "B": (21, ""),
    "C": (30, ""),
    "D": (45, "A"),
    "E": (26, "AB"),
    "F": (28, "C"),
    "G": (20, "EF"),
}


def earliest(days: dict[str, int]) -> dict[str, tuple[int, int]]:
    spans: dict[str, tuple[int, int]] = {}
    for name, (_, before) in ACTIVITIES.items():
        start = max((spans[other][1] for other in before), default=0)
        spans[name] = start, start + days[name]
    return spans


@pytest.mark.parametrize(
    ("activity", "longer", "causes"),
    [
        ("D", 1, [("steps", 1, "D"), ("room", -1, "D")]),
        ("D", 3, [("steps", 3, "D"), ("room", -1, "D")]),
        ("E", 5, [("steps", 5, "E")]),
        ("B", 14, [("steps", 14, "B"), ("room", -11, "B")]),
    ],
)
def test_slack_of_a_published_network_is_room(activity: str, longer: int, causes: list[tuple[str, int, str]]) -> None:
    days = {name: length for name, (length, _) in ACTIVITIES.items()}
    planned, actual = earliest(days), earliest({**days, activity: days[activity] + longer})
    assert max(end for _, end in planned.values()) == 78
    jobs: dict[str, Job] = {}
    for name, (_, before) in ACTIVITIES.items():
        jobs[name] = job(name, planned[name], actual[name], *(after(jobs[other]) for other in before))
    found = account_of(jobs, ready(78, *jobs.values()))
    assert (told(found), found.slip) == (causes, sum(minutes for _, minutes, _ in causes))


MINUTES = st.integers(0, 40)


@st.composite
def networks(draw: st.DrawFn) -> tuple[list[tuple[int, ...]], list[int], list[int]]:
    """Of each activity those before it, its planned and its actual minutes."""
    number = draw(st.integers(1, 8))
    before = [tuple(sorted(draw(st.sets(st.integers(0, at - 1), max_size=3)))) if at else () for at in range(number)]
    minutes = st.lists(st.integers(1, 40), min_size=number, max_size=number)
    return before, draw(minutes), draw(minutes)


def longest(before: list[tuple[int, ...]], minutes: list[int]) -> tuple[list[tuple[int, int]], int]:
    """When everything can be done at the earliest, by the longest paths of networkx."""
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(range(-1, len(before) + 1))
    for at, others in enumerate(before):
        graph.add_edge(-1, at, weight=0)
        graph.add_edge(at, len(before), weight=minutes[at])
        for other in others:
            graph.add_edge(other, at, weight=minutes[other])
    spans = []
    for at in range(len(before)):
        above = graph.subgraph(nx.ancestors(graph, at) | {at})
        start = int(nx.dag_longest_path_length(above))
        spans.append((start, start + minutes[at]))
    return spans, int(nx.dag_longest_path_length(graph))


@settings(max_examples=150, deadline=None, derandomize=True)
@given(networks())
def test_where_all_begin_as_soon_as_they_can_nothing_is_unknown(
    network: tuple[list[tuple[int, ...]], list[int], list[int]],
) -> None:
    before, planned_minutes, actual_minutes = network
    planned, planned_end = longest(before, planned_minutes)
    actual, actual_end = longest(before, actual_minutes)
    jobs: dict[str, Job] = {}
    for at, others in enumerate(before):
        jobs[str(at)] = job(str(at), planned[at], actual[at], *(after(jobs[str(other)]) for other in others))
    found = account_of(jobs, ready(planned_end, *jobs.values()))
    assert found.slip == actual_end - planned_end == sum(cause.minutes for cause in found.causes)
    assert {cause.kind for cause in found.causes} <= {"steps", "room", "early"}


@st.composite
def shifts(draw: st.DrawFn) -> tuple[dict[str, Job], Job]:
    """Batches as anybody may have recorded them, even such as cannot have been."""
    jobs: dict[str, Job] = {}
    for number in range(draw(st.integers(1, 7))):
        label = f"Aa{number + 1}"
        start, planned_start = draw(MINUTES), draw(MINUTES)
        planned = None if draw(st.integers(0, 4)) == 0 else (planned_start, planned_start + draw(MINUTES))
        before = tuple(
            Before(
                f"Aa{draw(st.integers(1, 8))}",
                draw(st.integers(-5, 90)),
                draw(st.sampled_from(["waits", "people", "equipment"])),
                "Odo",
                draw(st.booleans()),
            )
            for _ in range(draw(st.integers(0, 3)))
        )
        keeping = tuple(
            Keeping("people", since, since + draw(MINUTES), "Odo's break")
            for since in draw(st.lists(MINUTES, max_size=2))
        )
        longer = tuple(Cause("equipment", m, "", "slower") for m in draw(st.lists(st.integers(-5, 20), max_size=2)))
        jobs[label] = Job(label, "stir", planned, start, start + draw(MINUTES), before, keeping, longer)
    return jobs, ready(draw(MINUTES), *jobs.values())


@settings(max_examples=250, deadline=None, derandomize=True)
@given(shifts())
def test_the_minutes_of_an_account_add_up_to_the_slip(shift: tuple[dict[str, Job], Job]) -> None:
    jobs, last = shift
    found = account_of(jobs, last)
    assert sum(cause.minutes for cause in found.causes) == found.slip
    assert all(cause.minutes for cause in found.causes)
    assert len(set(found.chain)) == len(found.chain)


def test_what_was_only_in_the_way_while_a_batch_was_made_again_explains_nothing() -> None:
    # Ab1 was planned after Ac1 in the oven; Aa1 fails, and until Aa2 is there at 40 Tamsin does Ea1, planned for later.
    before, failed, other = job("Ac1", (0, 10), (0, 10)), job("Aa1", (0, 8), (0, 8)), job("Ea1", (25, 35), (25, 36))
    again = Job("Aa2", "stir", None, 30, 40, added=Cause("failed", 0, "", "Aa1 failed, Aa2 was made for it"))
    oven, hands = Before("Ac1", 10, "equipment", "oven"), Before("Ea1", 36, "people", "Tamsin")
    late = job("Ab1", (10, 20), (40, 50), after(failed), after(again), oven, hands)
    found = account(20, before, failed, other, again, late)
    assert (found.slip, told(found), found.chain) == (30, [("failed", 30, "Ab1")], ("Ab1",))
    # Where Tamsin was busy for longer than that, it was that which Ab1 waited for.
    hands = Before("Ea1", 41, "people", "Tamsin")
    late = job("Ab1", (10, 20), (41, 51), after(failed), after(again), oven, hands)
    assert "people" in {kind for kind, _, _ in told(account(20, before, failed, other, again, late))}
