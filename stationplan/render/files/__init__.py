"""A plan as a file for other programs: one module a format, listed in :mod:`stationplan.render.files.formats`."""
