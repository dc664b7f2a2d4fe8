"""Every mistake is told with its file and line, in a sentence that says what would be right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from stationplan.scenario import InvalidScenario, load

from .valid_text import VALID

if TYPE_CHECKING:
    from pathlib import Path


@dataclass(frozen=True)
class Mistake:
    """``old`` is replaced by ``new``; the line that holds ``at`` must then be blamed, with ``gist`` in the sentence."""

    old: str
    new: str
    at: str
    gist: str


MISTAKES = {
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
        "look for a missing comma, colon, quote or } from here to line 72",
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
    # Names
    "two people of one name": Mistake("name: Tomas", "name: ines", "name: ines", "stands twice among the people"),
    "two pieces of equipment of one name": Mistake("name: long bench", "name: Fan oven", "name: Fan oven", "count: 2"),
    "equipment named like a kind": Mistake("name: long bench", "name: oven", "name: oven, kind", "a name of its own"),
    "equipment with a word of recipes": Mistake(
        "name: trolley", "name: rack at door", "at door", "leave the word 'at' out"
    ),
    "two steps of one name": Mistake("wait: cool,", "wait: bake,", "wait: bake,", "'bake' stands twice in these steps"),
    "a step called none": Mistake("name: glaze", "name: none", "name: none", "choose another name"),
    "a component and product of one name": Mistake(
        "  vanilla mousse:\n    makes",
        "  lantern bun:\n    makes",
        "lantern bun:\n    uses",
        "of a component and of a product",
    ),
    "a skill nobody could ask for": Mistake(
        "skills: pastry}", "skills: pastry and bread}", "and bread", "use a plain word"
    ),
    # What refers to something
    "an unknown product": Mistake("bun, quantity: 24}", "bnu, quantity: 24}", "bnu", "did you mean 'lantern bun'?"),
    "an order of a component": Mistake(
        "product: lantern bun, quantity: 24}",
        "product: almond sponge, quantity: 24}",
        "product: almond",
        "is a component",
    ),
    "an unknown component": Mistake(
        "{almond sponge: 1 disc}", "{almon sponge: 1 disc}", "almon ", "did you mean 'almond"
    ),
    "a component that uses itself": Mistake(
        "makes: 1.5 kg",
        "makes: 1.5 kg\n    uses: {vanilla mousse: 1 g}",
        "uses: {vanilla",
        "use each other in a circle",
    ),
    "an unknown oven": Mistake("deck oven at 180", "dekc oven at 180", "equipment: dekc", "did you mean 'deck oven'?"),
    "a kind the kitchen lacks": Mistake("in: trolley", "in: chiller", "in: chiller", "the kitchen has no chiller"),
    "an unknown further place": Mistake(
        "also: {long bench", "also: {long bnech", "bnech", "did you mean 'long bench'?"
    ),
    "an unknown skill": Mistake("and 1 chocolate", "and 1 chocolat", "1 chocolat\n", "did you mean 'chocolate'?"),
    "an unknown step": Mistake(
        "step: whip whites,", "step: whip white,", "after: {step", "did you mean 'whip whites'?"
    ),
    "an unknown content of a bowl": Mistake(
        "after: egg white,", "after: egg withe,", "withe", "did you mean 'egg white'?"
    ),
    "too few with a skill": Mistake("1 pastry and 1 choc", "1 pastry and 2 choc", "2 choc", "needs 3 people at a time"),
    "too few with either skill": Mistake(
        "skills: pastry}", "skills: bread}", "1 pastry and", "'pastry' or 'chocolate'"
    ),
    # Temperatures
    "too hot": Mistake(
        "at 180 C", "at 300 C", "at 300 C", "no deck oven has 300 C; 'deck oven' goes from 120 C to 280 C"
    ),
    "too hot for every oven": Mistake(
        "deck oven at 180 C or fan oven at 165 C fan",
        "oven at 300 C",
        "at 300 C",
        "the hottest, 'deck oven', goes from 120",
    ),
    "a setting the oven lacks": Mistake("165 C fan", "165 C fna", "165 C fna", "did you mean 'fan'?"),
    "an oven without a temperature": Mistake(
        "deck oven at 180 C or", "deck oven or", "deck oven or", "must say how warm, such as deck oven at 180 C"
    ),
    "a temperature of a mixer": Mistake(
        "equipment: mixer,", "equipment: mixer at 20 C,", "mixer at", "has no temperature"
    ),
    "a range of a bench": Mistake(
        "kind: bench", "kind: bench, range: 1..2 C", "range: 1..2", "is for ovens and provers"
    ),
    "a wash of an oven": Mistake("settings: [fan]", "wash: 2 min", "wash: 2 min, chambers", "'wash' is for mixers"),
    # Units and room
    "a unit the sponge is not counted in": Mistake(
        "1 disc}", "1 slice}", "1 slice", "counted in trays or discs, not in slices"
    ),
    "a time per a wrong unit": Mistake("2 min per tray", "2 min per sheet", "2 min per sheet", "not in sheets"),
    "fills in a wrong unit": Mistake(
        "fills: 1 tray per tray", "fills: 1 rack per tray", "1 rack", "'deck oven' is counted in"
    ),
    "a wait in a place of another unit": Mistake(
        "wait: cool base,",
        "wait: cool base, in: trolley,",
        "wait: cool base",
        "say how much of it 'vanilla mousse' takes",
    ),
    "an oven counted in something else": Mistake(
        "takes: 12 min",
        "takes: 12 min\n        equipment: deck oven at 180 C",
        "name: cook base",
        "say how much of it a batch takes, such as fills: 1 tray per kg",
    ),
    "a batch no bowl holds": Mistake(
        "fills: 2 l per kg", "fills: 13 l per g", "13 l per g", "holds even 1 g of 'vanilla"
    ),
    "a tray no oven holds": Mistake(
        "fills: 1 tray per tray", "fills: 9 trays per tray", "9 trays", "holds even 1 tray"
    ),
    "too large for the freezer": Mistake(
        "3 days, in: freezer", "3 days, in: freezer, fills: 17 trays per tray", "17 trays", "does not hold even 1 tray"
    ),
    "more of a bench than there is": Mistake(
        "{long bench: 1 place}", "{long bench: 2 places}", "2 places", "has 1 place"
    ),
    "a batch of less than a tray": Mistake("batch: 2 trays", "batch: 3 discs", "batch: 3 discs", "made in whole trays"),
    "pieces per something else": Mistake(
        "24 discs per tray", "24 discs per sheet", "24 discs", "how many pieces one tray"
    ),
    "nothing made": Mistake(
        "makes: 1.5 kg", "makes: 0 kg", "makes: 0 kg", "'0 kg' is nothing; write an amount above zero"
    ),
    "a step of no time": Mistake(
        "glaze, takes: 3 min", "glaze, takes: 0 min", "takes: 0 min", "could take no time at all"
    ),
    "fills of nothing to fill": Mistake(
        "takes: 12 min", "takes: 12 min\n        fills: 1 l", "fills: 1 l", "has no equipment"
    ),
    "a least fill above what may be filled": Mistake(
        "least_fill: 5 %", "least_fill: 70 %", "70 %", "more than the share"
    ),
    # What follows what
    "a circle of steps": Mistake("after: none", "after: fold", "after: fold\n", "in a circle: "),
    "a step after itself": Mistake("after: none", "after: cook base", "after: cook base", "comes after itself"),
    "at most below at least": Mistake(
        "at_most: 40 min", "at_most: 4 min", "at_most: 4 min", "less than at least 15 min"
    ),
    "no full minute between least and most": Mistake(
        "wait: drip, at_least: 5 min", "wait: drip, at_least: 90 s, at_most: 100 s", "wait: drip", "no full minute"
    ),
    "a wait first": Mistake(
        "      - {name: whip cream,",
        "      - {wait: thaw}\n      - {name: whip cream,",
        "wait: thaw",
        "nothing comes before",
    ),
    "two last entries": Mistake(
        "[whip cream, cool base]", "cool base", "name: whip cream", "nothing follows 'whip cream'"
    ),
    "a wait after two": Mistake(
        "40 min}", "40 min, after: [cook base, whip cream]}", "wait: cool base", "can come after one step only"
    ),
    "limits on a wait named in after": Mistake(
        "after: [whip cream, cool base]",
        "after: [whip cream, {step: cool base, at_most: 3 min}]",
        "after: [whip",
        "put 'at_least' and 'at_most' on the wait 'cool base' itself",
    ),
    "two followers of a wait in a place": Mistake(
        "name: cut discs, takes",
        "name: trim, takes: 1 min, after: freeze}\n      - {after: [trim, freeze], name: cut discs, takes",
        "wait: freeze",
        "more than one entry follows",
    ),
    "a wait in an oven": Mistake("in: trolley", "in: deck oven", "in: deck oven", "which only a step can use"),
    "a place in a mixer": Mistake("{long bench: 1 place}", "{mixer: 1 place}", "{mixer:", "name it under 'equipment'"),
    "people with nothing to do": Mistake(
        "hands_on: all", "hands_on: none, people: 1".replace(", ", "\n        "), "people: 1\n", "leaves nothing"
    ),
    # The rest
    "pieces in the unit it is made in": Mistake(
        "24 discs per tray", "1 tray per tray", "pieces:", "is for another unit"
    ),
    "a rack that holds nothing": Mistake("holds: 40 trays", "holds: 0 trays", "holds: 0", "'trolley' holds nothing"),
    "a bowl of which nothing may be filled": Mistake("usable: 60 %", "usable: 0 %", "usable: 0", "a share above 0 %"),
    "a least fill of an unknown bowl": Mistake("      holds: 20 l\n", "", "least_fill", "a least fill needs 'holds'"),
    "a change of bowl twice": Mistake(
        "takes: 9 min}",
        "takes: 9 min}\n        - {before: Anything, after: Egg white, takes: 8 min}",
        "before: Anything",
        "stands twice",
    ),
    "two components that differ in capitals": Mistake(
        "  vanilla mousse:\n    makes", "  Almond Sponge:\n    makes", "almond sponge:", "differ only in capitals"
    ),
    "a component called anything": Mistake(
        "  almond sponge:", "  anything:", "  anything:", "has a meaning in changeovers"
    ),
    "a step named twice in after": Mistake(
        "[whip cream, cool base]", "[whip cream, cool base, whip cream]", "after: [whip", "'whip cream' is named twice"
    ),
    "five hundred steps": Mistake(
        "repeat: 2\n        steps:\n",
        "repeat: 50\n        steps:\n" + "".join(f"          - {{name: turn {n}, takes: 1 min}}\n" for n in range(9)),
        "steps:\n      - name: fill",
        "has 552 steps and waits, rounds written out",
    ),
    "earlier rounds that lead nowhere": Mistake(
        VALID[VALID.index(", takes: 3 min}") : VALID.index("orders:")],
        ", takes: 3 min, after: fill}\n          - {wait: drip, at_least: 5 min}\n",
        "wait: drip",
        "nothing follows 'drip' in its earlier rounds",
    ),
    "too cool": Mistake("at 180 C or fan oven at 165 C fan", "at 60 C", "at 60 C", "goes from 120 C to 280 C"),
    "too cool for every oven": Mistake(
        "deck oven at 180 C or fan oven at 165 C fan",
        "oven at 60 C",
        "at 60 C",
        "the coolest, 'fan oven', goes from 80 C",
    ),
    "a setting no oven has": Mistake(
        "deck oven at 180 C", "deck oven at 180 C steam", "C steam", "add it to the 'settings'"
    ),
    "a product used like a component": Mistake(
        "{almond sponge: 1 disc}", "{almond sponge: 1 disc, lantern bun: 1 piece}", "lantern bun: 1", "is a product"
    ),
    "holding without a bowl": Mistake("hands_on: all", "holding: custard", "holding: custard", "uses no mixer"),
    "fills of a use without a place": Mistake(
        "loss: 5 %, at", "fills: 1 l, at", "fills: 1 l", "has no place to fill here"
    ),
    "a use in a place of another unit": Mistake(
        "loss: 5 %, at", "in: trolley, at", "in: trolley, at", "takes, such as fills"
    ),
    "fills of a wait without a place": Mistake(
        "at_least: 15", "fills: 1 l, at_least: 15", "fills: 1 l", "has no place that"
    ),
    "a use of a component that is not counted so": Mistake(
        "amount: 45 g", "amount: 45 ml", "amount: 45", "counted in g, not in ml"
    ),
    "a time per a wrong unit on one oven": Mistake(
        "equipment: deck oven at 180 C or fan oven at 165 C fan",
        "equipment:\n          - {use: deck oven at 180 C, takes: 1 min per sheet}",
        "1 min per sheet",
        "not in sheets",
    ),
    "room per a wrong unit on one oven": Mistake(
        "equipment: deck oven at 180 C or fan oven at 165 C fan",
        "equipment:\n          - {use: deck oven at 180 C, fills: 1 tray per sheet}",
        "1 tray per sheet",
        "not in sheets",
    ),
    "no people": Mistake(
        VALID[VALID.index("  people:\n") : VALID.index("  equipment:\n")],
        "  people: []\n",
        "name: glaze",
        "'glaze' needs a person, and the kitchen has none",
    ),
    "a name over two lines": Mistake(
        "{name: box,", '{name: "box\\nit",', '"box', "has a line break or an unprintable sign"
    ),
    "an endless name": Mistake("{name: box,", "{name: " + "box " * 30 + ",", "box box", "of at most 80 characters"),
    "a kind that is a list": Mistake("kind: bench", "kind: [bench]", "[bench]", "is no kind of equipment"),
    "a key that is a list": Mistake("orders:", "[a, b]: 1\norders:", "[a, b]", "a key is a word"),
    "no steps": Mistake(
        "repeat: 2\n        steps:\n", "repeat: 2\n        steps: []\n        x:\n", "steps: []", "there are no steps"
    ),
}


@pytest.mark.parametrize("mistake", MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_is_told_at_its_line(mistake: Mistake, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert VALID.count(mistake.old) >= 1, "the test replaces something that is not there"
    text = VALID.replace(mistake.old, mistake.new, 1)
    assert mistake.at in text
    line = text.count("\n", 0, text.index(mistake.at)) + 1
    tmp_path.joinpath("scenario.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(InvalidScenario) as caught:
        load(type(tmp_path)("scenario.yaml"))
    told = {problem.where: problem.sentence for problem in caught.value.problems}
    assert f"scenario.yaml:{line}" in told, str(caught.value)
    sentences = [problem.sentence for problem in caught.value.problems if problem.where == f"scenario.yaml:{line}"]
    assert any(mistake.gist in sentence for sentence in sentences), str(caught.value)


def test_the_only_step_of_an_item_is_not_called_missing_when_it_is_wrong(tmp_path: Path) -> None:
    wrong = VALID[: VALID.index("  almond sponge:")] + """\
  almond sponge:
    makes: 2 trays
    steps:
      - {name: whip, takes: 5}
products:
""" + VALID[VALID.index("  lantern bun:") :]  # fmt: skip
    tmp_path.joinpath("scenario.yaml").write_text(wrong, encoding="utf-8")
    with pytest.raises(InvalidScenario) as caught:
        load(tmp_path)
    sentences = [problem.sentence for problem in caught.value.problems]
    assert any("'5' has no unit" in sentence for sentence in sentences)
    assert not any("there are no steps" in sentence for sentence in sentences)


def test_an_order_of_a_night_shift_that_is_due_after_midnight_needs_its_day(tmp_path: Path) -> None:
    night = VALID.replace('{opens: "05:00", closes: "17:30"}', '{opens: "22:00", closes: "06:00"}')
    night = night.replace('due: "17:30"', 'due: "04:00"')
    tmp_path.joinpath("scenario.yaml").write_text(night, encoding="utf-8")
    with pytest.raises(InvalidScenario) as caught:
        load(tmp_path)
    assert [problem.sentence for problem in caught.value.problems] == [
        "04:00 is before the shift opens at 22:00; write day 2 04:00"
    ]
