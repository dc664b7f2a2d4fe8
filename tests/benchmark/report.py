"""The tables of a run: each solve, each family and solver, and each peer side by side with the engine.

Gaps are shares of the makespan that they are measured from, in percent, over the
instances with a plan. The best known makespan is the published one or, if that is
shorter or nothing is published, the best of this run.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from statistics import mean, median

from .answers import Outcome
from .claims import Row, best_known

Cell = str | int | float | None
Table = list[dict[str, Cell]]

ENGINE = "stationplan"


def instance_table(rows: Sequence[Row]) -> Table:
    """A row for each solve."""
    gaps = _gaps_to_best(rows)
    return [
        {
            "family": row.family,
            "instance": row.instance,
            "solver": row.solver,
            "outcome": row.answer.outcome.value,
            "makespan": row.value,
            "bound": row.answer.bound,
            "published lower": row.known.lower,
            "published upper": row.known.upper,
            "published infeasible": "yes" if row.known.infeasible else "",
            "gap to best %": _of([gaps[_key(row)]] if row.value is not None else [], mean),
            "own gap %": _of(_own_gaps([row]), mean),
            "first plan s": row.answer.first_plan and round(row.answer.first_plan, 2),
            "seconds": round(row.answer.seconds, 2),
            "peak MiB": round(row.memory),
            "faults": len(row.faults),
            "note": row.answer.note,
        }
        for row in rows
    ]


def family_table(rows: Sequence[Row]) -> Table:
    """A row for each family and solver."""
    gaps = _gaps_to_best(rows)
    table: Table = []
    for (family, solver), group in _grouped(rows, lambda row: (row.family, row.solver)):
        outcomes = [row.answer.outcome for row in group]
        if set(outcomes) == {Outcome.CANNOT_SAY}:
            table.append({"family": family, "solver": solver, "instances": len(group), "solved": "cannot say"})
            continue
        solved = [row for row in group if row.value is not None]
        infeasible = outcomes.count(Outcome.INFEASIBLE)
        to_best = [gaps[_key(row)] for row in solved]
        own = _own_gaps(solved)
        first_plans = [row.answer.first_plan for row in solved if row.answer.first_plan is not None]
        table.append(
            {
                "family": family,
                "solver": solver,
                "instances": len(group),
                "solved": len(solved),
                "proved": sum(row.proved for row in group),
                "infeasible proved": infeasible,
                "no plan": len(group) - len(solved) - infeasible,
                "gap to best %, mean": _of(to_best, mean),
                "gap to best %, worst": _of(to_best, max),
                "own gap %, mean": _of(own, mean),
                "own gap %, median": _of(own, median),
                "own gap %, worst": _of(own, max),
                "first plan s, median": _of(first_plans, median),
                "first plan s, worst": _of(first_plans, max),
                "seconds, median": _of([row.answer.seconds for row in group], median),
                "peak MiB": round(max(row.memory for row in group)),
            }
        )
    return table


def comparison_table(rows: Sequence[Row]) -> Table:
    """A row for each family and peer: what either proves, and the gaps to the best known where neither does."""
    gaps = _gaps_to_best(rows)
    table: Table = []
    for (family,), group in _grouped(rows, lambda row: (row.family,)):
        ours = {row.instance: row for row in group if row.solver == ENGINE}
        for (peer,), theirs in _grouped([row for row in group if row.solver != ENGINE], lambda row: (row.solver,)):
            pairs = [(ours[row.instance], row) for row in theirs if row.instance in ours]
            pairs = [(one, other) for one, other in pairs if other.answer.outcome is not Outcome.CANNOT_SAY]
            if not pairs:
                continue
            both = [(one, other) for one, other in pairs if one.value is not None and other.value is not None]
            neither = [(one, other) for one, other in both if not one.proved and not other.proved]
            table.append(
                {
                    "family": family,
                    "peer": peer,
                    "instances": len(pairs),
                    f"proved by {ENGINE}": sum(_settled(one) for one, _ in pairs),
                    "by the peer": sum(_settled(other) for _, other in pairs),
                    "both have a plan": len(both),
                    f"gap to best % of {ENGINE}": _of([gaps[_key(one)] for one, _ in both], mean),
                    "of the peer": _of([gaps[_key(other)] for _, other in both], mean),
                    "neither proves": len(neither),
                    f"then gap % of {ENGINE}": _of([gaps[_key(one)] for one, _ in neither], mean),
                    "then of the peer": _of([gaps[_key(other)] for _, other in neither], mean),
                }
            )
    return table


def as_text(table: Table) -> str:
    """A table as aligned Markdown."""
    if not table:
        return ""
    columns = _columns(table)
    lines = [columns, *([_text(row.get(column)) for column in columns] for row in table)]
    widths = [max(len(line[position]) for line in lines) for position in range(len(columns))]
    ruled = [lines[0], ["-" * width for width in widths], *lines[1:]]
    return "\n".join(
        f"| {' | '.join(cell.ljust(width) for cell, width in zip(line, widths, strict=True))} |" for line in ruled
    )


def write_csv(table: Table, path: Path) -> None:
    """Write a table with a header line."""
    with path.open("w", newline="", encoding="utf-8") as stream:
        writer = csv.DictWriter(stream, _columns(table))
        writer.writeheader()
        writer.writerows(table)


def _columns(table: Table) -> list[str]:
    return list(dict.fromkeys(column for row in table for column in row))


def _text(cell: Cell) -> str:
    if cell is None:
        return ""
    return f"{cell:.2f}" if isinstance(cell, float) else str(cell)


def _key(row: Row) -> tuple[str, ...]:
    return row.family, row.instance, row.solver


def _grouped(rows: Iterable[Row], key: Callable[[Row], tuple[str, ...]]) -> Iterable[tuple[tuple[str, ...], list[Row]]]:
    """The rows of each key, keys in order of their first row."""
    groups: dict[tuple[str, ...], list[Row]] = {}
    for row in rows:
        groups.setdefault(key(row), []).append(row)
    return groups.items()


def _gaps_to_best(rows: Sequence[Row]) -> dict[tuple[str, ...], float]:
    gaps = {}
    for _, group in _grouped(rows, lambda row: (row.family, row.instance)):
        best = best_known(group)
        for row in group:
            if row.value is not None and best is not None:
                gaps[_key(row)] = 100 * (row.value - best) / max(best, 1)
    return gaps


def _own_gaps(rows: Iterable[Row]) -> list[float]:
    return [100 * row.own_gap for row in rows if row.own_gap is not None]


def _of(numbers: Sequence[float], summary: Callable[[Sequence[float]], float]) -> float | None:
    """A summary to two places, nothing where there is nothing to sum up."""
    return round(summary(numbers), 2) if numbers else None


def _settled(row: Row) -> bool:
    return row.proved or row.answer.outcome is Outcome.INFEASIBLE
