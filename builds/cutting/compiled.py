"""Functions that run as machine code, where it was made before, and as plain Python elsewhere.

    @compiled_part                              # called by compiled functions only
    def _next(chance): ...

    @compiled                                   # called from Python
    def search(sheet: Sheet, chance: Ints, most: int) -> int: ...

Both ways give the same answer; machine code gives it about a hundred times sooner. A search never
compiles: `warm` does, once after an installation, and keeps the code in files beside the bytecode
(or, where that folder is read-only, in the user's cache). A name tells for which functions the code
was made, so a changed function is not mistaken for the old one; numba keeps processors apart.

What a compiled function has to keep to, so that both ways agree:

- It takes whole numbers (int64), floats (float64), contiguous arrays of them (`Ints`, `Floats`) and
  named tuples of arrays, and makes no arrays itself. numba reads the types from the annotations;
  for more dimensions give a signature in numba's words: `@compiled("int64(int64[:, ::1])")`.
- Arrays are read and written by index; no slices, no views, no methods. In plain Python an array of
  one dimension arrives as a list, which is quicker there.
- Whole numbers stay below 2**63; floats are only added, subtracted, multiplied, divided, compared.
- It calls compiled parts, and uses numbers named in its module; nothing else from outside.
- It is called for a few milliseconds of work at a time, so that the caller can ask for the time.

Chance is `draw`, with a state from `seeded`.
"""

import hashlib
import os
import sys
import threading
from collections.abc import Callable, Iterator
from functools import cache, cached_property, update_wrapper
from importlib import import_module
from pathlib import Path
from types import FunctionType, ModuleType
from typing import Annotated, Any, Generic, ParamSpec, TypeVar, get_type_hints, overload

Ints = Annotated[Any, "int64[::1]"]
Floats = Annotated[Any, "float64[::1]"]

# Division by zero is not looked for, and arrays are not counted: none is made, all are lent.
OPTIONS: Any = {"error_model": "numpy", "_nrt": False}

PYTHON = f"py{sys.version_info[0]}{sys.version_info[1]}{sys.abiflags}"

P = ParamSpec("P")
R = TypeVar("R")
_F = TypeVar("_F", bound=Callable[..., Any])

_WAIT_SECONDS = 0.005  # between two looks at the clock while machine code is loaded

_parts: dict[Callable[..., Any], None] = {}
_entries: list["Compiled[..., Any]"] = []


class Compiled(Generic[P, R]):
    """A function called from Python: machine code if it is at hand, else plain Python."""

    def __init__(self, function: Callable[P, R], signature: str | None) -> None:
        self.function = function
        self.signature = signature
        self.machine_code: Callable[P, R] | None = None
        update_wrapper(self, function)

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        if self.machine_code:
            return self.machine_code(*args, **kwargs)
        return self.plain(*args)

    def plain(self, *args: Any) -> R:
        """Call the function as plain Python; what it writes into arrays is written back."""
        lists = [_with_lists(arg) for arg in args]
        answer = self.function(*lists)  # type: ignore[call-arg]
        for arg, changed in zip(args, lists, strict=True):
            _write_back(changed, arg)
        return answer

    @property
    def annotations(self) -> list[Any]:
        """Of what it takes, in order, and of what it gives, last."""
        hints = get_type_hints(self.function, include_extras=True)
        return list(hints.values())

    @property
    def file_name(self) -> str:
        """What the names of its files begin with."""
        module = self.function.__module__.rpartition(".")[2]
        return f"{module}.{self.function.__qualname__}"

    @cached_property
    def mark(self) -> str:
        """Changes with all that the machine code hangs on."""
        digest = hashlib.sha256()
        for text in _dependencies(self.function, set()):
            digest.update(text.encode())
        types = self.signature or repr(list(map(_fields, self.annotations)))
        digest.update(f"{types}{OPTIONS}".encode())
        return digest.hexdigest()[:16]


@overload
def compiled(given: str) -> Callable[[Callable[P, R]], Compiled[P, R]]: ...
@overload
def compiled(given: Callable[P, R]) -> Compiled[P, R]: ...
def compiled(given: Any) -> Any:
    """Mark a function that Python calls."""
    if isinstance(given, str):
        return lambda function: _enter(function, given)
    return _enter(given, None)


def _enter(function: Callable[P, R], signature: str | None) -> Compiled[P, R]:
    entry = Compiled(function, signature)
    _entries.append(entry)
    return entry


def compiled_part(function: _F) -> _F:
    """Mark a function that only compiled functions call."""
    _parts[function] = None
    return function


@compiled_part
def draw(chance: Any) -> Any:
    """A number from 0 to 1, without 1.

    Multiply with carry: Marsaglia, Journal of Modern Applied Statistical Methods 2 (2003) 2-13.
    """
    chance[0] = 1791398085 * (chance[0] & 0xFFFFFFFF) + (chance[0] >> 32)
    return (chance[0] & 0xFFFFFFFF) * (1.0 / 4294967296.0)


@compiled_part
def draw_below(chance: Any, count: int) -> Any:
    """A whole number from 0 to count - 1."""
    return int(draw(chance) * count)


def seeded(seed: int) -> Any:
    """A state for `draw`: int64[1]."""
    import numpy as np

    chance = np.array([(123456789 << 32) + seed * 2654435761 % 2**32], dtype=np.int64)
    for _ in range(8):  # seeds that are near each other soon are not
        draw(chance)
    return chance


def get_ready(stop: Callable[[], bool]) -> None:
    """Load machine code unless that was tried before; go on without it when time is up.

    It takes some tenths of a second, once in a process; the clock is asked meanwhile.
    """
    loading = _loading()
    while loading.is_alive() and not stop():
        loading.join(_WAIT_SECONDS)


@cache
def _loading() -> threading.Thread:
    thread = threading.Thread(target=_load, daemon=True)
    thread.start()
    return thread


def _load() -> None:
    kept = [entry for entry in _entries if is_kept(entry)]
    machine = import_machine() if kept else None
    if machine:
        machine.load(kept)


def warm() -> bool:
    """Make all machine code that is not there yet; False where numba is missing."""
    machine = import_machine()
    if machine:
        machine.make(_entries)
    return machine is not None


def all_kept() -> bool:
    """Whether machine code was made for all functions as they are now."""
    return all(is_kept(entry) for entry in _entries)


def is_kept(entry: Compiled[..., Any]) -> bool:
    return folder_of(entry) is not None


def folder_of(entry: Compiled[..., Any]) -> Path | None:
    """Where the machine code of this function is kept; None: it was not made, or for another."""
    name = f"{entry.file_name}-{entry.mark}.{PYTHON}.nbi"
    return next((folder for folder in folders() if (folder / name).exists()), None)


def entry_of(function: Callable[..., Any]) -> Compiled[..., Any]:
    return next(entry for entry in _entries if entry.function is function)


def folders() -> tuple[Path, ...]:
    """Where machine code may be kept, the best place first."""
    users = Path(os.environ.get("XDG_CACHE_HOME") or "~/.cache").expanduser()
    return Path(__file__).parent / "__pycache__", users / "habitats"


def parts() -> tuple[Callable[..., Any], ...]:
    return tuple(_parts)


def import_machine() -> ModuleType | None:
    """The module that knows numba; None where numba is missing."""
    try:
        return import_module("builds.cutting.machine")
    except ImportError:
        return None


def _fields(annotation: Any) -> Any:
    """The annotation, or those of its fields."""
    return getattr(annotation, "__annotations__", annotation)


def _with_lists(arg: Any) -> Any:
    """Arrays of one dimension as lists, within named tuples too."""
    if isinstance(arg, tuple):
        return type(arg)(*map(_with_lists, arg))
    return arg.tolist() if getattr(arg, "ndim", 0) == 1 else arg


def _write_back(changed: Any, arg: Any) -> None:
    if isinstance(arg, tuple):
        for part, into in zip(changed, arg, strict=True):
            _write_back(part, into)
    elif isinstance(changed, list):
        arg[:] = changed


def _dependencies(function: Callable[..., Any], seen: set[object]) -> Iterator[str]:
    """All that the machine code of a function hangs on, its parts' included; not its comments."""
    assert isinstance(function, FunctionType)
    code = function.__code__
    yield repr((code.co_code, code.co_consts, code.co_names, code.co_varnames, code.co_argcount))
    for name in code.co_names:
        value = function.__globals__.get(name)
        if isinstance(value, FunctionType) and value in _parts:
            if value not in seen:
                seen.add(value)
                yield from _dependencies(value, seen)
        elif isinstance(value, int | float | tuple):
            yield repr((name, value))
