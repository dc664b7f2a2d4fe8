"""A shift while it runs: its record, the state that makes, what to expect from now on; and simulation of a plan."""
