"""What all models of the input share."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, model_validator


class Model(BaseModel):
    """Base of the input: immutable, no unknown keys; None for a known key counts as not given."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    @classmethod
    def written_keys(cls) -> tuple[str, ...]:
        """The keys as a user writes them."""
        return tuple(field.alias or name for name, field in cls.model_fields.items())

    @model_validator(mode="before")
    @classmethod
    def _drop_empty(cls, value: Any) -> Any:
        if not isinstance(value, dict):
            return value
        # An unknown key is refused even with nothing behind it: in YAML, `{at_least:2 h}` is a key of that name.
        known = cls.written_keys()
        return {key: part for key, part in value.items() if part is not None or key not in known}
