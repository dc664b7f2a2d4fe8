"""Checks of what only makes sense together: names, units, room, order of steps, people.

Each check is a function that takes a :class:`stationplan.scenario.draft.Draft` and yields (path, sentence) for
everything that is wrong.
"""

from __future__ import annotations
