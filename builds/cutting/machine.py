"""Machine code made by numba, kept in files and loaded from them; imported only where needed.

What is kept, and what becomes of it, is said in `compiled`.
"""

import tempfile
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any, get_type_hints

from numba import njit, types
from numba.core.caching import CompileResultCacheImpl, FunctionCache, _CacheLocator
from numba.extending import register_jitable

from builds.cutting import compiled
from builds.cutting.compiled import OPTIONS, PYTHON, Compiled

_ARRAYS = {"int64[::1]": types.int64[::1], "float64[::1]": types.float64[::1]}
_NUMBERS = {int: types.int64, float: types.float64, bool: types.boolean}


class NotKept(Exception):
    """There is no machine code of this function for this processor."""


class _Place(_CacheLocator):
    """Where the files of a function are, named after all that its machine code hangs on."""

    def __init__(self, entry: Compiled[..., Any]) -> None:
        self._mark = entry.mark
        self._folder = compiled.folder_of(entry) or _first_writable()

    def get_cache_path(self) -> str:
        return str(self._folder)

    def get_source_stamp(self) -> str:
        return self._mark

    def get_disambiguator(self) -> str:
        return self._mark

    @classmethod
    def from_function(cls, py_func: Callable[..., Any], py_file: str) -> "_Place":
        return cls(compiled.entry_of(py_func))


class _Form(CompileResultCacheImpl):
    _locator_classes = [_Place]  # type: ignore[list-item]


class _Kept(FunctionCache):
    """Files that are read only: what is not there is not made."""

    _impl_class = _Form

    def load_overload(self, sig: Any, target_context: Any) -> Any:
        found = super().load_overload(sig, target_context)  # type: ignore[no-untyped-call]
        if found is None:
            raise NotKept
        return found


class _Made(FunctionCache):
    """Files that are read, or made where they are missing."""

    _impl_class = _Form


def load(entries: Iterable[Compiled[..., Any]]) -> None:
    """Let these functions run as machine code from now on, where it is kept."""
    for entry in entries:
        with suppress(NotKept, OSError):
            entry.machine_code = _translated(entry, _Kept)


def make(entries: Iterable[Compiled[..., Any]]) -> None:
    """Make machine code where there is none for this processor, keep it, and use it."""
    for entry in entries:
        entry.machine_code = _translated(entry, _Made)
        _forget_old(entry)


def _forget_old(entry: Compiled[..., Any]) -> None:
    """Remove what was kept of the function as it was before."""
    folder = compiled.folder_of(entry)
    for file in folder.glob(f"{entry.file_name}-*.{PYTHON}.*") if folder else ():
        if entry.mark not in file.name:
            with suppress(OSError):
                file.unlink()


def _translated(entry: Compiled[..., Any], cache: type[FunctionCache]) -> Callable[..., Any]:
    for part in compiled.parts():
        register_jitable(**OPTIONS)(part)
    # `nogil` lets a server answer pages meanwhile.
    dispatcher = njit(nogil=True, **OPTIONS)(entry.function)
    dispatcher._cache = cache(entry.function)
    # Called without the dispatcher, which takes long over its first call; wrong types are refused.
    machine_code: Callable[..., Any] = dispatcher.compile(_signature(entry))
    return machine_code


def _signature(entry: Compiled[..., Any]) -> Any:
    if entry.signature:
        return entry.signature
    *takes, gives = map(_type_of, entry.annotations)
    return gives(*takes)


def _type_of(annotation: Any) -> Any:
    """What numba calls it."""
    if hasattr(annotation, "__metadata__"):
        return _ARRAYS[annotation.__metadata__[0]]
    if hasattr(annotation, "_fields"):
        fields = get_type_hints(annotation, include_extras=True).values()
        return types.NamedTuple(  # type: ignore[no-untyped-call]
            list(map(_type_of, fields)), annotation
        )
    return _NUMBERS[annotation]


def _first_writable() -> Path:
    """The first folder that takes a file; raises OSError if none does."""
    *others, last = compiled.folders()
    for folder in others:
        if _is_writable(folder):
            return folder
    last.mkdir(parents=True, exist_ok=True)
    return last


def _is_writable(folder: Path) -> bool:
    try:
        folder.mkdir(exist_ok=True)
        tempfile.TemporaryFile(dir=folder).close()
    except OSError:
        return False
    return True
