"""What can be read, but makes no sense together."""

from __future__ import annotations

from .mistake import Mistake
from .valid_text import VALID

MISTAKES_IN_MEANING = {
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
    # Ingredients
    "two descriptions of one ingredient": Mistake(
        "  leaf gelatin: {contains: none",
        "  almond flour: {contains: none}\n  leaf gelatin: {contains: none",
        "almond flour: {contains: none}",
        "differ only in capitals",
    ),
    "a weight of nothing": Mistake("weighs: 100 g per cup", "weighs: 100 g", "weighs: 100 g}", "like 50 g per egg"),
    "a weight the wrong way round": Mistake(
        "weighs: 100 g per cup", "weighs: 1 cup per 100 g", "1 cup per", "does not say what one weighs"
    ),
    "gelatin of two strengths without a rule": Mistake(
        ", convert: proportion", "", "in_store: 160", "convert: proportion or convert: root"
    ),
    "gelatin of which only the store is known": Mistake(
        "bloom: 200, in_store: 160, convert: proportion", "in_store: 160", "in_store: 160", "say with bloom"
    ),
    "a conversion of nothing": Mistake("in_store: 160, ", "", "convert: proportion", "nothing is converted"),
    "gelatin that cannot be weighed": Mistake("6 leaves", "6 tsp", "6 tsp", "cannot be converted"),
    "no gelatin at all": Mistake("6 leaves", "0 leaves", "0 leaves", "is nothing"),
    # Not as on other days
    "a unit out of use that there is not": Mistake("unit: 2}", "unit: 3}", "unit: 3}", "there are 2"),
    "a chamber out of use that there is not": Mistake(
        "unit: 2}",
        "unit: 2, chamber: 2}",
        "chamber: 2}",
        "chamber 2 of 'deck oven' cannot be out of use: there is only one",
    ),
    "a chamber slower that there is not": Mistake(
        "slower: 10 %}", "slower: {by: 10 %, chamber: 3}}", "chamber: 3}", "cannot be slower: there are 2"
    ),
    "one place of several that is slower": Mistake(
        "{name: long bench, kind: bench}",
        "{name: long bench, kind: bench, count: 2, slower: {by: 10 %, unit: 2}}",
        "unit: 2}}",
        "'long bench' is slower as a whole",
    ),
    "goods that no recipe names": Mistake("egg white, from", "egg withe, from", "egg withe, from", "did you mean 'egg"),
    "goods that stand twice": Mistake(
        "goods:\n",
        "goods:\n  - {ingredient: Egg White, from: 05:05}\n",
        "egg white, from",
        "stands twice among the goods",
    ),
    "stock of what nobody makes": Mistake(
        "item: almond sponge", "item: almond spunge", "spunge", "did you mean 'almond"
    ),
    "stock in another unit": Mistake("quantity: 20 discs", "quantity: 20 g", "20 g, from", "is counted in"),
    "stock of nothing": Mistake("quantity: 20 discs", "quantity: 0 discs", "0 discs, from", "is nothing"),
    "stock that is there after closing": Mistake("from: 06:00", "from: 17:30", "17:30, use", "before this 'almond"),
    "stock past its use-by": Mistake("use_by: day 2 14:00", "use_by: 05:30", "use_by", "past its 'use_by' of 05:30"),
    "a use-by on a product": Mistake(
        "item: almond sponge, quantity: 20 discs",
        "item: lantern bun, quantity: 20 pieces",
        "item: lantern",
        "when it is fetched is not known",
    ),
    "stock in an unknown place": Mistake(
        "in: trolley, fills", "in: troley, fills", "troley", "did you mean 'trolley'?"
    ),
    "stock in an oven": Mistake(
        "in: trolley, fills", "in: fan oven, fills", "in: fan oven, fills", "only a step can use"
    ),
    "stock that fills nothing": Mistake(
        "in: trolley, fills: 1", "fills: 1", "day 2 14:00, fills", "no place to fill here"
    ),
    "a shelf life of a product": Mistake(
        "  lantern bun:\n", "  lantern bun:\n    shelf_life: 2 h\n", "shelf_life: 2 h", "'shelf_life' is for components"
    ),
}
