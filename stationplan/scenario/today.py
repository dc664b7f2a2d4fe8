"""What is not as on other days: equipment out of use, goods that come late, what is there already."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator

from stationplan.scenario import fields
from stationplan.scenario.base import Model


class OutOfUse(Model):
    """A time in which equipment, or one unit of it, cannot be used."""

    between: fields.OpenSpan = Field(description="From when to when; with nothing behind the dash, until closing.")
    unit: fields.Count | None = Field(None, description="Which one, where there are several; without it, all of them.")

    def __str__(self) -> str:
        return str(self.between) if self.unit is None else f"{self.between} (number {self.unit})"

    @model_validator(mode="before")
    @classmethod
    def _from_span(cls, value: Any) -> Any:
        return {"between": value} if isinstance(value, str) else value


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
