"""A cutting job read from JSON, with every fault named by its place.

Defaults for what may be left out: a piece's `quantity` 1 and `rotate` true; a stock's `quantity`
null (any number); `kerf` 0, `trim` 0, `guillotine` true, `stages` 3, `seconds` 2, `least_offcut`
150. `stages` null is as many as it takes. A stock's `cost` has no default, because the plan follows
it: 0 is right for an offcut that is already paid for.
A piece that fits no sheet is no fault here: the plan returns it with the reason.
"""

from collections.abc import Callable
from decimal import Decimal
from typing import NamedTuple, TypeGuard, TypeVar

from builds.cutting import limits
from builds.cutting.values import Job, StockSheet, WantedPiece
from habitats import strict_json

JOB_KEYS = (
    "pieces",
    "stock",
    "kerf",
    "trim",
    "guillotine",
    "stages",
    "seconds",
    "least_offcut",
)
PIECE_KEYS = ("id", "width", "height", "quantity", "rotate")
STOCK_KEYS = ("id", "width", "height", "quantity", "cost")

Item = TypeVar("Item", WantedPiece, StockSheet)


class JobFault(NamedTuple):
    """One thing wrong: where (`pieces[2].width`) and a sentence on what is given and allowed."""

    place: str
    message: str

    def __str__(self) -> str:
        return f"{self.place}: {self.message}"


class BadJob(ValueError):
    """The job cannot be planned; `faults` are all that were found, in the order of the file."""

    def __init__(self, faults: tuple[JobFault, ...]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = faults


def read_job(data: bytes | str) -> Job:
    """Read a job from JSON. Raises BadJob with at least one fault, and nothing else."""
    raw = data.encode("utf-8", "surrogatepass") if isinstance(data, str) else data
    return _read(lambda: strict_json.load(raw))


def read_job_file(path: str) -> Job:
    """Read a job from a file, or from standard input for `-`. Raises BadJob."""
    return _read(lambda: strict_json.load_file(path))


def _read(load: Callable[[], object]) -> Job:
    try:
        return job_from(load())
    except strict_json.NotReadable as error:
        raise BadJob((JobFault("job", error.args[0]),)) from error


def job_from(value: object) -> Job:
    """Make a job of parsed JSON. Raises BadJob."""
    reader = _Reader()
    job = reader.job(value)
    if reader.faults:
        raise BadJob(_named(reader.faults))
    return job


def _named(faults: list[JobFault]) -> tuple[JobFault, ...]:
    more = len(faults) - limits.FAULTS_NAMED
    if more <= 0:
        return tuple(faults)
    return (*faults[: limits.FAULTS_NAMED], JobFault("job", f"{more} more faults are not listed."))


class _Reader:
    """Walks the parsed JSON once and notes each fault.

    A faulty value is replaced by a harmless one, so that reading goes on and the next fault is
    found as well; the job so made is thrown away.
    """

    def __init__(self) -> None:
        self.faults: list[JobFault] = []

    def job(self, value: object) -> Job:
        raw = self._object(value, "job", JOB_KEYS)
        guillotine = self._flag(raw, "guillotine", "", default=True)
        job = Job(
            pieces=self._list(raw, "pieces", limits.PIECE_KINDS, self._piece),
            stock=self._list(raw, "stock", limits.STOCK_KINDS, self._stock),
            kerf=self._whole(raw, "kerf", "", least=0, most=limits.KERF_MM, default=0),
            trim=self._whole(raw, "trim", "", least=0, most=limits.TRIM_MM, default=0),
            guillotine=guillotine,
            stages=self._stages(raw, guillotine),
            seconds=self._seconds(raw),
            least_offcut=self._least_offcut(raw),
        )
        self._check_total(job)
        self._check_trim(job)
        return job

    def _piece(self, value: object, place: str) -> WantedPiece:
        raw = self._object(value, place, PIECE_KEYS)
        return WantedPiece(
            id=self._id(raw, place),
            width=self._size(raw, "width", place),
            height=self._size(raw, "height", place),
            quantity=self._whole(raw, "quantity", place, least=1, most=limits.PIECES, default=1),
            rotate=self._flag(raw, "rotate", place, default=True),
        )

    def _stock(self, value: object, place: str) -> StockSheet:
        raw = self._object(value, place, STOCK_KEYS)
        return StockSheet(
            id=self._id(raw, place),
            width=self._size(raw, "width", place),
            height=self._size(raw, "height", place),
            quantity=self._stock_quantity(raw, place),
            cost=self._cost(raw, place),
        )

    def _object(self, value: object, place: str, keys: tuple[str, ...]) -> dict[str, object]:
        if not isinstance(value, dict):
            self._fault(place, f"{_shown(value)} is not an object with {_listed(keys)}.")
            return {}
        for key in value:
            if key not in keys:
                self._fault(place, f"{_shown(key)} is no key here; allowed are {_listed(keys)}.")
        return value

    def _list(
        self,
        raw: dict[str, object],
        key: str,
        most: int,
        read_item: Callable[[object, str], Item],
    ) -> tuple[Item, ...]:
        value = raw.get(key)
        if not isinstance(value, list) or not value:
            self._fault(key, f"{_given(raw, key)}; give a list of at least one.")
            return ()
        if len(value) > most:
            self._fault(key, f"{len(value)} are listed; at most {most} are allowed.")
            return ()
        items = tuple(read_item(item, f"{key}[{index}]") for index, item in enumerate(value))
        self._check_ids_differ(items, key)
        return items

    def _check_ids_differ(self, items: tuple[Item, ...], key: str) -> None:
        first_with: dict[str, int] = {}
        for index, item in enumerate(items):
            first = first_with.setdefault(item.id, index)
            if item.id and first != index:
                self._fault(
                    f"{key}[{index}].id",
                    f"{_shown(item.id)} is the id of {key}[{first}] too; give each its own.",
                )

    def _id(self, raw: dict[str, object], place: str) -> str:
        value = raw.get("id")
        if isinstance(value, str) and 0 < len(value) <= limits.ID_LETTERS and value.isprintable():
            return value
        self._fault(
            f"{place}.id",
            f"{_given(raw, 'id')}; give a text of 1 to {limits.ID_LETTERS} printable letters.",
        )
        return ""

    def _size(self, raw: dict[str, object], key: str, place: str) -> int:
        return self._whole(raw, key, place, least=1, most=limits.SIZE_MM, unit=" of millimetres")

    def _whole(
        self,
        raw: dict[str, object],
        key: str,
        place: str,
        *,
        least: int,
        most: int,
        default: int | None = None,
        unit: str = "",
    ) -> int:
        if default is not None and key not in raw:
            return default
        value = raw.get(key)
        if isinstance(value, int) and not isinstance(value, bool) and least <= value <= most:
            return value
        self._fault(
            _join(place, key),
            f"{_given(raw, key)}; give a whole number{unit} from {least} to {most}.",
        )
        return least

    def _flag(self, raw: dict[str, object], key: str, place: str, *, default: bool) -> bool:
        value = raw.get(key, default)
        if isinstance(value, bool):
            return value
        self._fault(_join(place, key), f"{_given(raw, key)}; give true or false.")
        return default

    def _stock_quantity(self, raw: dict[str, object], place: str) -> int | None:
        if raw.get("quantity") is None:
            return None
        return self._whole(raw, "quantity", place, least=0, most=limits.STOCK_SHEETS)

    def _cost(self, raw: dict[str, object], place: str) -> Decimal:
        value = raw.get("cost")
        if _is_number(value):
            # By way of the shortest text: 12.35 means twelve thirty-five, not the nearest binary.
            cost = Decimal(str(value))
            if 0 <= cost <= limits.COST and cost == round(cost, limits.COST_PLACES):
                return cost
        self._fault(
            f"{place}.cost",
            f"{_given(raw, 'cost')}; give what one sheet costs, a number from 0 to {limits.COST} "
            f"with at most {limits.COST_PLACES} decimals (0 for an offcut you have).",
        )
        return Decimal(0)

    def _stages(self, raw: dict[str, object], guillotine: bool) -> int | None:
        stages = raw.get("stages", 3 if guillotine else None)
        if stages is not None and (stages != 3 or not isinstance(stages, int)):
            self._fault(
                "stages", f"{_given(raw, 'stages')}; give 3, or null for as many as it takes."
            )
        elif stages is not None and not guillotine:
            self._fault(
                "stages",
                "3 contradicts guillotine false: only cuts straight across a part come in stages; "
                "leave stages out, or set guillotine to true.",
            )
        return None if stages is None else 3

    def _seconds(self, raw: dict[str, object]) -> float:
        value = raw.get("seconds", 2)
        least, most = limits.LEAST_SECONDS, limits.MOST_SECONDS
        if _is_number(value) and least <= value <= most:
            return float(value)
        self._fault("seconds", f"{_given(raw, 'seconds')}; give a number from {least} to {most:g}.")
        return least

    def _least_offcut(self, raw: dict[str, object]) -> int:
        usual = Job((), ()).least_offcut
        most, unit = limits.SIZE_MM, " of millimetres"
        return self._whole(raw, "least_offcut", "", least=0, most=most, default=usual, unit=unit)

    def _check_total(self, job: Job) -> None:
        total = sum(piece.quantity for piece in job.pieces)
        if total > limits.PIECES:
            self._fault(
                "pieces",
                f"{total} pieces are wanted in all; at most {limits.PIECES} are planned at once, "
                "cut them in several jobs.",
            )

    def _check_trim(self, job: Job) -> None:
        if self.faults:
            return  # the sizes may be stand-ins
        for index, stock in enumerate(job.stock):
            if min(stock.width, stock.height) <= 2 * job.trim:
                self._fault(
                    "trim",
                    f"{job.trim} mm along each edge leaves nothing of stock[{index}], "
                    f"{stock.width} x {stock.height} mm; trim less, or leave that stock out.",
                )

    def _fault(self, place: str, message: str) -> None:
        self.faults.append(JobFault(place, message))


def _is_number(value: object) -> TypeGuard[int | float]:
    """True and False are whole numbers to Python, but not to the person who wrote them."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def _join(place: str, key: str) -> str:
    return f"{place}.{key}" if place else key


def _given(raw: dict[str, object], key: str) -> str:
    return f"{_shown(raw[key])} is given" if key in raw else f"{key} is missing"


def _listed(keys: tuple[str, ...]) -> str:
    return ", ".join(keys)


def _shown(value: object) -> str:
    """A value as a person wrote it, short and printable, whatever it is."""
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return "a list" if value else "an empty list"
    if isinstance(value, str):
        return repr(value if len(value) <= 40 else value[:40] + "...")
    return str(value)
