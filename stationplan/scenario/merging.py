"""Puts the files of a scenario together: kitchen, recipes and orders end up inline, each value keeping its own line."""

from __future__ import annotations

from pathlib import Path

from stationplan.scenario.nodes import Mapping, Node, Place, Scalar, Sequence
from stationplan.scenario.reading import UnreadableFile, read_text, read_yaml
from stationplan.scenario.tables import TABLES, read_table
from stationplan.scenario.units.numbers import suggestion

MAIN_FILE = "scenario.yaml"
_RECIPE_KEYS = ("ingredients", "components", "products")


def _named(key: str) -> str:
    return f"names with {'a description' if key == 'ingredients' else 'a recipe'} each"


class Merger:
    """Reads a scenario file and the files it names.

    Args:
        path: the scenario's file, or its folder.

    Attributes:
        problems: what was wrong on the way, with its place.
        remarks: what may not be meant, with its place.
        broken: top-level keys of which a part could not be read, so that what is missing there tells nothing.
    """

    def __init__(self, path: Path) -> None:
        self.problems: list[tuple[Place, str]] = []
        self.remarks: list[tuple[Place, str]] = []
        self.broken: set[str] = set()
        self._main = path / MAIN_FILE if path.is_dir() else path
        self._order = 0

    def merge(self) -> Mapping | None:
        """The merged scenario, or None when its main file cannot be read at all."""
        contents = "a scenario: name, shift, kitchen, components, products and orders"
        root = self._mapping(self._read(self._main), contents)
        if root is None:
            return None
        self._inline_kitchen(root)
        self._inline_recipes(root)
        self._inline_orders(root)
        return root

    def _inline_kitchen(self, root: Mapping) -> None:
        named = root.items.get("kitchen")
        if isinstance(named, Scalar) and named.value is not None:
            self._replace(root, "kitchen", self._mapping(self._include(named), "a kitchen: people and equipment"))

    def _inline_orders(self, root: Mapping) -> None:
        named = root.items.get("orders")
        if isinstance(named, Scalar) and named.value is not None:
            self._replace(root, "orders", self._include(named))

    def _replace(self, root: Mapping, key: str, included: Node | None) -> None:
        if included is None:
            self.broken.add(key)
            self._remove(root, key)
        else:
            root.items[key], root.places[key] = included, included.place

    def _inline_recipes(self, root: Mapping) -> None:
        recipes = root.items.get("recipes")
        if recipes is None or (isinstance(recipes, Scalar) and recipes.value is None):
            # With nothing behind it, it is told of like every other key.
            return
        self._remove(root, "recipes")
        for named in recipes.items if isinstance(recipes, Sequence) else [recipes]:
            if not isinstance(named, Scalar):
                self.problems.append((named.place, "'recipes' takes file names; write the recipes under 'components'"))
                self.broken.add("recipes")
                continue
            library = self._mapping(self._include(named), "recipes: components and products")
            if library is None:
                self.broken.add("recipes")
                continue
            for key, part in library.items.items():
                self._add_recipes(root, key, part, library.places[key])

    def _add_recipes(self, root: Mapping, key: str, part: Node, place: Place) -> None:
        if key not in _RECIPE_KEYS:
            hint = suggestion(key, _RECIPE_KEYS) or "; a recipe file holds 'ingredients', 'components' and 'products'"
            self.problems.append((place, f"'{key}' is not known here{hint}"))
            return
        if isinstance(part, Scalar) and part.value is None:
            sentence = f"there is nothing behind '{key}'; write {_named(key)}, or leave it out"
            self.problems.append((place, sentence))
            return
        present = root.items.get(key)
        if present is None or (isinstance(present, Scalar) and present.value is None):
            root.items[key], root.places[key] = part, place
            return
        if not isinstance(part, Mapping) or not isinstance(present, Mapping):
            if isinstance(present, Mapping):
                self.problems.append((place, f"'{key}' must be {_named(key)}"))
                self.broken.add("recipes")
            return
        # A new mapping, since the one that is there may stand elsewhere too, through an alias.
        merged = Mapping(present.place, dict(present.items), dict(present.places))
        for name, item in part.items.items():
            if name in merged.items:
                sentence = f"'{name}' stands here and in {merged.places[name]}; keep one of them or rename one"
                self.problems.append((part.places[name], sentence))
                continue
            merged.items[name], merged.places[name] = item, part.places[name]
        root.items[key] = merged

    def _include(self, named: Scalar) -> Node | None:
        path = self._main.parent / str(named.value)
        if self._same_file(path):
            self.problems.append((named.place, f"'{named.value}' is this file itself; name another file"))
            return None
        return self._read(path, named)

    def _same_file(self, path: Path) -> bool:
        try:
            return path.samefile(self._main)
        except (OSError, ValueError):
            return False

    def _read(self, path: Path, named: Scalar | None = None) -> Node | None:
        order, self._order = self._order, self._order + 1
        file = str(path)
        try:
            if path.suffix.lower() in TABLES:
                return read_table(path, order, self.problems, self.remarks)
            return read_yaml(read_text(path), file, order, self.problems)
        except UnreadableFile as error:
            if error.line is None and named is not None:
                self.problems.append((named.place, f"the file '{named.value}' is named here, but {error.sentence}"))
            else:
                self.problems.append((Place(order, error.line or 0, file, error.spot), error.sentence))
            return None

    def _mapping(self, node: Node | None, what: str) -> Mapping | None:
        if node is None or isinstance(node, Mapping):
            return node
        self.problems.append((node.place, f"this is not {what}"))
        return None

    @staticmethod
    def _remove(root: Mapping, key: str) -> None:
        root.items.pop(key, None)
        root.places.pop(key, None)
