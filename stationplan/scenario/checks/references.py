"""Checks of what items and orders refer to: components, products, and no circle among them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.checks.amounts import uses
from stationplan.scenario.units.numbers import suggestion

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.nodes import Path
    from stationplan.scenario.sentences import Finding


def used_components(draft: Draft) -> Iterator[Finding]:
    """A use of something that is no component."""
    for _, _, component, _, path in uses(draft):
        if component in draft.component_names:
            continue
        if component in draft.product_names:
            yield path, f"'{component}' is a product; only components can be used in something else"
        elif draft.names_complete:
            yield path, f"there is no component '{component}'{_hint(component, draft.component_names)}"


def ordered_products(draft: Draft) -> Iterator[Finding]:
    """An order of something that is no product."""
    for index, order in draft.orders.items():
        path = ("orders", index, "product")
        if order.product in draft.product_names:
            continue
        if order.product in draft.component_names:
            yield path, f"'{order.product}' is a component; only products can be ordered"
        elif draft.names_complete:
            yield path, f"there is no product '{order.product}'{_hint(order.product, draft.product_names)}"


def circles_of_uses(draft: Draft) -> Iterator[Finding]:
    """Components that go into each other in a circle."""
    import networkx as nx

    graph: nx.DiGraph[str] = nx.DiGraph()
    paths: dict[tuple[str, str], Path] = {}
    for name, _, component, _, path in uses(draft):
        if path[0] == "components":
            graph.add_edge(name, component)
            paths[name, component] = path
    try:
        circle = nx.find_cycle(graph)
    except nx.NetworkXNoCycle:
        return
    names = ", which uses ".join(f"'{name}'" for name in [*(edge[0] for edge in circle), circle[0][0]])
    yield paths[circle[-1][0], circle[-1][1]], f"these use each other in a circle: {names}"


def _hint(name: str, known: frozenset[str]) -> str:
    return suggestion(name, known) or (f"; there are {', '.join(sorted(known))}" if 0 < len(known) <= 8 else "")
