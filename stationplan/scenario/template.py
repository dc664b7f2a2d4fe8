"""A small commented scenario to start from. The product is invented."""

TEMPLATE = """\
# A scenario: a kitchen, what is made in it and how, and what is ordered. Change whatever you like, then make a plan.
# Times: 8 min, 1 h 30 min, 11..13 min. Times of day: "05:30". Temperatures: 180 C or 350 F.
name: Twelve dozen harbour tartlets
shift: {opens: "06:00", closes: "14:00"}

# Who and what there is. The kitchen may stand in a file of its own: kitchen: my-kitchen.yaml
kitchen:
  people:
    - {name: Odile, skills: [pastry]}
    - {name: Bram, hours: "07:00-14:00", breaks: "10:00-10:20"}
  equipment:
    - {name: deck oven, kind: oven, holds: 4 trays, range: 120..280 C, heats: 6 C/min, cools: 3 C/min}
    - {name: planetary mixer, kind: mixer, holds: 20 l, usable: 60 %, wash: 5 min}
    - {name: cold room, kind: chiller, holds: 20 trays}

# What is made in-house and goes into the products.
components:
  oat pastry:
    makes: 2 trays                  # what one recipe gives
    pieces: 24 shells per tray      # another way to count it
    ingredients: {flour: 600 g, oat flakes: 300 g, butter: 450 g, sugar: 200 g}
    steps:
      - {name: mix, takes: 6 min, equipment: planetary mixer, fills: 1.5 l per tray}
      - {wait: rest, at_least: 30 min, in: cold room}
      - {name: roll and line, takes: 5 min + 9 min per tray, people: 1 pastry}
      - {name: blind bake, takes: 14..16 min, equipment: deck oven at 170 C, load: 1 min, unload: 2 min}
      - {wait: cool, at_least: 20 min}

  plum cream:
    makes: 1 kg
    ingredients: {plum puree: 500 g, cream: 400 g, sugar: 100 g}
    steps:
      - {name: whip, takes: 5 min, hands_on: first 1 min and last 2 min, equipment: planetary mixer, fills: 2 l}

# What is sold. A product makes 1 piece unless it says otherwise.
products:
  harbour tartlet:
    uses: {oat pastry: 1 shell}
    steps:
      # Whipped cream does not keep: it is piped within 20 minutes.
      - name: fill
        takes: 3 min per 12 pieces
        people: 1 pastry
        batch: 48 pieces
        uses: {plum cream: {amount: 35 g, loss: 5 %, at_most: 20 min}}
      - {wait: set, at_least: 30 min, in: cold room, fills: 1 tray per 24 pieces}
      - {name: finish and box, takes: 2 min per 12 pieces}

# What is ordered. Orders may stand in a file of their own, also a spreadsheet: orders: orders.xlsx
orders:
  - {product: harbour tartlet, quantity: 144, due: "13:30"}
"""
