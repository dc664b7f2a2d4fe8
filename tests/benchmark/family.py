"""A family of kitchen problems of any size, to measure the engine with.

Each product is made in identical batches of 16 tasks: a sponge (melt, whip, fold, bake,
freeze, cut), a crisp (mix, three short bakes), a mousse (custard, cool to a window,
whip, fold), a cream; then assembly, freezing and finishing. A seed draws the times and
temperatures of each product; the shape moves the bottleneck. Times are minutes.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from dataclasses import dataclass

SHAPES = ("people", "ovens", "freezer")
CAPACITIES = {
    "people": {"people": 3, "hob": 4, "mixer": 2, "freezer": 12},
    "ovens": {"people": 6, "hob": 4, "mixer": 4, "freezer": 24},
    "freezer": {"people": 6, "hob": 4, "mixer": 4, "freezer": 9},
}


@dataclass(frozen=True, slots=True)
class KitchenTask:
    """A task of one batch: what it takes of the pools and, if it is a bake, the oven slots and degrees."""

    name: str
    product: int
    batch: int
    minutes: int
    needs: Mapping[str, int]
    slots: int = 0
    celsius: int = 0


@dataclass(frozen=True, slots=True)
class KitchenLink:
    """From the end of ``before`` to the start of ``after`` at least ``least`` minutes and at most ``most``."""

    before: int
    after: int
    least: int
    most: int | None


@dataclass(frozen=True, slots=True)
class Kitchen:
    """Tasks in order of products, batches and stages; the last one is to end as early as possible.

    Any of the ovens may take a bake. Bakes share an oven's slots when they need the same
    temperature; ``heats`` and ``cools`` are degrees a minute of the empty oven, which
    starts the day at whatever temperature comes first.
    """

    tasks: tuple[KitchenTask, ...]
    links: tuple[KitchenLink, ...]
    pools: Mapping[str, int]
    ovens: int = 2
    slots: int = 8
    heats: int = 8
    cools: int = 4

    def changeover(self, one: int, other: int) -> int:
        """Minutes an oven stands empty to get from one temperature to another, both in degrees Celsius."""
        rate = self.heats if other > one else self.cools
        return max(1, math.ceil(abs(other - one) / rate))


@dataclass(frozen=True, slots=True)
class _Recipe:
    """What the seed draws for a product."""

    hot: int
    mild: int
    bake: int
    freeze: int
    assembly: int
    cool: int


def kitchen(products: int, batches: int, seed: int = 0, shape: str = "people") -> Kitchen:
    """Make the member of the family with so many products, each in so many batches of 16 tasks."""
    draw = random.Random(seed)
    builder = _Builder(wide=6 if shape == "ovens" else 4)
    for product in range(products):
        # The order of the draws is part of the family: another one would give other numbers for the same seed.
        recipe = _Recipe(
            hot=draw.choice([160, 175, 175, 190]),
            mild=draw.choice([160, 175, 160]),
            bake=draw.randint(8, 22) + (25 if shape == "ovens" else 0),
            freeze=draw.choice([60, 90, 120]),
            assembly=draw.randint(20, 40),
            cool=draw.choice([20, 30, 40]),
        )
        for batch in range(batches):
            builder.add_batch(product, batch, recipe)
    return Kitchen(tuple(builder.tasks), tuple(builder.links), CAPACITIES[shape])


class _Builder:
    """Collects the tasks and links of one batch after another; ``wide`` is the slots that a sponge takes."""

    def __init__(self, wide: int) -> None:
        self.tasks: list[KitchenTask] = []
        self.links: list[KitchenLink] = []
        self._wide = wide

    def add_batch(self, product: int, batch: int, recipe: _Recipe) -> None:
        def add(name: str, minutes: int, *needs: str, slots: int = 0, celsius: int = 0) -> int:
            self.tasks.append(KitchenTask(name, product, batch, minutes, dict.fromkeys(needs, 1), slots, celsius))
            return len(self.tasks) - 1

        def link(before: int, after: int, least: int = 0, most: int | None = None) -> None:
            self.links.append(KitchenLink(before, after, least, most))

        melt = add("melt", 10, "hob", "people")
        whip = add("whip", 10, "mixer")
        fold = add("fold", 10, "people")
        bake = add("bake", recipe.bake, slots=self._wide, celsius=recipe.hot)
        cut = add("cut", 15, "people")
        link(melt, fold, 0, 30)
        link(whip, fold, 0, 5)
        link(fold, bake, 0, 15)
        link(bake, cut, recipe.cool + recipe.freeze)

        crisp = add("crisp mix", 8, "mixer", "people")
        for turn in range(3):
            baked = add(f"crisp bake {turn}", 7, slots=2, celsius=recipe.mild)
            link(crisp, baked, *((2, 6) if turn else (0, 60)))
            crisp = baked

        custard = add("custard", 15, "hob", "people")
        whip_cream = add("whip cream", 8, "mixer")
        mousse = add("mousse fold", 8, "people")
        link(custard, mousse, 20, 45)
        link(whip_cream, mousse, 0, 10)

        cream = add("cream", 6, "mixer", "people")
        assemble = add("assemble", recipe.assembly, "people")
        link(mousse, assemble, 0, 15)
        link(cream, assemble, 0, 60)
        link(cut, assemble)
        link(crisp, assemble, 25)

        self.tasks.append(KitchenTask("freeze", product, batch, 120, {"freezer": 3}))
        freeze = len(self.tasks) - 1
        link(assemble, freeze, 0, 15)
        finish = add("finish", 20, "people")
        link(freeze, finish)
