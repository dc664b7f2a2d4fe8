"""The scheduling engine: a problem as plain data in, a verified schedule with bounds out.

It knows nothing of kitchens, recipes or clocks. Start reading at :func:`solve`.
"""

from typing import TYPE_CHECKING, Any

from stationplan.engine.errors import EngineError, ModelError, ProblemError
from stationplan.engine.problem import (
    Assignment,
    Chamber,
    Closure,
    Consumable,
    Delivery,
    Hold,
    Link,
    LinkKind,
    Mode,
    Pool,
    Problem,
    Schedule,
    Task,
    Use,
)
from stationplan.engine.result import Bound, BoundKind, Conflict, Progress, Result, Status, Tier, TierName

if TYPE_CHECKING:
    from stationplan.engine.solving import solve

__all__ = [
    "Assignment",
    "Bound",
    "BoundKind",
    "Chamber",
    "Closure",
    "Conflict",
    "Consumable",
    "Delivery",
    "EngineError",
    "Hold",
    "Link",
    "LinkKind",
    "Mode",
    "ModelError",
    "Pool",
    "Problem",
    "ProblemError",
    "Progress",
    "Result",
    "Schedule",
    "Status",
    "Task",
    "Tier",
    "TierName",
    "Use",
    "solve",
]


def __getattr__(name: str) -> Any:
    """Import ``solve``, and with it the solver, only when it is asked for."""
    if name == "solve":
        from stationplan.engine.solving import solve

        return solve
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
