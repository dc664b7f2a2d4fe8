"""What can be wrong with the input, told so that a cook understands it."""

from __future__ import annotations

from dataclasses import dataclass


class ScenarioError(Exception):
    """Base of everything the scenario package raises on purpose."""


class UnitError(ScenarioError, ValueError):
    """A text such as ``8 min`` or ``2 trays`` cannot be read; the message says why and what would be right."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong in the input.

    ``where`` is ``file:line`` (or, for plain data without a file, the path to it), ``sentence`` says what is wrong
    and what would be right.
    """

    where: str
    sentence: str

    def __str__(self) -> str:
        return f"{self.where}: {self.sentence}" if self.where else self.sentence


class InvalidScenario(ScenarioError):  # noqa: N818  (it names what was given, as the user sees it)
    """The input cannot be planned from.

    Args:
        problems: everything that was found, in the order of the files.
    """

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__(problems)
        self.problems = problems

    def __str__(self) -> str:
        return "\n".join(str(problem) for problem in self.problems)
