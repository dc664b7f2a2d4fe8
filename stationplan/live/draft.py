"""A course while it is collected: moments, and what must be over before each."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from stationplan.live.course import Arc, Moment


@dataclass
class Draft:
    """Moments and arcs while they are collected; of what is ``over`` nothing can change any more."""

    moments: list[Moment] = field(default_factory=list)
    arcs: list[Arc] = field(default_factory=list)
    over: set[int] = field(default_factory=set)

    def add(self, planned: int, earliest: int) -> int:
        """A new moment; its number."""
        self.moments.append(Moment(planned, earliest))
        return len(self.moments) - 1

    def add_over(self, minute: int) -> int:
        """A moment that has come already, whatever should have been before it; its number."""
        self.over.add(self.add(minute, minute))
        return len(self.moments) - 1

    def hold(self, number: int, unless: tuple[tuple[int, int], ...] = ()) -> None:
        """Let a moment wait for its planned time."""
        self.moments[number] = replace(self.moments[number], held=True, unless=unless)

    def shut(self, number: int, spans: tuple[tuple[int, int], ...]) -> None:
        """Let a moment not come inside some spans."""
        moment = self.moments[number]
        self.moments[number] = replace(moment, shut=tuple(sorted({*moment.shut, *spans})))

    def not_before(self, number: int, minute: int) -> None:
        """Let a moment come at a minute at the earliest."""
        if number not in self.over:
            moment = self.moments[number]
            self.moments[number] = replace(moment, earliest=max(moment.earliest, minute))

    def then(self, before: int, after: int, minutes: float = 0.0) -> None:
        """Let one moment come at least so many minutes after another."""
        if after not in self.over:
            self.arcs.append(Arc(before, after, minutes))
