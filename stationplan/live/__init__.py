"""The shift while it runs, and what may come of a plan."""
