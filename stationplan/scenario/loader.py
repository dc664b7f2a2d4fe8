"""Reads a scenario from its files or from plain data, or says everything that is wrong with it."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import chain, islice
from typing import TYPE_CHECKING, Any

from stationplan.scenario.blanks import about_others, blanks
from stationplan.scenario.checks.all import check
from stationplan.scenario.checks.warnings import warnings
from stationplan.scenario.draft import read_scenario
from stationplan.scenario.errors import InvalidScenario, Problem
from stationplan.scenario.merging import Merger
from stationplan.scenario.models import Scenario
from stationplan.scenario.nodes import Mapping, place_of, plain

if TYPE_CHECKING:
    import pathlib

    from stationplan.scenario.nodes import Path, Place

MOST_PROBLEMS = 200
"""Nobody reads more at a time, and looking for all of them in a broken file of 1 MB would take minutes."""

LONGEST_SENTENCE = 500


@dataclass(frozen=True)
class Loaded:
    """A scenario that was read and checked.

    Attributes:
        scenario: the models.
        raw: the merged plain data, everything inline; ``Scenario.model_validate(raw)`` gives the scenario again.
        warnings: what may not be meant, though it can be planned from.
    """

    scenario: Scenario
    raw: dict[str, Any]
    warnings: tuple[Problem, ...]
    _root: Mapping = field(repr=False)

    def where(self, path: Path) -> str:
        """The ``file:line`` of the closest known node to a path.

        Args:
            path: such as ``('components', 'almond sponge', 'steps', 2, 'fills')``.
        """
        return str(place_of(self._root, path))


def load(path: pathlib.Path) -> Loaded:
    """Read a scenario from its folder or its file.

    Args:
        path: the folder that holds ``scenario.yaml``, or a YAML file.

    Returns:
        The scenario, its plain data, and where everything stands.

    Raises:
        InvalidScenario: with everything that is wrong, each with its file and line.
    """
    merger = Merger(path)
    root = merger.merge()
    placed = list(merger.problems)
    scenario, raw = None, {}
    if root is not None:
        raw = plain(root)
        scenario, draft, findings = read_scenario(raw, merger.broken)
        found = islice(chain(blanks(raw), about_others(chain(findings, check(draft)))), MOST_PROBLEMS)
        placed.extend((place_of(root, where), sentence) for where, sentence in found)
    if scenario is None or root is None or placed:
        raise refusal(placed)
    warned = ((place_of(root, where), sentence) for where, sentence in islice(warnings(scenario, raw), MOST_PROBLEMS))
    told = chain(merger.remarks, warned)
    return Loaded(scenario, raw, tuple(_problem(str(place), sentence) for place, sentence in told), root)


def from_plain(raw: dict[str, Any]) -> Scenario:
    """Read and check a scenario from plain data, such as a plan carries it.

    Args:
        raw: what :attr:`Loaded.raw` holds.

    Returns:
        The scenario.

    Raises:
        InvalidScenario: with everything that is wrong, each with the path to it.
    """
    scenario, draft, findings = read_scenario(raw)
    found = list(islice(chain(findings, check(draft)), MOST_PROBLEMS))
    if scenario is None or found:
        raise InvalidScenario(tuple(_problem(_spoken(path), sentence) for path, sentence in dict.fromkeys(found)))
    return scenario


def refusal(placed: list[tuple[Place, str]]) -> InvalidScenario:
    """Everything that is wrong with files, in their order."""
    in_order = sorted(dict.fromkeys(placed), key=lambda found: found[0])
    return InvalidScenario(tuple(_problem(str(place), sentence) for place, sentence in in_order))


def _problem(where: str, sentence: str) -> Problem:
    # Names quoted from the input may be long, or hold line breaks and control characters of a terminal.
    printable = "".join(sign if sign.isprintable() else repr(sign)[1:-1] for sign in sentence[:LONGEST_SENTENCE])
    return Problem(where, f"{printable}..." if len(sentence) > LONGEST_SENTENCE else printable)


def _spoken(path: Path) -> str:
    return " > ".join(f"entry {part + 1}" if isinstance(part, int) else part for part in path)
