"""`python -m lidclock`."""

from lidclock.cli.main import run

run()
