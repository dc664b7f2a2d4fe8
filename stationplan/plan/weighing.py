"""Everything there is to say about what to weigh: batches, the store, eggs, allergens, shared equipment."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from stationplan.network.network import Network
from stationplan.plan.allergens import Declared, Handover, declarations_of, declares, handovers
from stationplan.plan.document import Plan
from stationplan.plan.eggs import Eggs, eggs_of
from stationplan.plan.ingredients import BatchContents, Contents, Total, contents_of, contents_of_network
from stationplan.plan.wording import listed, ordered
from stationplan.scenario import from_plain
from stationplan.scenario.allergens import of_ingredient, told
from stationplan.scenario.models import Scenario


@dataclass(frozen=True)
class Weighing:
    """What to weigh for a plan, or for a scenario before there is one.

    Attributes:
        name: of the scenario.
        orders: what is ordered in all: ``90 Larkfield tartlet``.
        batches: those that something goes into.
        store: what to draw from the store.
        eggs: how many eggs to crack, where whites or yolks are wanted apart.
        contains: which allergens are declared of an ingredient, by its name in small letters; none for `none`.
        items: what is declared of each item that is made, products first; empty where nothing is declared at all.
        starts: when each batch begins, minutes since midnight of the first day; empty before there is a plan.
        handovers: where equipment goes from what holds an allergen to what none is declared of.
        begun: what had become of batches when the rest of a shift was planned: done, running or failed.
    """

    name: str
    orders: str
    batches: tuple[BatchContents, ...]
    store: tuple[Total, ...]
    eggs: Eggs | None
    contains: Mapping[str, tuple[str, ...]]
    items: tuple[tuple[str, Declared], ...]
    starts: Mapping[str, int] = field(default_factory=dict)
    handovers: tuple[Handover, ...] = ()
    begun: Mapping[str, str] = field(default_factory=dict)


def weighing_of_plan(plan: Plan) -> Weighing:
    """What to weigh for a plan.

    Args:
        plan: a plan that has passed the check.
    """
    scenario = from_plain(plan.scenario)
    known = _weighing(
        scenario,
        contents_of(plan),
        {amount.item: amount.unit for amount in plan.amounts},
        [(order.product, order.quantity) for order in plan.orders],
        {batch.label: batch.start for batch in plan.batches},
        handovers(plan) if declares(scenario) else (),
    )
    began = () if plan.past is None else plan.past.began
    begun = {batch.label: "failed" if batch.outcome == "lost" else batch.outcome for batch in began}
    return replace(known, name=plan.name, begun=begun)


def weighing_of_network(scenario: Scenario, network: Network) -> Weighing:
    """What to weigh for a scenario, before there is a plan.

    Args:
        scenario: the scenario.
        network: its scheduling problem.
    """
    return _weighing(
        scenario,
        contents_of_network(scenario, network),
        {amount.item: amount.unit for amount in network.amounts},
        [(order.product, order.quantity) for order in network.orders],
        {},
        (),
    )


def _weighing(
    scenario: Scenario,
    contents: Contents,
    units: Mapping[str, str],
    orders: Iterable[tuple[str, int]],
    starts: Mapping[str, int],
    found: tuple[Handover, ...],
) -> Weighing:
    in_all: dict[str, int] = {}
    for product, quantity in orders:
        in_all[product] = in_all.get(product, 0) + quantity
    totals = contents.totals()
    items = declarations_of(scenario).items if declares(scenario) else {}
    return Weighing(
        scenario.name,
        listed([ordered(quantity, units[product], product) for product, quantity in in_all.items()]),
        tuple(batch for batch in contents.batches if batch.ingredients or batch.components),
        totals,
        eggs_of(totals),
        {
            name.casefold(): told(of_ingredient(name, known.contains))
            for name, known in scenario.ingredients.items()
            if known.contains is not None
        },
        tuple(
            (name, items[name]) for name in (*scenario.products, *scenario.components) if name in units.keys() & items
        ),
        starts,
        found,
    )
