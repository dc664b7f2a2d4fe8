"""Run the command line as ``python -m stationplan``."""

from stationplan.cli import main

if __name__ == "__main__":
    main(prog_name="stationplan")
