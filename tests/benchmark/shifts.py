"""Many shifts at random: ``python -m tests.benchmark.shifts --seed 1000 --count 200``.

Prints each that breaks something: its kitchen, what was typed, cut down to what is needed for that, and the error.
"""

from __future__ import annotations

import json
import sys
import time
from collections import Counter

import click

from tests.live.any_shift import cut_down, first_plan, played


@click.command()
@click.option("--seed", default=0, show_default=True, help="The first seed; each shift has the next one.")
@click.option("--count", default=200, show_default=True, help="How many shifts to play.")
def main(seed: int, count: int) -> None:
    """Play shifts at random."""
    seen: Counter[str] = Counter()
    broken = 0
    for number in range(seed, seed + count):
        found = played(number)
        seen.update(found.seen)
        if found.error is not None:
            broken += 1
            raw, plan = first_plan(number)
            least = cut_down(raw, plan, found)
            print(f"shift {number}: {least.told}\n  {least.error!r}\n  in {json.dumps(raw)}", flush=True)
    print(
        f"{broken} of {count} broken, seeds {seed} to {seed + count - 1}, {time.process_time():.0f} s of the processor"
    )
    print(", ".join(f"{times} {what}" for what, times in sorted(seen.items())))
    sys.exit(1 if broken else 0)


if __name__ == "__main__":
    main()
