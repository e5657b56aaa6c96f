"""`manage.py warm`: compile the searches for cutting plans to machine code."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from builds import cutting  # noqa: F401  (brings all functions to be made)
from builds.cutting.compiled import warm


class Command(BaseCommand):
    help = (
        "Compile the search for cutting plans to machine code, where that is missing. "
        "Needed once after an installation. It takes up to a minute the first time."
    )
    requires_system_checks = ()

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            made = warm()
        except OSError as error:
            raise CommandError(
                f"The machine code cannot be stored: {error}. Set XDG_CACHE_HOME to a folder that "
                "can be written to."
            ) from None
        if not made:
            raise CommandError("The package numba is missing. Run `make install`.")
        self.stdout.write("Machine code for cutting plans is ready.")
