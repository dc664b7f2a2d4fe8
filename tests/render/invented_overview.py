"""An overview of the invented kitchen."""

from __future__ import annotations

from stationplan.plan.preview import BusyRow, ItemRow, LoadRow, Preview

OVERVIEW = Preview(
    name="Saturday order",
    opens=300,
    closes=1050,
    orders=("120 pear entremet due 14:30", "6 trays of sablé Breton"),
    people=("Ines", "Marc 05:00-13:00, break 09:00-09:30", "Zoé 08:00-17:30, break 12:00-12:30"),
    items=(
        ItemRow("hazelnut sponge", "7.5 trays", "8 trays", "2 to 4"),
        ItemRow("pear insert", "118 pieces", "120 pieces", "2"),
        ItemRow("crème légère with vanilla of two harvests", "5.28 kg", "5.4 kg", "2"),
        ItemRow("pear entremet", "120 pieces", "120 pieces", "2"),
    ),
    loads=(
        LoadRow("deck oven", "hazelnut sponge: bake", 4, "2 of 4 trays"),
        LoadRow("planetary mixer", "hazelnut sponge: whip whites", 2, "9 of 12 l"),
        LoadRow("planetary mixer", "crème légère with vanilla of two harvests: whip", 2, "5 of 12 l"),
    ),
    busy=(
        BusyRow("planetary mixer", 52, 1500, 120),
        BusyRow("deck oven", 136, 1500, 240),
        BusyRow("blast freezer", 0, 0, 0),
        BusyRow("Ines, Marc or Zoé", 2100, 2070, 345),
    ),
    bound=345,
    because="Ines, Marc or Zoé: 2100 minutes of work",
)
