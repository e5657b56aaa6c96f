"""Where photos are kept in a folder."""

from contextlib import suppress
from typing import Any

from django.core.files.storage import FileSystemStorage


class WholeFiles(FileSystemStorage):
    """A file that cannot be written to its end, as on a full disk, is not there at all."""

    def _save(self, name: str, content: Any) -> str:
        try:
            return super()._save(name, content)  # type: ignore[no-any-return,misc]
        except OSError:
            # It was free just now, so what lies under this name is the half of ours.
            with suppress(OSError):
                self.delete(name)
            raise
