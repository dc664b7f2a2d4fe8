"""What is not as on other days: equipment out of use or slower, goods that come late, what is there already."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator

from stationplan.scenario import fields
from stationplan.scenario.base import Model


class OfSome(Model):
    """Something that is said of equipment, of one unit of it, or of one chamber."""

    unit: fields.Count | None = Field(None, description="Which one, where there are several; without it, all of them.")
    chamber: fields.Count | None = Field(
        None, description="Oven, prover: which chamber of it; without it, all of them."
    )

    def meant(self, unit: int, chamber: int) -> bool:
        """Whether it is said of a unit's chamber, both counted from 1; what has no chambers has one."""
        return self.unit in (None, unit) and self.chamber in (None, chamber)


class OutOfUse(OfSome):
    """A time in which equipment, or a part of it, cannot be used."""

    between: fields.OpenSpan = Field(description="From when to when; with nothing behind the dash, until closing.")

    def __str__(self) -> str:
        if self.unit is None and self.chamber is None:
            return str(self.between)
        unit = [] if self.unit is None else [f"number {self.unit}"]
        chamber = [] if self.chamber is None else [f"chamber {self.chamber}"]
        return f"{self.between} ({', '.join([*unit, *chamber])})"

    @model_validator(mode="before")
    @classmethod
    def _from_span(cls, value: Any) -> Any:
        return {"between": value} if isinstance(value, str) else value


class Slower(OfSome):
    """How much longer everything takes today on equipment, or on a part of it."""

    by: fields.Share = Field(description="The share by which it takes longer.")

    @model_validator(mode="before")
    @classmethod
    def _from_share(cls, value: Any) -> Any:
        return value if isinstance(value, dict) else {"by": value}


class Goods(Model):
    """An ingredient that is not there when the kitchen opens."""

    ingredient: fields.Name = Field(description="Its name, as in the recipes.")
    since: fields.Clock = Field(alias="from", description="When it is there.")


class Stock(Model):
    """Some of a component or product that is there already, made ahead or found."""

    item: fields.Name = Field(description="Name of a component or product.")
    quantity: fields.Quantity = Field(description="How much there is.")
    since: fields.Clock | None = Field(None, alias="from", description="When it is there; without it, at opening.")
    use_by: fields.Clock | None = Field(
        None, description="Component: no batch may take it up that begins later; without it, no limit."
    )
    place: fields.Word | None = Field(None, alias="in", description="Where it stands until it is taken up.")
    fills: fields.Rate | None = Field(None, description="Room it takes there.")


TimesOutOfUse = Annotated[
    tuple[OutOfUse, ...],
    BeforeValidator(
        lambda value: [value] if isinstance(value, str | dict) else value,
        json_schema_input_type=str | OutOfUse | tuple[str | OutOfUse, ...],
    ),
]

SlowerToday = Annotated[
    tuple[Slower, ...],
    BeforeValidator(
        lambda value: list(value) if isinstance(value, list | tuple) else [value],
        json_schema_input_type=str | Slower | tuple[str | Slower, ...],
    ),
]
