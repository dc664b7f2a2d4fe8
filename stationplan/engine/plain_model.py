"""A CP-SAT model that is made quickly: thousands of small ones are."""

from __future__ import annotations

from ortools.sat.python import cp_model


class PlainModel(cp_model.CpModel):
    """A model without a second set of its methods under their former names.

    Making those takes longer than all the rest of a small model, and each refers back to the model, which then waits
    for the garbage collector.
    """

    def _add_pre_pep8_methods(self) -> None:
        pass
