"""Run the command line as `python -m patchloom.cli`."""

from patchloom.cli import main

main()
