"""`makemessages`, which also collects the sentences of pure packages.

Those are marked by `message`, `message_in` and `counted` of `habitats.wording`.
"""

from typing import Any

from django.core.management.commands import makemessages

OURS = ["--keyword=message:1", "--keyword=message_in:1c,2", "--keyword=counted:1,2"]
# No code of the product stands there.
ELSEWHERE = [".venv", "tests", "staticfiles", "data"]


class Command(makemessages.Command):
    xgettext_options = [*makemessages.Command.xgettext_options, *OURS]
    # Line numbers would change with every commit, the order by file keeps a page's words together.
    msgmerge_options = [*makemessages.Command.msgmerge_options, "--no-fuzzy-matching"]

    def handle(self, *args: Any, **options: Any) -> None:
        options["ignore_patterns"] = [*options["ignore_patterns"], *ELSEWHERE]
        options["add_location"] = options["add_location"] or "file"
        options["no_obsolete"] = True
        super().handle(*args, **options)
