"""What a plan should point out besides its times: surplus, and people with nothing to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.units import format_quantity

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from stationplan.network import Network
    from stationplan.plan.document import Batch


def notes_on(network: Network, batches: Sequence[Batch]) -> tuple[str, ...]:
    """Sentences for the cook.

    Args:
        network: what the plan was made from.
        batches: the batches of the plan.
    """
    return (*_surplus(network), *_idle(network, batches))


def _surplus(network: Network) -> Iterator[str]:
    for amount in network.amounts:
        if amount.made > amount.least:
            made = format_quantity(amount.made, amount.unit)
            extra = format_quantity(amount.made - amount.least, amount.unit)
            yield f"{made} of {amount.item} are made, {extra} more than needed: every batch must fill its mixer enough."


def _idle(network: Network, batches: Sequence[Batch]) -> Iterator[str]:
    busy = {hand.person for batch in batches for hand in batch.hands}
    idle = [name for name in network.people if name not in busy]
    if idle:
        yield f"Without anything to do in this plan: {', '.join(idle)}."
