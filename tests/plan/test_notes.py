"""What a plan points out."""

from __future__ import annotations

from planned import plan_by_hand, raw, step


def test_surplus_for_the_sake_of_a_mixer_is_named() -> None:
    mixer = [{"name": "mixer", "kind": "mixer", "holds": "10 l", "least_fill": "20 %"}]
    scenario = raw(step("whip", equipment="mixer", fills="1/2 l per tray", people="1"), equipment=mixer)
    warnings = plan_by_hand(scenario, Aa1=0).warnings
    assert warnings[0] == "4 trays of tart are made, 3 trays more than needed: every batch must fill its mixer enough."


def test_people_without_work_are_named() -> None:
    assert plan_by_hand(raw(step("fill", people="1 pastry")), Aa1=0).warnings == (
        "Without anything to do in this plan: Odo, Ada.",
    )


def test_late_orders_are_left_to_the_headline() -> None:
    scenario = raw(step("fill", "30 min"), people=[{"name": "Ines"}])
    scenario["orders"] = [{"product": "tart", "quantity": 2, "due": "06:10"}]
    plan = plan_by_hand(scenario, Aa1=0)
    assert plan.orders[0].late == 20
    assert plan.warnings == ()


def test_a_plan_without_anything_to_point_out_has_no_warnings() -> None:
    assert plan_by_hand(raw(step("fill"), people=[{"name": "Ines"}]), Aa1=0).warnings == ()
