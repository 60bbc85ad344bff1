"""Variables, terms and constraints of a mixed-integer model that is built within a time limit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ortools.math_opt.python import mathopt

from kitsolver.solve.rules.rule import Rule
from kitsolver.solve.time_limit import TimeLimit

Variable = Any  # a variable of MathOpt, which ships no types
Linear = Any  # a variable, or a linear expression of variables, of MathOpt


class TimedModel:
    """A model, and the time that is left to build it.

    Parameters
    ----------
    model : mathopt.Model
        The model that is built.
    time_limit : TimeLimit
        It is looked at with each variable of two values, each sum and each constraint.
    """

    def __init__(self, model: mathopt.Model, time_limit: TimeLimit) -> None:
        self.model, self.time_limit = model, time_limit

    def flag(self) -> Variable:
        """Return a new variable that is 0 or 1."""
        self.time_limit.check()
        return self.model.add_binary_variable()

    def fraction(self) -> Variable:
        """Return a new variable between 0 and 1."""
        return self.model.add_variable(lb=0, ub=1)

    def whole(self, low: int, high: int) -> Variable:
        """Return a new whole variable between two bounds."""
        return self.model.add_integer_variable(lb=float(low), ub=float(high))

    def total(self, terms: Iterable[Linear]) -> Linear:
        """Return the sum of variables and expressions, 0 for none."""
        self.time_limit.check()
        return mathopt.LinearSum(list(terms))

    def add(self, rule: Rule | None, holds: mathopt.BoundedLinearTypes) -> None:
        """Add a constraint under a rule's name, or without one for a question to the model.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        self.time_limit.check()
        number = self.model.get_num_linear_constraints()
        name = f"{rule.name} {number}" if rule else ""
        self.model.add_linear_constraint(holds, name=name)
