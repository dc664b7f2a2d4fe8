"""A scenario in one file that uses every key of the format, for tests to break in one place at a time."""

VALID = """\
name: Lantern buns for the fair
shift: {opens: "05:00", closes: "17:30"}
ingredients:
  Almond flour: {contains: [almonds], weighs: 100 g per cup}
  leaf gelatin: {contains: none, bloom: 200, in_store: 160, convert: proportion}
kitchen:
  people:
    - {name: Ines, skills: [pastry, chocolate], hours: "05:00-13:30", breaks: ["09:00-09:30"]}
    - {name: Tomas, skills: pastry}
  equipment:
    - {name: deck oven, kind: oven, count: 2, holds: 4 trays, range: 120..280 C, heats: 6 C/min, cools: 3 C/min,
       out_of_use: [{between: "12:00-", unit: 2}]}
    - {name: fan oven, kind: oven, holds: 6 trays, range: 80..230 C, settings: [fan], chambers: 2, starts_at: 60 C,
       slower: 10 %}
    - name: planetary mixer
      kind: mixer
      holds: 20 l
      usable: 60 %
      least_fill: 5 %
      wash: 6 min
      changeovers:
        - {before: anything, after: egg white, takes: 9 min}
    - name: blast freezer
      kind: freezer
      holds: 16 trays
      out_of_use: 06:10-06:20
    - {name: long bench, kind: bench}
    - {name: trolley, kind: rack, holds: 40 trays}
stock:
  - {item: almond sponge, quantity: 20 discs, from: 06:00, use_by: day 2 14:00, in: trolley, fills: 1 tray per 20 discs}
goods:
  - {ingredient: egg white, from: "05:10"}
components:
  almond sponge:
    makes: 2 trays
    pieces: 24 discs per tray
    shelf_life: 3 days
    loss: 2 %
    ingredients:
      egg white: 180 g
      almond flour: 1/2 cup
    steps:
      - {name: whip whites, takes: 10..12 min, hands_on: first 2 min, equipment: mixer, fills: 3 l, holding: egg white}
      - name: fold and spread
        takes: 6 min + 2 min per tray
        people: 1 pastry
        also: {long bench: 1 place}
        after: {step: whip whites, at_most: 5 min}
      - name: bake
        takes: 11..13 min
        equipment: deck oven at 180 C or fan oven at 165 C fan
        fills: 1 tray per tray
        load: 2 min
        unload: 2 min
        batch: 2 trays
      - {wait: cool, at_least: 20 min, in: trolley}
      - {wait: freeze, at_least: 2 h, at_most: 3 days, in: freezer}
      - {name: cut discs, takes: 4 min per tray, people: 1 pastry}
  vanilla mousse:
    makes: 1.5 kg
    steps:
      - {name: whip cream, takes: 5 min, equipment: planetary mixer, fills: 2 l per kg}
      - name: cook base
        takes: 12 min
        hands_on: all
        after: none
        ingredients: {leaf gelatin: 6 leaves}
      - {wait: cool base, at_least: 15 min, at_most: 40 min}
      - {name: fold, takes: 4 min, after: [whip cream, cool base]}
products:
  lantern bun:
    uses: {almond sponge: 1 disc}
    steps:
      - name: fill
        takes: 1 min per 10 pieces
        people: 1 pastry and 1 chocolate
        uses:
          vanilla mousse: {amount: 45 g, loss: 5 %, at_most: 30 min}
      - repeat: 2
        steps:
          - {name: glaze, takes: 3 min}
          - {wait: drip, at_least: 5 min}
      - {name: box, takes: 2 min per 12 pieces}
orders:
  - {product: lantern bun, quantity: 240, due: "17:30", weight: 2}
  - {product: lantern bun, quantity: 24}
"""
