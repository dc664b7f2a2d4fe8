"""The sentences about a plan."""

from __future__ import annotations

from typing import Any

import pytest

from stationplan.plan.document import Batch, ChainLink, Delivered, Hand, Plan, Reason, Stay, Stopped, Tier
from stationplan.render.words import hangs_on, headline, in_columns, legend, warnings

from .invented_plans import make


def plan(**changes: Any) -> Plan:
    """A plan from 05:00, closing at 17:30, finished at 10:57."""
    return make().model_copy(update=changes)


def tiers(makespan: int, bound: int, late: int = 0, least: int = 0) -> tuple[Tier, ...]:
    return (
        Tier(name="lateness", value=late, bound=least, proved=late == least),
        Tier(name="makespan", value=makespan, bound=bound, proved=makespan == bound),
    )


def order(late: int, due: int | None = 600, product: str = "pear entremet", weight: int = 1) -> Delivered:
    ready = (due or 600) + late
    return Delivered(
        product=product, quantity=12, due=due, weight=weight, ready=ready, late=max(0, late), batches=("Db1",)
    )


def test_a_proved_plan_says_so() -> None:
    reasons = (Reason(minutes=357, because="the oven"),)
    text = headline(plan(tiers=tiers(357, 357), reasons=reasons), 200)
    assert "finished 10:57, 5 h 57 min after opening at 05:00: proved, no plan finishes earlier" in text
    assert "to gain" not in text


def test_an_unproved_plan_tells_the_most_there_is_to_gain() -> None:
    text = headline(plan(tiers=tiers(357, 300)), 200)
    assert "no plan can finish before 10:00: at most 57 min (16 %) to gain" in text
    assert "proved" not in text


@pytest.mark.parametrize(
    ("stopped", "words"),
    [
        (Stopped(by="time", seconds=20), "after 20 s"),
        (Stopped(by="effort", effort=2.5), "after 2.5 units of effort"),
        (Stopped(by="gap", gap=0.02), "no more than 2 % to gain, as was asked for"),
        (Stopped(by="stall", seconds=10), "nothing better for 10 s"),
        (Stopped(by="stall", effort=3), "nothing better for 3 units of effort"),
        (Stopped(by="interruption"), "it was interrupted"),
    ],
    ids=lambda value: value.by if isinstance(value, Stopped) else "",
)
def test_what_ended_the_search_is_told_unless_the_plan_is_proved(stopped: Stopped, words: str) -> None:
    open_plan = plan(tiers=tiers(357, 300), stopped=stopped, status="feasible")
    assert f"\nsearch ended: {words}\n" in headline(open_plan, 200) + "\n"
    assert "search ended" not in headline(open_plan.model_copy(update={"status": "proved"}), 200)


def test_a_gap_is_never_rounded_to_nothing() -> None:
    assert "at most 1 min (under 1 %) to gain" in headline(plan(tiers=tiers(357, 356)), 200)


def test_the_bound_of_a_late_plan_is_for_plans_that_are_no_later() -> None:
    reasons = (Reason(minutes=300, because="everything", punctual=True), Reason(minutes=250, because="the oven"))
    text = headline(plan(tiers=tiers(357, 300, 10, 10), orders=(order(10),), reasons=reasons), 200)
    assert "no plan as punctual can finish before 10:00" in text


def test_each_late_order_is_named_with_its_minutes() -> None:
    text = headline(plan(orders=(order(75), order(-5, product="sablé")), tiers=tiers(357, 357, 75, 75)), 200)
    assert "late: 12 pear entremet ready 11:15, due 10:00: 1 h 15 min late" in text
    assert "in time: 1 of 2 orders with a due time" in text
    assert "75 minutes late in all: proved, no plan is less late" in text


def test_lateness_that_is_not_proved_tells_its_bound() -> None:
    text = headline(plan(orders=(order(75),), tiers=tiers(357, 357, 75, 20)), 200)
    assert "75 minutes late in all: no plan can have fewer than 20" in text


def test_work_that_begins_well_after_opening_says_when() -> None:
    assert "after opening at 05:00: proved" in headline(plan(tiers=tiers(357, 357)), 200)
    text = headline(plan(opens=240, tiers=tiers(417, 417)), 200)
    assert "after opening at 04:00 (first work 05:00): proved" in text


def test_what_is_not_counted_in_pieces_is_ordered_in_its_unit() -> None:
    amounts = tuple(
        amount.model_copy(update={"unit": "portion"}) if amount.item == "pear entremet" else amount
        for amount in plan().amounts
    )
    text = headline(plan(amounts=amounts, orders=(order(0),)), 200)
    assert text.startswith("Saturday order: 12 portions of pear entremet\n")
    assert "12 portions of pear entremet ready 10:00" in text


def test_a_number_is_not_parted_from_its_sign() -> None:
    for width in range(60, 110):
        text = headline(plan(tiers=tiers(357, 300)), width)
        assert not any(line.lstrip().startswith("%") for line in text.splitlines())


def test_weighted_lateness_is_not_called_minutes_in_all() -> None:
    text = headline(plan(orders=(order(30, weight=3),), tiers=tiers(357, 357, 90, 90)), 200)
    assert "90 minutes late, weighted" in text


def test_orders_in_time_tell_how_much_there_is_to_spare() -> None:
    text = headline(plan(orders=(order(-30), order(-5, product="sablé"))), 200)
    assert "every order is in time; the tightest: 12 sablé ready 09:55, due 10:00: 5 min to spare" in text


def test_orders_without_a_due_time_are_not_called_in_time() -> None:
    text = headline(plan(orders=(order(0, due=None),)), 200)
    assert "in time" not in text
    assert "late" not in text


def test_a_finish_after_closing_is_told() -> None:
    assert "and 57 min after closing" in headline(plan(closes=600), 200)


def test_the_bound_is_explained_by_its_strongest_reason() -> None:
    reasons = (Reason(minutes=200, because="the mixers"), Reason(minutes=345, because="the oven: 640 tray-minutes."))
    text = headline(plan(reasons=reasons), 200)
    assert text.endswith("why not sooner: the oven: 640 tray-minutes\nnext to that: the mixers")


def test_shorter_step_times_are_told() -> None:
    assert "step times: the shortest of each range" in headline(plan(durations="shortest"), 200)
    assert "step times" not in headline(plan(), 200)


def test_warnings_keep_a_hanging_indent() -> None:
    lines = warnings(plan(warnings=("one " * 30, "two")), 60).splitlines()
    assert lines[0].startswith("! one")
    assert lines[1].startswith("  one")
    assert lines[-1] == "! two"


def test_no_warnings_are_no_text() -> None:
    assert warnings(plan(warnings=())) == ""


def chain_of(number: int, why: str) -> tuple[tuple[Batch, ...], tuple[ChainLink, ...]]:
    batches = tuple(
        Batch(
            label=f"Ab{at}",
            item=f"sponge {at % 2 if why == 'follows' else 0}",
            step="bake",
            number=at,
            of=number,
            first=str(at - 1),
            last=str(at),
            unit="tray",
            start=300 + 10 * at,
            end=310 + 10 * at,
        )
        for at in range(1, number + 1)
    )
    return batches, tuple(ChainLink(label=b.label, why=why, on="deck oven 1") for b in batches)  # type: ignore[arg-type]


def test_batches_that_follow_each_other_on_one_station_are_told_together() -> None:
    batches, chain = chain_of(9, "station")
    text = hangs_on(plan(batches=batches, chain=chain, stays=()), 200)
    assert text.startswith("the finish hangs on: Ab1 to Ab9 bake 05:10 (deck oven 1 busy until then, one after another")
    assert text.endswith("> finish 06:40")


def test_batches_of_several_steps_on_one_station_are_counted() -> None:
    batches, chain = chain_of(9, "station")
    mixed = tuple(b.model_copy(update={"step": f"step {b.number % 2}"}) for b in batches)
    text = hangs_on(plan(batches=mixed, chain=chain, stays=()), 200)
    assert text.startswith("the finish hangs on: Ab1 to Ab9 (9 batches) 05:10 (")


def test_many_late_orders_are_summed_up() -> None:
    orders = tuple(order(minutes) for minutes in range(1, 13))
    text = headline(plan(orders=orders), 200)
    assert text.count("late: 12 pear entremet") == 8
    assert "late: 4 more orders, up to 12 min late" in text
    assert "late: 1 more order, up to 9 min late" in headline(plan(orders=orders[:9]), 200)


def test_a_long_chain_is_shortened_in_its_middle_and_keeps_both_ends() -> None:
    batches, chain = chain_of(60, "follows")
    text = hangs_on(plan(batches=batches, chain=chain, stays=()), 80)
    assert len(text.splitlines()) <= 4
    assert "Ab1 bake" in text
    assert "Ab60 bake" in text
    assert "more ..." in text


@pytest.mark.parametrize(
    ("why", "words"),
    [
        ("opening", "Ab1 bake 05:10 > finish"),
        ("waits", "Ab1 bake 05:10 (after freeze)"),
        ("station", "Ab1 bake 05:10 (freeze busy until then)"),
        ("person", "Ab1 bake 05:10 (freeze busy until then)"),
        ("release", "Ab1 bake 05:10 (not before 05:10)"),
        ("follows", "Ab1 bake 05:10 > finish"),
    ],
)
def test_each_reason_on_the_chain_has_its_words(why: str, words: str) -> None:
    batches, _ = chain_of(1, "station")
    link = ChainLink(label="Ab1", why=why, on="" if why == "opening" else "freeze")  # type: ignore[arg-type]
    assert words in hangs_on(plan(batches=batches, chain=(link,), stays=()), 200)


@pytest.mark.parametrize(
    ("doing", "first", "words"),
    [
        ("hands-on", False, "Ab2 bake 08:00 (Ines's break until then; 40 min would not fit before 07:30)"),
        ("hands-on", True, "Ab2 bake 08:00 (Ines's break until then)"),
        ("load", False, "Ab2 bake 08:00 (Ines's break until then)"),
    ],
)
def test_a_batch_after_a_break_says_whose_break_it_was(doing: str, first: bool, words: str) -> None:
    (before, batch), _ = chain_of(2, "station")
    hand = Hand(person="Ines", start=480, end=520, doing=doing)  # type: ignore[arg-type]
    batch = batch.model_copy(update={"start": 480, "end": 520, "hands": (hand,)})
    links = (ChainLink(label="Ab1", why="opening", on=""), ChainLink(label="Ab2", why="release", on="Ines"))
    away = {"kitchen": {"people": [{"name": "Ines", "breaks": "07:30-08:00"}]}}
    found = plan(batches=(before, batch), chain=links[1:] if first else links, stays=(), scenario=away)
    assert words in hangs_on(found, 200)


def test_a_batch_that_begins_when_somebody_comes_says_so() -> None:
    (batch,), _ = chain_of(1, "station")
    hand = Hand(person="Ines", start=310, end=320, doing="hands-on")
    link = ChainLink(label="Ab1", why="release", on="Ines")
    hours = {"kitchen": {"people": [{"name": "Ines", "hours": "05:10-12:00"}]}}
    found = plan(batches=(batch.model_copy(update={"hands": (hand,)}),), chain=(link,), stays=(), scenario=hours)
    assert "Ab1 bake 05:10 (Ines comes then)" in hangs_on(found, 200)


def test_what_begins_at_opening_is_said_to_begin_there() -> None:
    batches, _ = chain_of(1, "station")
    link = ChainLink(label="Ab1", why="opening", on="")
    begun = plan(batches=batches, chain=(link,), stays=(), opens=batches[0].start)
    assert "Ab1 bake 05:10 (from opening)" in hangs_on(begun, 200)


def test_a_plan_without_a_chain_has_no_sentence_about_it() -> None:
    assert hangs_on(plan(chain=())) == ""


def test_the_legend_names_every_item_and_step() -> None:
    text = legend(plan(), 200)
    assert "A hazelnut sponge, 8 trays: a whip whites, b fold and spread, c bake, d cut discs" in text
    assert "E sablé Breton, 6 trays: a mix, b roll, c bake" in text


def test_short_entries_stand_side_by_side_read_downwards() -> None:
    assert in_columns(["one", "two", "three"], 20) == ["one     three", "two"]
    assert in_columns([], 20) == []


def standing_order(*stays: Stay, early: int = 234) -> str:
    """What is said of an order ready so many minutes before it is due at 11:30."""
    ready = 690 - early
    delivered = Delivered(
        product="fingers", quantity=12, due=690, weight=1, ready=ready, late=0, batches=("Xa1", "Xa2")
    )
    lines = headline(plan(orders=(delivered,), stays=stays), 300).splitlines()
    return "".join(line for line in lines if line.startswith("early:"))


def stand(start: int, *, most: int | None = None, station: str | None = None, before: str = "Xa1") -> Stay:
    return Stay(
        name="hold", item="fingers", before=before, after=None, start=start, end=start, least=0, most=most,
        station=station,
    )  # fmt: skip


def test_what_is_ready_hours_before_it_is_due_is_told_with_a_caution() -> None:
    told = standing_order()
    assert told == (
        "early: 12 fingers ready 07:36, 3 h 54 min before it is due; "
        "its recipe does not say where it stands until then, or how cold"
    )
    assert standing_order(early=119) == ""


def test_a_last_wait_says_where_it_stands_until_it_is_due() -> None:
    told = standing_order(stand(456, station="chiller"))
    assert "3 h 54 min before it is due, in the chiller until then, for which its recipe gives no most" in told


def test_what_may_stand_that_long_by_its_recipe_is_not_told() -> None:
    assert standing_order(stand(456, most=234), stand(456, most=234, before="Xa2")) == ""


def test_a_batch_that_would_stand_longer_than_its_recipe_allows_is_told_however_short_that_is() -> None:
    told = standing_order(stand(640, most=30), stand(660, most=30, before="Xa2"), early=30)
    assert "30 min before it is due; the first batch stands for 50 min, which is to be 30 min at most (hold)" in told


def test_a_late_order_is_not_called_early() -> None:
    assert "early:" not in headline(plan(orders=(order(10),)), 200)


def test_waits_that_are_not_proved_the_shortest_are_told() -> None:
    untidy = Tier(name="tidiness", value=90, bound=30, proved=False)
    tidy = Tier(name="tidiness", value=90, bound=90, proved=True)
    sentence = "not proved: that all waits are as short as they go; some work may begin earlier than it must"
    assert sentence in headline(plan(tiers=(*tiers(357, 357), untidy)), 200)
    assert "not proved" not in headline(plan(tiers=(*tiers(357, 357), tidy)), 200)


def test_the_chain_says_what_somebody_is_busy_with_where_that_is_something_else() -> None:
    def work(label: str, item: str, step: str, start: int, end: int) -> Batch:
        return Batch(
            label=label, item=item, step=step, number=1, of=1, first="0", last="1", unit="tray", start=start, end=end
        )

    batches = (work("Xa1", "rye dough", "knead", 300, 340), work("Ya1", "plum tart", "line", 340, 380))
    chain = (ChainLink(label="Xa1", why="opening", on=""), ChainLink(label="Ya1", why="person", on="Ines"))
    text = hangs_on(plan(batches=batches, chain=chain, opens=300), 200)
    assert "Xa1 knead 05:00 (from opening) > Ya1 line 05:40 (Ines busy with rye dough until then)" in text
    third = work("Ya2", "plum tart", "line", 380, 400)
    text = hangs_on(
        plan(batches=(*batches, third), chain=(*chain, ChainLink(label="Ya2", why="person", on="Ines"))), 200
    )
    assert "Xa1 to Ya2 (3 batches of rye dough and plum tart) 05:00 (from opening, one after another by Ines)" in text
