"""Makes ``python -m tests.benchmark`` run the benchmark."""

from .run import main

main(prog_name="python -m tests.benchmark")
