"""Goods: no batch begins before everything that is weighed into it has come."""

from __future__ import annotations

from collections.abc import Iterator

from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import Fault, FaultKind, clock


def check_goods(case: Case) -> Iterator[Fault]:
    """Compare the start of each batch with when its late ingredients are there."""
    for run in case.all_runs():
        if run.began is not None:
            continue
        stage = run.stage
        item = case.recipes[stage.item].item
        # What stands at the item goes into its first step; a repeated step is filled once, in its first round.
        names = [*(item.ingredients if stage.index == 0 else ()), *(stage.step.ingredients if stage.round == 1 else ())]
        wanted = {name.casefold() for name in names}
        for goods in case.scenario.goods:
            if goods.ingredient.casefold() in wanted and run.batch.start < goods.since:
                sentence = (
                    f"{run.title} starts at {clock(run.batch.start)}, "
                    f"but its {goods.ingredient} comes only at {clock(goods.since)}."
                )
                yield Fault(FaultKind.GOODS_MISSING, sentence, (run.batch.label,))
