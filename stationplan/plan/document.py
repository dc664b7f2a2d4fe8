"""The plan as a versioned JSON document: everything needed to show, check and replan it.

Times are minutes since midnight of the first day, so 05:30 is 330. The document
carries the scenario it was made from, as plain data, and knows nothing of how it
was solved.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Exact = Annotated[str, Field(pattern=r"^-?[0-9]+(/[1-9][0-9]*)?$", max_length=200)]
"""A whole number or a fraction of two: '0', '7/2'."""
Unit = Annotated[str, Field(min_length=1)]
"""g, ml, or a count such as 'tray'."""
StationKind = Literal["oven", "prover", "mixer", "freezer", "chiller", "rack", "hob", "bench", "tool"]


class Part(BaseModel):
    """Base of everything in a plan: immutable, no unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Station(Part):
    """One row of the plan: an oven chamber, a machine, or a place such as a freezer."""

    name: str  # 'deck oven 1', 'planetary mixer 2', 'blast freezer'
    equipment: str  # name of the equipment entry it belongs to
    kind: StationKind
    capacity: int  # room in `unit` (g, ml or a count), or 1 'batch'
    unit: Unit


class Seat(Part):
    """What a batch takes up on one station, and when."""

    station: str
    start: int
    end: int
    amount: int  # in the station's unit
    celsius: float | None = None  # ovens and provers
    setting: str = ""  # '', 'fan', 'steam'
    holding: str | None = None  # mixers: what is in the bowl


class Hand(Part):
    """One person busy with a batch from start to end."""

    person: str
    start: int
    end: int
    doing: Literal["hands-on", "load", "unload"]


class Batch(Part):
    """One run of one step."""

    label: str  # short and unique, e.g. 'Ac3' or 'Ac3.2' for round 2 of a repeat
    item: str  # component or product
    step: str
    round: int = 1  # 1.. of a repeated step
    number: int  # 1..of
    of: int  # batches of this step
    first: Exact  # cumulated quantity where it begins
    last: Exact  # cumulated quantity where it ends
    unit: Unit  # the item's base unit
    lost: bool = False  # what went into it is gone, and nothing comes out
    start: int
    end: int
    seats: tuple[Seat, ...] = ()
    hands: tuple[Hand, ...] = ()

    @property
    def size(self) -> Fraction:
        """How much it is, in ``unit``."""
        return Fraction(self.last) - Fraction(self.first)


class Stay(Part):
    """A wait: what stands between two batches (or until delivery), where, and how long."""

    name: str  # the wait's name, '' for an unnamed link with a place
    item: str  # the item that waits
    before: str  # label of the batch or stock that it comes from
    after: str | None  # label of the batch that takes it up; None: ready for delivery
    position: int = 0  # 0, 1, ... in a chain of waits between the same two batches
    start: int
    end: int
    least: int
    most: int | None
    station: str | None = None  # where it stands, if anywhere in particular
    amount: int = 0  # room it takes there, in the station's unit


class Change(Part):
    """A station getting ready: an oven heating or cooling, a mixer being washed."""

    station: str
    start: int
    end: int
    kind: Literal["heat", "cool", "setting", "wash"]
    before: str  # '20 C', '180 C fan', or a bowl content
    after: str


class Delivered(Part):
    """An order and when it is ready."""

    product: str
    quantity: int
    due: int | None
    weight: int
    ready: int
    late: int  # minutes, 0 when in time
    batches: tuple[str, ...]  # labels of the last step's batches that it is made from


class Tier(Part):
    """One objective: its value, the bound no plan can beat, and whether the two meet."""

    name: Literal["lateness", "makespan", "tidiness"]
    value: int
    bound: int
    proved: bool


class Stopped(Part):
    """What ended the search before lateness and finish were proved, and the limit that it had reached."""

    by: Literal["time", "effort", "gap", "stall", "interruption"]
    seconds: float | None = None
    effort: float | None = None  # units of the solver's work
    gap: float | None = None  # a share of the time from opening to the finish


class Reason(Part):
    """Where the bound on the finish comes from."""

    minutes: int  # no plan finishes earlier than this many minutes after opening
    because: str  # 'deck oven 1-2: 640 tray-minutes...' in the kitchen's words
    punctual: bool = False  # holds only for plans that are no later than this one


class ChainLink(Part):
    """A batch on the critical chain and why it could not start earlier."""

    label: str
    why: Literal["opening", "follows", "waits", "station", "person", "release", "goods", "stock"]
    on: str  # the step, wait, station, person or ingredient that it hangs on; '' for opening


class Legend(Part):
    """What a letter of the labels stands for."""

    letters: str  # 'A'
    item: str
    steps: tuple[tuple[str, str], ...]  # (('a', 'whip whites'), ('b', 'fold'))


class Amount(Part):
    """How much of an item is made."""

    item: str
    quantity: Exact  # in `unit`
    unit: Unit
    needed: Exact  # what the orders need besides stock; quantity - needed is surplus
    recipes: Exact  # multiples of the recipe


class Stocked(Part):
    """Stock that is taken up before anything that is made, of an item that this is counted on for."""

    label: str  # short and unique, such as 'A0'; stays and orders name it as they name a batch
    item: str
    quantity: Exact  # in `unit`
    unit: Unit
    start: int  # when it is there
    use_by: int | None  # what takes it up must start by then


class Least(Part):
    """A number that was to be as small as possible, and what it cannot be below."""

    value: int
    bound: int


class Examinee(Part):
    """A candidate of an exam and their times, minutes since midnight of the first day."""

    name: str
    wave: int  # 1..
    begins: int  # the set-up of their workplace
    cooks: int  # cooking may begin
    stops: int  # cooking ends
    leaves: int  # the workplace is clean


class Advice(Part):
    """What an exam would be like after a change that makes it shorter or more alike."""

    change: str  # 'one more deck oven, 5 in all'
    ends: int  # when the last workplace is clean, minutes since midnight of the first day
    every: int
    differ: int
    timeline: int
    waves: int
    proved: bool = False  # nothing better was left open, with the change or without it


class ExamPart(Part):
    """What makes a plan one of an exam: who is examined when, and how alike it is for all of them."""

    candidates: tuple[Examinee, ...]
    every: Least  # minutes between starts in a wave
    differ: Least  # most minutes by which two candidates' waits for one turn at shared equipment differ
    timeline: Least  # minutes from the start of cooking to the last dish ready
    points: Least  # that late dishes cost each candidate
    waves: Least
    # Why nothing is known of how much shorter the timeline could be: helpers come and go, a dish is late by plan,
    # batches of a dish that must not stand long are kept in order, or waves could begin at other moments.
    unproved: Literal["helpers", "late", "stands", "waves"] | None = None
    advice: tuple[Advice, ...] = ()
    stopped: Stopped | None = None  # what ended the search before all was looked into
    scenario: Annotated[dict[str, Any], Field(description="The scenario with the exam, as read, all inline.")]


class Began(Part):
    """A batch that had begun when the rest was planned."""

    label: str
    size: Exact  # what it takes up, in the item's base unit
    start: int
    end: int  # when it ended, or was expected to
    outcome: Literal["done", "running", "lost"]
    stations: tuple[str, ...] = ()
    people: tuple[str, ...] = ()  # whose work on it had begun


class OvenAt(Part):
    """What an oven or prover chamber was at when the rest was planned."""

    station: str
    celsius: Exact
    setting: str = ""


class Lifted(Part):
    """A rule for what was waiting that could not be kept any more."""

    before: str
    after: str | None
    position: int  # of the wait, as in a stay
    # It goes on longer than its most, there is no room for it where it should stand, or it does not keep that long.
    rule: Literal["most", "place", "shelf life"]


class LeftOver(Part):
    """Stock that could not all be used by its use-by any more."""

    stock: int  # its place among the stock of the scenario, 1..
    counted: Exact  # no more of it is counted on than this, in the item's base unit, or than batches had taken up


class Past(Part):
    """What had happened when the rest of a shift was planned."""

    now: int  # nothing that had not begun starts before
    began: tuple[Began, ...]
    ovens: tuple[OvenAt, ...] = ()
    lifted: tuple[Lifted, ...] = ()
    left_over: tuple[LeftOver, ...] = ()


class Plan(Part):
    """A complete production plan."""

    format: Literal["stationplan plan"] = "stationplan plan"
    version: Literal[1] = 1
    name: str
    opens: int
    closes: int
    durations: Literal["longest", "typical", "shortest"] = "longest"
    status: Literal["proved", "feasible"]  # proved: neither lateness nor finish can be beaten
    stations: tuple[Station, ...]
    people: tuple[str, ...]
    amounts: tuple[Amount, ...]
    batches: tuple[Batch, ...]
    stock: tuple[Stocked, ...] = ()
    stays: tuple[Stay, ...]
    changes: tuple[Change, ...]
    orders: tuple[Delivered, ...]
    tiers: tuple[Tier, ...]
    stopped: Stopped | None = None
    reasons: tuple[Reason, ...]
    chain: tuple[ChainLink, ...]
    legend: tuple[Legend, ...]
    warnings: tuple[str, ...] = ()
    seed: int = 0
    scenario: Annotated[dict[str, Any], Field(description="The scenario as read, kitchen, recipes and orders inline.")]
    exam: ExamPart | None = None
    past: Past | None = None

    @property
    def finish(self) -> int:
        """When the last batch or wait ends and the last order from stock is ready, minutes since midnight of day 1."""
        waits = (stay.end for stay in self.stays if stay.after is None)
        ends = [self.opens, *(batch.end for batch in self.batches), *waits]
        return max([*ends, *(order.ready for order in self.orders)] if self.stock else ends)
