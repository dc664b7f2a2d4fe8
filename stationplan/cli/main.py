"""The command group."""

from __future__ import annotations

import click

from stationplan import __version__
from stationplan.cli.board import board
from stationplan.cli.bottlenecks import bottlenecks
from stationplan.cli.chart import chart
from stationplan.cli.check import check
from stationplan.cli.exam import exam
from stationplan.cli.export import export
from stationplan.cli.guard import GuardedGroup
from stationplan.cli.importing import importing
from stationplan.cli.new import new
from stationplan.cli.plan import plan
from stationplan.cli.quantities import quantities
from stationplan.cli.schema import schema
from stationplan.cli.sheets import sheets
from stationplan.cli.shift import shift
from stationplan.cli.simulate import simulate
from stationplan.cli.smallest import smallest
from stationplan.cli.verify import verify


@click.group(cls=GuardedGroup, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="stationplan")
def main() -> None:
    """Plan a pastry kitchen's shift: from orders to the shortest plan across ovens, mixers, cold room and people.

    A scenario is a folder with a scenario.yaml in it, or such a file. Begin with "stationplan new my-shift", read what
    it wrote, and run "stationplan plan my-shift".

    Exit codes: 0 done; 2 something in the input is wrong; 3 the scenario cannot be done; 1 no plan was found in time,
    or an error of this program. With STATIONPLAN_TRACEBACK=1 in the environment such an error shows its traceback.
    """


for command in (
    new,
    importing,
    check,
    plan,
    chart,
    sheets,
    quantities,
    export,
    bottlenecks,
    smallest,
    simulate,
    exam,
    shift,
    board,
    verify,
    schema,
):
    main.add_command(command)
