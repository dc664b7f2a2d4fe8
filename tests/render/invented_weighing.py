"""What to weigh in an invented kitchen, with everything that a page can show."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from stationplan.plan.allergens import Declared, Handover
from stationplan.plan.document import Batch
from stationplan.plan.eggs import Eggs
from stationplan.plan.ingredients import BatchContents, Contents, Converted, Portion, Taken
from stationplan.plan.weighing import Weighing
from stationplan.scenario.units import Quantity, parse_quantity


def portion(name: str, amount: str, grams: str = "", pieces: str = "", instead_of: Converted | None = None) -> Portion:
    quantity = parse_quantity(amount)
    weight = quantity.amount if quantity.unit == "g" else Fraction(grams) if grams else None
    return Portion(name, quantity, weight, parse_quantity(pieces) if pieces else None, instead_of)


def batch(label: str, item: str, step: str, size: str, recipes: str, *parts: Portion | Taken) -> BatchContents:
    return BatchContents(
        label,
        item,
        step,
        parse_quantity(size),
        Fraction(recipes),
        tuple(part for part in parts if isinstance(part, Portion)),
        tuple(part for part in parts if isinstance(part, Taken)),
    )


def planned(label: str, item: str, step: str, start: int, end: int) -> Batch:
    return Batch(label=label, item=item, step=step, number=1, of=1, first="0", last="1", unit="g", start=start, end=end)


MASS = Converted(Quantity(Fraction(36), "g"), 200, 160)
SPONGE = (
    portion("egg white", "390 g", pieces="13 whites"),
    portion("ground hazelnut", "285 g"),
    portion("Sucre glace d'Orléans, tamisé deux fois et tenu au sec dans une boîte fermée", "225 g"),
)
BATCHES = (
    batch("Aa1", "noisette sponge", "whip whites", "1 1/2 trays", "3/2", *SPONGE),
    batch("Aa2", "noisette sponge", "whip whites", "1 1/2 trays", "3/2", *SPONGE),
    batch(
        *("Ba1", "crème légère", "soak and boil", "2784 g", "270/97"),
        portion("gelatin", "45 g", pieces="18 sheets", instead_of=MASS),
        portion("milk", "1250 ml", grams="1287.5"),
        portion("egg yolk", "248 g", pieces="13.78 yolks"),
        portion("sugar", "1 1/5 cups"),
        portion("salt", "2.34 g"),
        portion("vanilla", "2 1/2 pods"),
    ),
    batch(
        *("Ca1", "entremet", "build", "20 pieces", "20"),
        Taken("crème légère", parse_quantity("1080 g"), ("Bd1",)),
        Taken("noisette sponge", parse_quantity("20 5/6 discs"), ("Ad1", "Ad2", "Ad3", "Ad4", "Ad5")),
    ),
)
BEFORE = Weighing(
    name="Saturday order",
    orders="20 entremet and 6 trays of sablé Breton",
    batches=BATCHES,
    store=Contents(BATCHES).totals(),
    eggs=Eggs(0, 26, 14),
    contains={},
    items=(),
)
PLANNED = replace(
    BEFORE,
    starts={"Aa1": 305, "Aa2": 332, "Ba1": 318, "Ca1": 620},
    contains={"milk": ("milk",), "egg white": ("egg",), "ground hazelnut": ("tree nuts",), "sugar": ()},
    items=(
        (
            "entremet",
            Declared(frozenset({"egg", "milk", "tree nuts"}), frozenset({"gelatin", "salt", "vanilla", "egg yolk"})),
        ),
        ("sablé Breton", Declared()),
    ),
    handovers=(
        Handover(
            *("planetary mixer 2", ("egg", "tree nuts"), planned("Aa1", "noisette sponge", "whip whites", 305, 317)),
            *(317, planned("Ba1", "crème légère", "soak and boil", 330, 340), 330, (317, 323), ("salt",)),
        ),
    ),
)
