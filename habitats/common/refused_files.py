"""What a command of `manage.py` says of a file that it refuses, to people and to programs."""

import sys
from collections.abc import Sequence
from typing import NoReturn

from django.core.management.base import BaseCommand

MOST_LINES = 50  # of faults; a file with more is not what it was taken for


def refuse(command: BaseCommand, faults: Sequence[object]) -> NoReturn:
    """Name the first faults on standard error, a line each, and end with status 2."""
    for fault in faults[:MOST_LINES]:
        command.stderr.write(str(fault))
    if (more := len(faults) - MOST_LINES) > 0:
        command.stderr.write(f"{more} more faults are not listed.")
    sys.exit(2)
