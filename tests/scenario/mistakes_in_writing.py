"""Keys, values and YAML that cannot be read."""

from __future__ import annotations

from .mistake import Mistake

MISTAKES_IN_WRITING = {
    # Unknown and missing keys
    "unknown key at the top": Mistake(
        "shift:", "shfit:", "shfit:", "'shfit' is not known here (did you mean 'shift'?)"
    ),
    "unknown key of a step": Mistake("takes: 1 min per", "take: 1 min per", "take: 1 min", "did you mean 'takes'?"),
    "unknown key of a wait": Mistake("at_least: 5 min}", "least: 5 min}", "wait: drip", "'least' is not known here"),
    "unknown key of equipment": Mistake("wash: 6 min", "whash: 6 min", "whash", "did you mean 'wash'?"),
    "unknown key of a use": Mistake("loss: 5 %, at", "lost: 5 %, at", "lost:", "did you mean 'loss'?"),
    "unknown key of a changeover": Mistake(
        "after: egg white, takes", "then: egg white, takes", "then:", "'then' is not"
    ),
    "step without a time": Mistake(
        "glaze, takes: 3 min", "glaze", "name: glaze", "'glaze' has no 'takes'; write takes: 8 min"
    ),
    "nothing behind a key": Mistake(
        "makes: 1.5 kg", "makes:", "    makes:\n    steps", "there is nothing behind 'makes'"
    ),
    "nothing behind a key that may be left out": Mistake(
        "at_least: 5 min}",
        "at_least: }",
        "wait: drip",
        "there is nothing behind 'at_least'; write at_least: 2 h, or leave",
    ),
    "no space behind a colon": Mistake(
        "at_least: 5 min}", "at_least:5 min}", "at_least:5", "no space behind its colon; write at_least: 5 min"
    ),
    "no colon": Mistake("at_least: 5 min}", "at_least 5 min}", "at_least 5", "has no colon; write at_least: 5 min"),
    "a value without a key": Mistake(
        "at_least: 5 min}", "5 min}", "drip, 5 min", "stands here without a key; write one of"
    ),
    "a value of one word without a key": Mistake(
        "glaze, takes", "glaze, pastry, takes", "glaze, pastry", "is not known here"
    ),
    "a component without a space behind its colon": Mistake(
        "{almond sponge: 1 disc}", "{almond sponge:1 disc}", "sponge:1", "write almond sponge: 1 disc"
    ),
    "a limit in after without a space behind its colon": Mistake(
        "whites, at_most: 5", "whites, at_most:5", "at_most:5", "write at_most: 5 min"
    ),
    "an ingredient without an amount": Mistake(
        "egg white: 180 g", "egg white:", "egg white:", "nothing behind 'egg white'"
    ),
    "nothing behind the recipes": Mistake("orders:\n", "recipes:\norders:\n", "recipes:", "nothing behind 'recipes'"),
    "equipment without a kind": Mistake("bench, kind: bench", "bench", "long bench}", "'long bench' has no 'kind'"),
    "order without a quantity": Mistake("bun, quantity: 24}", "bun}", "lantern bun}", "this order has no 'quantity'"),
    "no shift": Mistake(
        'shift: {opens: "05:00", closes: "17:30"}\n', "", "name: Lantern", "the scenario has no 'shift'"
    ),
    # Values that cannot be read
    "a bare number for a time": Mistake(
        "glaze, takes: 3 min", "glaze, takes: 3", "takes: 3}", "'3' has no unit; say 3 min"
    ),
    "a misspelled unit of time": Mistake(
        "takes: 9 min}", "takes: 9 mns}", "9 mns", "'mns' is no unit of time (did you mean"
    ),
    "a range the wrong way round": Mistake("11..13 min", "13..11 min", "13..11 min", "write the shorter time first"),
    "a range with a dash": Mistake(
        "11..13 min", "11-13 min", "11-13 min", "write it with two dots, such as 11..13 min"
    ),
    "a time that is a quantity": Mistake("takes: 12 min", "takes: 12 trays", "12 trays", "'trays' is no unit of time"),
    "a negative time": Mistake("at_least: 20 min", "at_least: -20 min", "-20 min", "'-20 min' is below zero"),
    "a bare number for a quantity": Mistake("makes: 2 trays", "makes: 2", "makes: 2\n", "'2' has no unit"),
    "a decimal comma": Mistake("makes: 1.5 kg", "makes: 1,5 kg", "1,5 kg", "write a decimal point, such as 1.5 kg"),
    "a temperature without a unit": Mistake("at 180 C", "at 180", "at 180 or", "say 180 C or 180 F"),
    "a temperature range upside down": Mistake(
        "120..280 C", "280..120 C", "280..120", "write the lower temperature first"
    ),
    "an hour that does not exist": Mistake('due: "17:30"', 'due: "25:00"', "25:00", "they go from 00:00 to 24:00"),
    "a number for a time of day": Mistake('due: "17:30"', "due: 1730", "due: 1730", "'1730' is not a time of day"),
    "a break that ends before it starts": Mistake(
        '"09:00-09:30"', '"day 2 09:00-day 1 09:30"', "day 1 09", "ends no later"
    ),
    "a share above one": Mistake("usable: 60 %", "usable: 160 %", "160 %", "more than the whole"),
    "a loss of everything": Mistake("loss: 2 %", "loss: 100 %", "loss: 100 %", "would leave nothing"),
    "a changeover spelled in another way than the bowl's content": Mistake(
        "after: egg white", "after: Egg White", "after: Egg White", "(did you mean 'egg white'?)"
    ),
    "room in a small unit": Mistake(
        "deck oven, kind: oven, count: 2, holds: 4 trays",
        "deck oven, kind: oven, count: 2, holds: 4 l",
        "fills: 1 tray per tray",
        "write it so, such as fills: 1 l per tray",
    ),
    "a quantity in the wrong word": Mistake("quantity: 24}", "quantity: 24 boxes}", "24 boxes", "is ordered in pieces"),
    "part of a piece": Mistake("quantity: 24}", "quantity: 1.5 pieces}", "1.5 pieces", "is not a whole number from 1"),
    "a person instead of a skill": Mistake(
        "people: 1 pastry and 1 chocolate",
        "people: Tomas",
        "people: Tomas\n",
        "Tomas is a person, and 'people' takes a number and a skill, such as 1 pastry; skills are chocolate, pastry; "
        "for what only Tomas may do, give Tomas a skill that nobody else has",
    ),
    "a skill that is like no other": Mistake(
        "people: 1 pastry and 1 chocolate",
        "people: 1 welder",
        "1 welder",
        "the skill 'welder'; skills are chocolate, pas",
    ),
    "a point in a time of day": Mistake(
        'due: "17:30"', "due: 17.30", "due: 17.30", "'17.30' is not a time of day; write 17:30"
    ),
    "a time of day with an h": Mistake('due: "17:30"', "due: 17h30", "due: 17h30", "write 17:30"),
    "a prime for minutes": Mistake(
        "takes: 12 min", "takes: 12'", "takes: 12'", "the mark ' is no unit of time; write 12 min"
    ),
    "room the wrong way round": Mistake(
        "{name: box, takes",
        "{name: box, equipment: trolley, fills: 50 pieces per tray, takes",
        "50 pieces",
        "'50 pieces per tray' is the wrong way round: how much room how many take; write fills: 1 tray per 50 pieces",
    ),
    "room the wrong way round in a place": Mistake(
        "drip, at_least",
        "drip, in: trolley, fills: 50 pieces per tray, at_least",
        "50 pieces",
        "write fills: 1 tray per 50 p",
    ),
    "room the wrong way round of what is made in trays": Mistake(
        "fills: 1 tray per tray", "fills: 24 discs per tray", "fills: 24 discs", "write fills: 1 tray per 24 discs"
    ),
    "pieces without a word": Mistake(
        "24 discs per tray", "24 per tray", "24 per tray", "write 24 bases per tray, in a word of"
    ),
    "shelves in a place counted in trays": Mistake(
        "drip, at_least",
        "drip, in: trolley, fills: 3 shelves, at_least",
        "3 shelves",
        "'trolley' is counted in trays, not in shelves; write it so, such as fills: 3 trays",
    ),
    "no room said for pieces on trays": Mistake(
        "drip, at_least",
        "drip, in: trolley, at_least",
        "in: trolley, at_least: 5",
        "such as fills: 1 tray per 12 pieces",
    ),
    "a temperature without at": Mistake(
        "deck oven at 180 C or",
        "deck oven 180 C or",
        "oven 180 C",
        "'deck oven 180 c' has no 'at' in it; write deck oven at 180 C",
    ),
    "another sign than at": Mistake(
        "deck oven at 180 C or fan oven at 165 C fan", "deck oven @ 180°C", "@ 180", "write deck oven at 180°C"
    ),
    "another word for a kind": Mistake(
        "kind: freezer",
        "kind: fridge",
        "kind: fridge",
        "'fridge' is no kind of equipment; the word for it is chiller; kinds",
    ),
    "another word for a kind in a recipe": Mistake(
        "equipment: mixer,",
        "equipment: table,",
        "equipment: table",
        "the kitchen has no 'table'; the word for it is bench",
    ),
    "unclear hands": Mistake(
        "hands_on: first 2 min", "hands_on: 2 min", "hands_on: 2 min", "write all, none, first 2 min"
    ),
    "unclear people": Mistake(
        "people: 1 pastry and", "people: 1 pastry or", "1 pastry or", "does not say how many people"
    ),
    "an unknown kind": Mistake("kind: freezer", "kind: frezer", "frezer", "did you mean 'freezer'?"),
    "half an order": Mistake("quantity: 24}", "quantity: 2.5}", "quantity: 2.5", "is not a whole number from 1 to"),
    "an order with a mark for thousands": Mistake(
        "quantity: 24}",
        'quantity: "1,500"}',
        "1,500",
        "has a comma or a point in it; write a whole number with neither",
    ),
    "an order of nothing": Mistake("quantity: 24}", "quantity: 0}", "quantity: 0", "is not a whole number from 1 to"),
    "too many rounds": Mistake("repeat: 2", "repeat: 99", "repeat: 99", "is not a whole number from 1 to 50"),
    "a weight of zero": Mistake("weight: 2", "weight: 0", "weight: 0", "is not a whole number from 1 to 1000"),
    "yes for a name": Mistake("name: long bench", "name: true", "name: true", "this is yes or no; write a name"),
    "two settings for one oven": Mistake(
        "equipment: deck oven at 180 C or fan oven at 165 C fan",
        "equipment: {use: deck oven at 180 C, at: 170 C}",
        "equipment: {use",
        "write only one of the two",
    ),
    # Ingredients
    "an unknown allergen": Mistake("[almonds]", "[almods]", "almods", "did you mean 'almond'?"),
    "gelatin that is too strong": Mistake("bloom: 200", "bloom: 2000", "bloom: 2000", "whole number from 50 to 325"),
    "an unknown way of converting": Mistake(
        "convert: proportion", "convert: ratio", "convert: ratio", "write proportion or root"
    ),
    # Shapes
    "a list where lines of key: value belong": Mistake(
        "    makes: 1.5 kg\n    steps:\n", "", "vanilla mousse:", "lines of 'key: value' belong here"
    ),
    "a text where a list belongs": Mistake(
        "  - {product: lantern bun, quantity: 24}\n",
        "  - lantern bun\n",
        "- lantern bun",
        "lines of 'key: value' belong",
    ),
    "a repeat in a repeat": Mistake(
        "{wait: drip,", "{repeat: 2, wait: drip,", "repeat: 2, wait", "cannot stand inside"
    ),
    # YAML
    "a key twice": Mistake(
        "loss: 2 %", "makes: 2 trays", "makes: 2 trays\n    ingredients", "'makes' stands here twice"
    ),
    "a tab": Mistake("  people:", "\tpeople:", "\tpeople", "a tab stands here; indent with spaces"),
    "a colon too many": Mistake("takes: 12 min", "takes: about: 12 min", "about:", "a colon too many"),
    "an open quotation mark": Mistake('due: "17:30"', 'due: "17:30', 'due: "17:30', "a quotation mark is opened here"),
    "an open bracket": Mistake("[fan]", "[fan", "[fan", "a bracket is opened here and does not come to its ]"),
    "a comma too few": Mistake(
        "at_least: 5 min}", "at_least: 5 min in: trolley}", "wait: drip", "look for a missing comma, colon, quote or }"
    ),
    "a quote too few inside brackets": Mistake(
        'due: "17:30", weight: 2}\n',
        'due: "17:30, weight: 2}\n  - {product: lantern bun, quantity: 3, due: "17:30"}\n',
        'due: "17:30, w',
        "look for a missing comma, colon, quote or } from here to line 86",
    ),
    "a colon too few in the line above": Mistake(
        "name: Lantern", "name Lantern", "shift:", "one is missing in the line above"
    ),
    "a text where lines belong": Mistake(
        "{almond sponge: 1 disc}",
        "almond sponge 1 disc",
        "uses: almond",
        "'almond sponge 1 disc' has no colon with a space",
    ),
    "lost indentation": Mistake("      kind: mixer", "     kind: mixer", "kind: mixer", "check indentation"),
    "an unknown alias": Mistake("name: box", "name: *box", "*box", "nothing above is"),
    "a tag": Mistake("name: box", "name: !!python/name:os.system box", "!!python", "is a YAML tag"),
    "a second document": Mistake("orders:", "---\norders:", "---", "a second document begins here"),
    # Not as on other days
    "a time out of use that is none": Mistake("06:10-06:20", "06:10", "out_of_use: 06:10", "is not a span of time"),
    "a time out of use that ends before it starts": Mistake(
        "12:00-", "day 2 12:00-day 1 13:00", "day 1 13:00", "ends no later than it starts"
    ),
    "a unit that is no number": Mistake("unit: 2}", "unit: left}", "unit: left", "is not a whole number"),
    "goods without a time": Mistake('egg white, from: "05:10"', "egg white", "ingredient: egg white}", "has no 'from'"),
    "stock without a quantity": Mistake(
        "almond sponge, quantity: 20 discs", "almond sponge", "item: almond", "has no 'quantity'"
    ),
}
