"""The input as pydantic models: kitchen, recipes, orders and shift.

Every model is frozen. Text such as ``11..13 min`` is read into the value types of
:mod:`stationplan.scenario.units`; nothing here knows of files, tasks or solvers.
docs/format.md explains each field to a cook.
"""

from __future__ import annotations

# NOTE TO HELPERS (remove): this file is the CONTRACT. Attribute names and meanings are fixed; the scenario
# helper completes the parsing (BeforeValidator / WithJsonSchema), descriptions, and validators.

from fractions import Fraction
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from stationplan.scenario.units import (
    Clock,          # int subclass or NewType: minutes since midnight of the first day
    ClockSpan,      # frozen dataclass: start: int, end: int (minutes since midnight of the first day; end > start)
    HandsOn,        # frozen dataclass: all: bool, first: Fraction, last: Fraction (minutes)
    PeopleNeed,     # frozen dataclass: count: int, skill: str | None
    Quantity,       # frozen dataclass: amount: Fraction, unit: str ('g', 'ml' or a singular noun), written_unit (compare=False)
    Rate,           # frozen dataclass: amount: Quantity, per: Quantity | None, basis: Literal['quantity','recipe','batch']
    Span,           # frozen dataclass: least: Fraction, most: Fraction (minutes)
    StepTime,       # frozen dataclass: fixed: Span, each: Span | None, per: Quantity | None
    Setting,        # frozen dataclass: celsius: Fraction, mode: str ('' = plain, 'fan', 'steam', ...)
)

EquipmentKind = Literal["oven", "prover", "mixer", "freezer", "chiller", "rack", "hob", "bench", "tool"]


class Model(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Person(Model):
    name: str
    skills: tuple[str, ...] = ()
    hours: tuple[ClockSpan, ...] = ()       # empty: the whole shift
    breaks: tuple[ClockSpan, ...] = ()


class Changeover(Model):
    """Cleaning time between two contents of a mixer bowl; 'anything' stands for every content."""

    before: str                             # YAML key: before  (content that was in it; or 'anything')
    after: str                              # YAML key: after   (content that comes next; or 'anything')
    takes: Fraction                         # minutes


class Equipment(Model):
    name: str
    kind: EquipmentKind
    count: int = 1                          # identical machines
    chambers: int = 1                       # oven/prover: chambers per machine, each with its own temperature
    holds: Quantity | None = None           # room of ONE chamber / bowl / place; None: one batch at a time per unit
    usable: Fraction = Fraction(1)          # mixer: share of the bowl that may be filled (0 < usable <= 1)
    least_fill: Fraction = Fraction(0)      # mixer: least share of `holds` for it to work (0 <= least_fill <= usable)
    range: tuple[Fraction, Fraction] | None = None   # oven: (lowest, highest) °C
    heats: Fraction | None = None           # °C per minute; default 10
    cools: Fraction | None = None           # °C per minute; default 4
    starts_at: Fraction | None = None       # °C when the shift opens; default 20 (cold)
    settings: tuple[str, ...] = ()          # oven: modes it has besides plain: fan, steam
    wash: Fraction = Fraction(0)            # mixer: minutes between two batches of different content
    changeovers: tuple[Changeover, ...] = ()


class EquipmentNeed(Model):
    """One way of doing a step: on which equipment, at which setting, and what differs there."""

    use: str                                # name or kind of equipment, lower-cased as written
    at: Setting | None = None               # ovens and provers
    takes: StepTime | None = None           # overrides the step's time on this equipment
    fills: Rate | None = None               # overrides the step's fills on this equipment


class After(Model):
    """A step or wait that must come before, with its own least and most."""

    step: str                               # name of a step or wait of the same item (same round inside a repeat)
    at_least: Fraction = Fraction(0)        # minutes
    at_most: Fraction | None = None         # minutes; None: no limit


class Step(Model):
    name: str
    takes: StepTime
    hands_on: HandsOn | None = None         # None: see Step.hands()
    load: Fraction = Fraction(0)            # minutes before `takes`, on the equipment, with a person
    unload: Fraction = Fraction(0)          # minutes after `takes`, on the equipment, with a person
    people: tuple[PeopleNeed, ...] = ()
    equipment: tuple[EquipmentNeed, ...] = ()        # alternatives
    also: dict[str, Quantity] = {}          # further places needed for the whole step: {bench: 1 place}
    fills: Rate | None = None
    holding: str | None = None              # mixer: what is in the bowl, for changeovers; default: the item's name
    batch: Quantity | None = None           # largest batch the cook wants of this step
    after: tuple[After, ...] | None = None  # None: the entry above; (): may start at once
    uses: dict[str, "Use"] = {}             # components taken up at this step


class Wait(Model):
    wait: str                               # its name
    at_least: Fraction = Fraction(0)        # minutes
    at_most: Fraction | None = None         # minutes; None: no limit
    place: str | None = None                # YAML key `in`: name or kind of a freezer, chiller, rack, bench...
    fills: Rate | None = None               # room it takes there
    after: tuple[After, ...] | None = None  # at most one entry for a wait


class Repeat(Model):
    repeat: int                             # how many rounds, 1..50
    steps: tuple["Step | Wait", ...]        # no repeat inside a repeat


class Use(Model):
    """How much of a component goes into one `makes` of the item that uses it, and how long it may stand in between."""

    amount: Quantity
    loss: Fraction = Fraction(0)            # share lost on the way: needed = amount / (1 - loss)
    at_least: Fraction = Fraction(0)        # minutes between the component's end and the step that takes it up
    at_most: Fraction | None = None
    place: str | None = None                # YAML key `in`
    fills: Rate | None = None


class Item(Model):
    """What is made: its yield, its ingredients, what it takes up, and its steps."""

    makes: Quantity
    pieces: Rate | None = None              # `24 discs per tray`: another unit to count it in
    loss: Fraction = Fraction(0)            # share of what is made that cannot be used
    ingredients: dict[str, Quantity] = {}   # for one `makes`
    uses: dict[str, Use] = {}               # taken up at the first step; for one `makes`
    steps: tuple[Step | Wait | Repeat, ...] = Field(min_length=1)


class Component(Item):
    pass


class Product(Item):
    makes: Quantity                         # default: 1 piece


class Order(Model):
    product: str
    quantity: int                           # in the product's base unit (pieces)
    due: Clock | None = None
    weight: int = 1                         # how much a late minute counts, 1..1000


class Shift(Model):
    opens: Clock
    closes: Clock


class Kitchen(Model):
    people: tuple[Person, ...]
    equipment: tuple[Equipment, ...]


class Scenario(Model):
    name: str
    shift: Shift
    kitchen: Kitchen
    components: dict[str, Component] = {}
    products: dict[str, Product]
    orders: tuple[Order, ...] = Field(min_length=1)
