"""The benchmark of the engine: run it with ``python -m tests.benchmark`` from the repository root."""
