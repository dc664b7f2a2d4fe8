"""The shift while it runs, and what may come of it: simulation."""
