"""System check: do the searches run as machine code?"""

from typing import Any

from django.core.checks import CheckMessage, Tags, Warning, register

from builds.cutting.compiled import all_kept


@register(Tags.files)
def machine_code_is_made(**kwargs: Any) -> list[CheckMessage]:
    if all_kept():
        return []
    return [
        Warning(
            "There is no machine code for cutting plans: they are searched for a hundred times "
            "slower, and waste more.",
            hint="Run `make install`, or manage.py warm as a user who may write the program's "
            "folder or has a cache (XDG_CACHE_HOME).",
            id="builds.W001",
        )
    ]
