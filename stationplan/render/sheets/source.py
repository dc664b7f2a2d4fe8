"""The plan as sheets look at it: what each batch takes up, and where it goes then."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Literal

from stationplan.plan.allergens import Handover, handovers
from stationplan.plan.document import Batch, Plan
from stationplan.plan.ingredients import BatchContents, contents_of
from stationplan.plan.passing import Passing, passings_of
from stationplan.plan.scale import shown
from stationplan.plan.wording import listed, ordered
from stationplan.render.phrases import joined, label_stem
from stationplan.render.quantities import weighed
from stationplan.render.sheets.model import Note
from stationplan.scenario.units import Quantity, format_clock, format_duration

Cautions = Mapping[str, Sequence[str]]
"""What to beware of, by the label of the batch."""
Outcomes = Mapping[str, Literal["running", "done", "lost"]]
"""What has become of a batch, by its label; nothing of one that has not begun."""


@dataclass(frozen=True)
class Source:
    """A plan, and what can be looked up in it by the label of a batch."""

    plan: Plan
    batches: Mapping[str, Batch]
    contents: Mapping[str, BatchContents]
    into: Mapping[str, Sequence[Passing]]
    out_of: Mapping[str, Sequence[Passing]]
    critical: frozenset[str]
    cautions: Cautions
    outcomes: Outcomes

    @classmethod
    def of(cls, plan: Plan, cautions: Cautions, outcomes: Outcomes | None = None) -> Source:
        """Look everything up once.

        Args:
            plan: a plan that has passed the check.
            cautions: what to beware of at each batch, besides allergens that its equipment has held.
            outcomes: what has become of batches by now, beside those that the plan knows as failed.
        """
        into: dict[str, list[Passing]] = defaultdict(list)
        out_of: dict[str, list[Passing]] = defaultdict(list)
        for passing in passings_of(plan):
            out_of[passing.before].append(passing)
            if passing.after is not None:
                into[passing.after].append(passing)
        beware: dict[str, list[str]] = defaultdict(list)
        for handover in handovers(plan):
            beware[handover.after.label].append(_held(handover))
        for label, texts in cautions.items():
            beware[label] += texts
        return cls(
            plan,
            {batch.label: batch for batch in plan.batches},
            {contents.label: contents for contents in contents_of(plan).batches},
            into,
            out_of,
            frozenset(link.label for link in plan.chain),
            beware,
            {**(outcomes or {}), **{batch.label: "lost" for batch in plan.batches if batch.lost}},
        )

    @property
    def standing(self) -> tuple[Batch, ...]:
        """The batches that have not failed, in the order of the plan."""
        return tuple(batch for batch in self.plan.batches if not self.failed(batch.label))

    def failed(self, label: str) -> bool:
        """Whether a batch has failed, and nothing that it gave is left."""
        return self.outcomes.get(label) == "lost"

    def done(self, batch: Batch) -> bool:
        """Whether a batch is recorded as finished."""
        return self.outcomes.get(batch.label) == "done"

    def step(self, batch: Batch, doing: str = "") -> str:
        """What is done to a batch, and whether that is done."""
        return f"{batch.step}{doing}{', done' if self.done(batch) else ''}"

    def begun_by(self, label: str) -> str:
        """Who is the first at a batch, or '' when nobody is."""
        hands = sorted(self.batches[label].hands, key=lambda hand: hand.start)
        return listed([hand.person for hand in hands if hand.start == hands[0].start])

    def at_the_start(self, batch: Batch) -> Iterator[Note]:
        """What a batch is made of, and what to beware of."""
        taken = "; ".join(self._taken(batch))
        if taken:
            yield Note("take", f"take {taken}")
        bowl = ", ".join(map(weighed, self.contents[batch.label].ingredients))
        if bowl:
            yield Note("bowl", f"weigh in {bowl}")
        yield from (Note("caution", text) for text in self.cautions.get(batch.label, ()))

    def at_the_end(self, batch: Batch) -> Iterator[Note]:
        """Where a batch goes then, who waits for it, and until when it may stand."""
        found = self.out_of.get(batch.label, ())
        alike = sorted(found, key=lambda passing: _waiting(passing) or "")
        for waiting, group in groupby(alike, key=_waiting):
            passings = list(group)
            takers = sorted((p.after for p in passings if p.after), key=lambda label: self.batches[label].start)
            parts = [waiting, f"for {self.named(takers)}" if takers else "until it is served"]
            limits = {passing.latest for passing in passings}
            latest = limits.pop() if len(limits) == 1 else None
            if latest is not None:
                parts.append(f"by {format_clock(latest)} at the latest")
            yield Note("then", f"then {', '.join(part for part in parts if part)}")
        orders = [order for order in self.plan.orders if batch.label in order.batches]
        for order in orders:
            what = ordered(order.quantity, batch.unit, order.product)
            due = "" if order.due is None else f", due {format_clock(order.due)}"
            yield Note("then", f"for the order of {what}{due}")

    def named(self, takers: Sequence[str]) -> str:
        """Batches with their begin, and who begins them: ``Ad1 08:08 (Odo), Ad2 08:20 and Ad3 08:24 (Tamsin)``."""
        parts = []
        for person, group in groupby(takers, key=self.begun_by):
            run = listed([f"{label} {format_clock(self.batches[label].start)}" for label in group])
            parts.append(f"{run} ({person})" if person else run)
        return ", ".join(parts)

    def _taken(self, batch: Batch) -> Iterator[str]:
        """The batches before, and where they stand; of a component, how much."""
        found = self.into.get(batch.label, ())
        own = [passing for passing in found if passing.item == batch.item]
        for place, group in groupby(sorted(own, key=_place), key=_place):
            before = dict.fromkeys(passing.before for passing in group)
            steps = groupby(before, key=label_stem)
            yield listed([joined(list(alike)) for _, alike in steps]) + _out_of(place)
        for taken in self.contents[batch.label].components:
            lots = [passing for passing in found if passing.item == taken.component]
            places = sorted({_place(passing) for passing in lots})
            where = _out_of(listed([place for place in places if place]))
            amount = _amount(taken.quantity)
            much = amount if taken.quantity.unit in ("g", "ml") else f"{amount} of"
            yield f"{much} {taken.component} ({joined(taken.out_of)}){where}"


def _held(handover: Handover) -> str:
    """What equipment has held that is not declared of the batch to come."""
    return (
        f"{handover.station} held {listed(handover.allergens)} until {format_clock(handover.until)} "
        f"({handover.before.label}), as declared; {handover.after.label} is declared without: "
        "clean it as your own allergen rules ask"
    )


def _amount(quantity: Quantity) -> str:
    return shown(quantity.amount, quantity.unit)


def _place(passing: Passing) -> str:
    """Where it stood last."""
    return (passing.stays[-1].station or "") if passing.stays else ""


def _out_of(place: str) -> str:
    return f" from {place}" if place else ""


def _waiting(passing: Passing) -> str:
    """The waits in a row: ``to rack, cool shells at least 20 min``."""
    parts = []
    for stay in passing.stays:
        least = f"at least {format_duration(stay.least)}" if stay.least else ""
        name = " ".join(part for part in (stay.name, least) if part)
        parts += [part for part in (f"to {stay.station}" if stay.station else "", name) if part]
    return ", ".join(parts)
