"""Addresses of static files."""

from typing import Any

from whitenoise.storage import CompressedManifestStaticFilesStorage


class ManifestStaticFiles(CompressedManifestStaticFilesStorage):
    """Under names that change with their content, as they were collected before the server started.

    So an address holds as long as the process: each is put together once, not sixteen a page.
    """

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self._addresses: dict[str, str] = {}

    def url(self, name: str | None, force: bool = False) -> str:
        """Raises ``ValueError`` for a file that was not collected."""
        if name is None or force:
            return str(super().url(name, force))
        if name not in self._addresses:
            self._addresses[name] = str(super().url(name))
        return self._addresses[name]
