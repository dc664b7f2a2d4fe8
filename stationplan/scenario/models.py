"""The input as pydantic models: kitchen, recipes, orders and shift.

Every model is frozen. Text such as ``11..13 min`` is read into the value types of
:mod:`stationplan.scenario.units`; nothing here knows of files, tasks or solvers.
Durations are exact minutes, temperatures °C, shares 0 to 1. docs/format.md explains
each field to a cook.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, Discriminator, Field, Tag, field_validator, model_validator

from stationplan.scenario import fields, units
from stationplan.scenario.base import Model
from stationplan.scenario.errors import UnitError
from stationplan.scenario.exam import Exam
from stationplan.scenario.today import Goods, SlowerToday, Stock, TimesOutOfUse
from stationplan.scenario.units.durations import MINUTES_PER_DAY

EquipmentKind = Literal["oven", "prover", "mixer", "freezer", "chiller", "rack", "hob", "bench", "tool"]

WORDS_FOR_KINDS = {
    **dict.fromkeys(("stove", "stovetop", "cooktop", "cooker", "burner", "ring", "induction"), "hob"),
    **dict.fromkeys(("fridge", "refrigerator", "cooler", "cold room", "walk-in"), "chiller"),
    **dict.fromkeys(("blast freezer", "deep freezer"), "freezer"),
    **dict.fromkeys(("proofer", "proofing cabinet"), "prover"),
    **dict.fromkeys(("table", "counter", "worktop", "marble"), "bench"),
    **dict.fromkeys(("trolley", "cart", "shelf", "shelves"), "rack"),
}
"""What people also call a kind of equipment."""

ANYTHING = "anything"
"""In a changeover, stands for every content of a bowl."""


def _as_list(value: Any) -> Any:
    return [value] if isinstance(value, str | dict | int) else value


def _nothing_or_list(value: Any) -> Any:
    if isinstance(value, str) and value.strip().lower() == "none":
        return []
    return _as_list(value)


def _alternatives(value: Any) -> Any:
    if isinstance(value, str):
        return re.split(r"\s+or\s+", value.strip())
    return _as_list(value)


Names = Annotated[
    tuple[fields.Name, ...], BeforeValidator(_as_list, json_schema_input_type=fields.Name | tuple[fields.Name, ...])
]
Words = Annotated[
    tuple[fields.Word, ...], BeforeValidator(_as_list, json_schema_input_type=fields.Word | tuple[fields.Word, ...])
]


class Person(Model):
    """Somebody who works in the kitchen."""

    name: fields.Name = Field(description="Name, as it stands in the plan.")
    skills: Words = Field((), description="What this person can do, such as pastry or chocolate.")
    hours: fields.ClockSpans = Field((), description="When this person is in; without it, the whole shift.")
    breaks: fields.ClockSpans = Field((), description="When this person is not to be given work.")


class Changeover(Model):
    """Cleaning time between two contents of a mixer bowl; 'anything' stands for every content."""

    before: fields.Name = Field(description="What was in the bowl, or anything.")
    after: fields.Name = Field(description="What comes next, or anything.")
    takes: fields.Minutes = Field(description="Cleaning time.")


class Equipment(Model):
    """One entry of equipment: ``count`` identical machines or places."""

    name: fields.Name = Field(description="Name, as it stands in the plan.")
    kind: EquipmentKind = Field(description="What it is.")
    count: fields.Count = Field(1, description="How many identical ones there are.")
    chambers: fields.Count = Field(1, description="Oven, prover: chambers of each, every one with its own temperature.")
    holds: fields.Quantity | None = Field(
        None, description="Room of one chamber, bowl or place; without it, one batch at a time."
    )
    usable: fields.Share = Field(Fraction(1), description="Mixer: share of the bowl that may be filled.")
    least_fill: fields.Share = Field(Fraction(0), description="Mixer: least share of the bowl for it to work.")
    range: fields.TemperatureRange | None = Field(None, description="Oven, prover: lowest and highest temperature.")
    heats: fields.TemperatureRate | None = Field(None, description="Oven, prover: how fast it heats; default 10 C/min.")
    cools: fields.TemperatureRate | None = Field(None, description="Oven, prover: how fast it cools; default 4 C/min.")
    starts_at: fields.Temperature | None = Field(
        None, description="Oven, prover: temperature when the shift opens; default 20 C."
    )
    settings: Words = Field((), description="Oven, prover: modes besides the plain one, such as fan or steam.")
    wash: fields.Minutes = Field(Fraction(0), description="Mixer: washing time between two different contents.")
    changeovers: tuple[Changeover, ...] = Field((), description="Mixer: washing times that differ from wash.")
    slower: SlowerToday = Field((), description="How much longer everything takes on it, or on one of them, today.")
    out_of_use: TimesOutOfUse = Field((), description="When it, or one of them, cannot be used.")

    def slower_by(self, unit: int, chamber: int) -> Fraction:
        """The share by which everything takes longer on one chamber of a unit: what is said of it last."""
        return next((slow.by for slow in reversed(self.slower) if slow.meant(unit, chamber)), Fraction(0))


class EquipmentNeed(Model):
    """One way of doing a step: on which equipment, at which setting, and what differs there."""

    use: fields.Word = Field(description="Name or kind of the equipment, with the setting behind ' at '.")
    at: fields.Setting | None = Field(None, description="Oven, prover: temperature and mode.")
    takes: fields.StepTime | None = Field(None, description="Time on this equipment, if it differs.")
    fills: fields.Rate | None = Field(None, description="Room it takes in this equipment, if it differs.")

    @model_validator(mode="before")
    @classmethod
    def _split_setting(cls, value: Any) -> Any:
        parts = {"use": value} if isinstance(value, str) else value
        if not isinstance(parts, dict) or not isinstance(parts.get("use"), str):
            return parts
        use, *setting = re.split(r"\s+at\s+", parts["use"].strip(), maxsplit=1)
        if not setting:
            return parts
        if "at" in parts:
            raise UnitError(f"'{parts['use']}' has a setting and 'at' gives another; write only one of the two")
        return {**parts, "use": use, "at": setting[0]}


class After(Model):
    """A step or wait that must come before, with its own least and most."""

    step: fields.Name = Field(description="Name of a step or wait of the same item.")
    at_least: fields.Minutes = Field(Fraction(0), description="Least time in between.")
    at_most: fields.Minutes | None = Field(None, description="Most time in between; without it, no limit.")

    @model_validator(mode="before")
    @classmethod
    def _from_name(cls, value: Any) -> Any:
        return {"step": value} if isinstance(value, str | int) else value


class Use(Model):
    """How much of a component goes into one ``makes`` of the item that uses it, and how long it may stand meanwhile."""

    amount: fields.Quantity = Field(description="Amount for one recipe of the item.")
    loss: fields.Loss = Field(Fraction(0), description="Share lost on the way.")
    at_least: fields.Minutes = Field(Fraction(0), description="Least time between the component and this step.")
    at_most: fields.Minutes | None = Field(None, description="Most time between the component and this step.")
    place: fields.Word | None = Field(None, alias="in", description="Where it stands in between.")
    fills: fields.Rate | None = Field(None, description="Room it takes there.")

    @model_validator(mode="before")
    @classmethod
    def _from_amount(cls, value: Any) -> Any:
        return {"amount": value} if isinstance(value, str | int | float) else value


Alternatives = Annotated[
    tuple[EquipmentNeed, ...],
    BeforeValidator(
        _alternatives, json_schema_input_type=fields.Name | EquipmentNeed | tuple[fields.Name | EquipmentNeed, ...]
    ),
]
Afters = Annotated[
    tuple[After, ...],
    BeforeValidator(_nothing_or_list, json_schema_input_type=fields.Name | After | tuple[fields.Name | After, ...]),
]
Uses = Annotated[
    dict[fields.Name, Use],
    BeforeValidator(lambda value: value, json_schema_input_type=dict[str, fields.Quantity | Use]),
]

Ingredients = dict[fields.Name, fields.Quantity]


class Step(Model):
    """One thing done to a component or product."""

    name: fields.Name = Field(description="Name, unique within the item.")
    takes: fields.StepTime = Field(description="How long it takes.")
    hands_on: fields.HandsOn | None = Field(
        None, description="The part that needs hands; without it, all if it has people or no equipment, else none."
    )
    load: fields.Minutes = Field(Fraction(0), description="Loading time before it, on the equipment, with a person.")
    unload: fields.Minutes = Field(Fraction(0), description="Unloading time after it, on the equipment, with a person.")
    people: fields.People = Field((), description="Whose hands; without it, one person of any skill.")
    equipment: Alternatives = Field((), description="Where it can be done; alternatives joined by ' or '.")
    also: dict[fields.Word, fields.Quantity] = Field(
        default={}, description="Further places needed for the whole step, such as {bench: 1 place}."
    )
    fills: fields.Rate | None = Field(None, description="Room the batch takes in the equipment.")
    holding: fields.Name | None = Field(
        None, description="Mixer: what is in the bowl, for washing; without it, the item's name."
    )
    batch: fields.Quantity | None = Field(None, description="Largest batch wanted.")
    after: Afters | None = Field(
        None, description="What must come before: names, or none; without it, the entry above."
    )
    uses: Uses = Field(default={}, description="Components taken up at this step, for one recipe.")
    ingredients: Ingredients = Field(default={}, description="Ingredients that go in at this step, for one recipe.")

    def hands(self) -> units.HandsOn:
        """The part of ``takes`` that needs hands, with the default worked out."""
        if self.hands_on is not None:
            return self.hands_on
        unattended = bool(self.equipment or self.load or self.unload)
        return units.HandsOn(all=bool(self.people) or not unattended)


class Wait(Model):
    """Time between two steps."""

    wait: fields.Name = Field(description="Name, unique within the item.")
    at_least: fields.Minutes = Field(Fraction(0), description="Least time.")
    at_most: fields.Minutes | None = Field(None, description="Most time; without it, no limit.")
    place: fields.Word | None = Field(None, alias="in", description="Where it waits, such as freezer or rack.")
    fills: fields.Rate | None = Field(None, description="Room it takes there.")
    after: Afters | None = Field(
        None, description="What it comes after, at most one name; without it, the entry above."
    )


def _entry_kind(value: Any) -> str | None:
    if isinstance(value, BaseModel):
        return f"<{type(value).__name__.lower()}>"
    if isinstance(value, dict):
        return next((f"<{kind}>" for kind in ("repeat", "wait") if kind in value), "<step>")
    return "<step>"


def _inner_entry_kind(value: Any) -> str | None:
    kind = _entry_kind(value)
    return None if kind == "<repeat>" else kind


InnerEntry = Annotated[
    Annotated[Step, Tag("<step>")] | Annotated[Wait, Tag("<wait>")],
    Discriminator(
        _inner_entry_kind,
        custom_error_type="repeat_in_repeat",
        custom_error_message="a repeat cannot stand inside another repeat; write its steps out",
    ),
]


class Repeat(Model):
    """Entries that stand several times in a row."""

    repeat: fields.Rounds = Field(description="How many rounds.")
    steps: tuple[InnerEntry, ...] = Field(min_length=1, description="The steps and waits of one round.")


Entry = Annotated[
    Annotated[Step, Tag("<step>")] | Annotated[Wait, Tag("<wait>")] | Annotated[Repeat, Tag("<repeat>")],
    Discriminator(_entry_kind),
]


class Item(Model):
    """What is made: its yield, its ingredients, what it takes up, and its steps."""

    makes: fields.Quantity = Field(description="What one recipe gives.")
    pieces: fields.Rate | None = Field(None, description="Another unit to count it in, such as 24 discs per tray.")
    loss: fields.Loss = Field(Fraction(0), description="Share of what is made that cannot be used.")
    shelf_life: fields.Minutes | None = Field(
        None, description="Component: how long after its last step it may be taken up; without it, no limit."
    )
    ingredients: Ingredients = Field(default={}, description="Ingredients of one recipe that go in at the first step.")
    uses: Uses = Field(default={}, description="Components taken up at the first step, for one recipe.")
    steps: tuple[Entry, ...] = Field(min_length=1, description="Steps, waits and repeats, in order.")

    @property
    def all_steps(self) -> tuple[Step, ...]:
        """Its steps without the waits, each once, those of repeats too."""
        inner = (one for entry in self.steps for one in (entry.steps if isinstance(entry, Repeat) else (entry,)))
        return tuple(one for one in inner if isinstance(one, Step))

    def step_called(self, name: str) -> Step | None:
        """The step of this name, None where there is none."""
        return next((step for step in self.all_steps if step.name == name), None)

    def takes_in(self, ingredient: str, step: str, *, first: bool) -> bool:
        """Whether an ingredient goes in at a step; ``first`` is whether that is the item's first step."""
        of_step = self.step_called(step)
        own = of_step is not None and ingredient in of_step.ingredients
        return own or (first and ingredient in self.ingredients)


class Component(Item):
    """Something made in-house with its own recipe."""


class Product(Item):
    """A finished item assembled from components."""

    makes: fields.Quantity = Field(
        units.Quantity(Fraction(1), "piece", "piece"), description="What one recipe gives; without it, 1 piece."
    )


class Ingredient(Model):
    """What is known of an ingredient, whichever recipe it stands in."""

    contains: fields.Allergens | None = Field(
        None, description="Allergens in it, or none; without it, nothing is declared."
    )
    weighs: fields.Rate | None = Field(None, description="What one piece or measure weighs, such as 50 g per egg.")
    bloom: fields.Bloom | None = Field(None, description="Gelatin: the strength that the recipes reckon with.")
    in_store: fields.Bloom | None = Field(None, description="Gelatin: the strength of what is in the store.")
    convert: fields.Conversion | None = Field(
        None, description="Gelatin: how the one is replaced by the other, by proportion or by root."
    )


class Order(Model):
    """So many of a product, for a time."""

    product: fields.Name = Field(description="Name of a product.")
    quantity: fields.OrderQuantity = Field(description="How many, in the product's unit.")
    due: fields.Clock | None = Field(None, description="When it must be ready; without it, as soon as possible.")
    weight: fields.Weight = Field(1, description="How much a late minute counts.")


class Shift(Model):
    """From when to when the kitchen works."""

    opens: fields.Clock = Field(description="When work can begin.")
    closes: fields.Clock = Field(description="When work must end; earlier than opens means the next day.")

    @field_validator("closes", mode="after")
    @classmethod
    def _next_day(cls, closes: units.Clock, info: Any) -> units.Clock:
        opens = info.data.get("opens")
        if opens is not None and closes == opens:
            raise UnitError(f"the shift closes when it opens, at {opens}; write when it ends")
        # Only a bare time of day can mean the next day: `day 1` is also a bare one.
        while opens is not None and closes < opens:
            closes = units.Clock(closes + MINUTES_PER_DAY)
        return closes


class Kitchen(Model):
    """Who and what there is to work with."""

    people: tuple[Person, ...] = Field(description="The people.")
    equipment: tuple[Equipment, ...] = Field(description="The equipment.")


class Scenario(Model):
    """Everything a plan is made from."""

    name: fields.Name = Field(description="What this scenario is called.")
    shift: Shift = Field(description="From when to when the kitchen works.")
    kitchen: Kitchen = Field(description="People and equipment.")
    ingredients: dict[fields.Name, Ingredient] = Field(default={}, description="What is known of ingredients, by name.")
    components: dict[fields.Name, Component] = Field(default={}, description="Components by name.")
    products: dict[fields.Name, Product] = Field(description="Products by name.")
    orders: tuple[Order, ...] = Field(min_length=1, description="What is ordered.")
    stock: tuple[Stock, ...] = Field((), description="What is made already.")
    goods: tuple[Goods, ...] = Field((), description="Ingredients that come after opening.")
    exam: Exam | None = Field(None, description="A practical exam; its menu takes the place of the orders.")

    @property
    def items(self) -> dict[str, Item]:
        """Components, then products, by name; no two have the same."""
        return {**self.components, **self.products}

    @model_validator(mode="before")
    @classmethod
    def _order_the_menu(cls, value: Any) -> Any:
        """What one candidate makes is what an exam orders."""
        exam = value.get("exam") if isinstance(value, dict) else None
        menu = exam.get("menu") if isinstance(exam, dict) else None
        if not isinstance(menu, list) or "orders" in value:
            return value
        keys = ("product", "quantity")
        dishes = [{key: dish[key] for key in keys if key in dish} for dish in menu if isinstance(dish, dict)]
        return {**value, "orders": dishes}
