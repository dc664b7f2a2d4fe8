"""The model that is made quickly is a model like any other."""

from __future__ import annotations

import weakref

from ortools.sat.python import cp_model

from stationplan.engine.plain_model import PlainModel


def test_a_model_has_no_methods_of_its_own_and_goes_when_nobody_refers_to_it() -> None:
    model = PlainModel()
    assert vars(model) == {}
    gone = weakref.ref(model)
    del model
    assert gone() is None


def test_a_model_is_solved_as_one_of_the_solver_itself() -> None:
    for kind in (PlainModel, cp_model.CpModel):
        model = kind()
        one, other = (model.new_int_var(0, 9, name) for name in ("one", "other"))
        model.add(one + 2 * other <= 11)
        model.maximize(2 * one + 3 * other)
        solver = cp_model.CpSolver()
        assert solver.solve(model) == cp_model.OPTIMAL
        # One more of the first is worth 2 for 1, of the other 3 for 2: 9 of the first leave room for 1 of the other.
        assert (solver.value(one), solver.value(other)) == (9, 1)
