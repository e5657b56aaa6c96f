"""Jobs from JSON: what is taken, what is refused, and that each fault names its place."""

import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.cutting import BadJob, Job, JobFault, StockSheet, WantedPiece, read_job
from builds.cutting.limits import FAULTS_NAMED

PIECE = {"id": "side", "width": 400, "height": 300, "quantity": 2, "rotate": False}
STOCK = {"id": "sheet", "width": 1220, "height": 2440, "quantity": None, "cost": 12.35}
JOB = {
    "pieces": [PIECE],
    "stock": [STOCK],
    "kerf": 2,
    "trim": 5,
    "guillotine": True,
    "seconds": 1,
}
GONE = object()


def changed(value: dict[str, object], **changes: object) -> dict[str, object]:
    return {k: v for k, v in (value | changes).items() if v is not GONE}


def faults(value: object) -> list[str]:
    with pytest.raises(BadJob) as caught:
        read_job(json.dumps(value))
    return [str(fault) for fault in caught.value.faults]


def job_or_faults(data: str) -> Job | tuple[JobFault, ...]:
    try:
        return read_job(data)
    except BadJob as error:
        return error.faults


def test_a_whole_job_is_read() -> None:
    assert read_job(json.dumps(JOB)) == Job(
        pieces=(WantedPiece("side", 400, 300, 2, rotate=False),),
        stock=(StockSheet("sheet", 1220, 2440, None, Decimal("12.35")),),
        kerf=2,
        trim=5,
        guillotine=True,
        stages=3,
        seconds=1.0,
    )


def test_what_is_left_out_has_a_default() -> None:
    piece = {"id": "side", "width": 400, "height": 300}
    stock = {"id": "sheet", "width": 1220, "height": 2440, "cost": 0}

    job = read_job(json.dumps({"pieces": [piece], "stock": [stock]}))

    assert job == Job(
        pieces=(WantedPiece("side", 400, 300, 1, rotate=True),),
        stock=(StockSheet("sheet", 1220, 2440, None, Decimal(0)),),
    )


def test_free_cutting_has_no_stages() -> None:
    assert read_job(json.dumps(changed(JOB, guillotine=False))).stages is None


def test_a_cost_means_the_decimal_that_was_written() -> None:
    job = read_job(json.dumps(changed(JOB, stock=[changed(STOCK, cost=0.1)])))

    assert job.stock[0].cost == Decimal("0.1")


def test_a_piece_larger_than_any_sheet_is_no_fault() -> None:
    job = read_job(json.dumps(changed(JOB, pieces=[changed(PIECE, width=5000)])))

    assert job.pieces[0].width == 5000


@pytest.mark.parametrize("bad", [0, -1, 1.5, 400.0, True, "400", None, [], 100_001, GONE])
@pytest.mark.parametrize("key", ["width", "height"])
def test_a_size_is_a_whole_number_in_range(key: str, bad: object) -> None:
    for name, value in (("pieces", PIECE), ("stock", STOCK)):
        (fault,) = faults(changed(JOB, **{name: [changed(value, **{key: bad})]}))

        assert fault.startswith(f"{name}[0].{key}: ")
        assert fault.endswith("give a whole number of millimetres from 1 to 100000.")


@pytest.mark.parametrize("bad", [0, -3, 1_000_000, None, False, 2.5])
def test_a_quantity_of_pieces_is_bounded(bad: object) -> None:
    (fault,) = faults(changed(JOB, pieces=[changed(PIECE, quantity=bad)]))

    assert fault.startswith("pieces[0].quantity: ")
    assert "from 1 to 20000" in fault


@pytest.mark.parametrize("bad", [-1, 0.5, True, "many"])
def test_a_quantity_of_stock_is_whole_or_null(bad: object) -> None:
    (fault,) = faults(changed(JOB, stock=[changed(STOCK, quantity=bad)]))

    assert fault.startswith("stock[0].quantity: ")


def test_stock_may_have_run_out() -> None:
    assert read_job(json.dumps(changed(JOB, stock=[changed(STOCK, quantity=0)])))


@pytest.mark.parametrize("bad", [-0.01, "12", None, True, [1], 10**10, 0.1234567, GONE])
def test_a_cost_is_a_number(bad: object) -> None:
    (fault,) = faults(changed(JOB, stock=[changed(STOCK, cost=bad)]))

    assert fault.startswith("stock[0].cost: ")


@pytest.mark.parametrize("bad", ["", 7, None, "x" * 81, "two\nlines", GONE])
def test_an_id_is_short_printable_text(bad: object) -> None:
    (fault,) = faults(changed(JOB, pieces=[changed(PIECE, id=bad)]))

    assert fault.startswith("pieces[0].id: ")
    assert fault.isprintable()


def test_an_id_given_twice_names_both_places() -> None:
    assert faults(changed(JOB, pieces=[PIECE, PIECE])) == [
        "pieces[1].id: 'side' is the id of pieces[0] too; give each its own."
    ]


def test_an_unknown_key_is_named_with_those_allowed() -> None:
    assert faults(changed(JOB, pieces=[changed(PIECE, colour="red")])) == [
        "pieces[0]: 'colour' is no key here; allowed are id, width, height, quantity, rotate."
    ]


@pytest.mark.parametrize("bad", [1, "yes", None])
def test_a_flag_is_true_or_false(bad: object) -> None:
    assert faults(changed(JOB, guillotine=bad))[0].startswith("guillotine: ")
    assert faults(changed(JOB, pieces=[changed(PIECE, rotate=bad)]))[0].startswith(
        "pieces[0].rotate: "
    )


@pytest.mark.parametrize("bad", [0, 0.01, 121, "2", True, None])
def test_seconds_are_bounded(bad: object) -> None:
    (fault,) = faults(changed(JOB, seconds=bad))

    assert fault.endswith("give a number from 0.05 to 120.")


@pytest.mark.parametrize("bad", [-1, 0.5, 101, True])
def test_a_kerf_is_bounded(bad: object) -> None:
    assert faults(changed(JOB, kerf=bad))[0].startswith("kerf: ")


@pytest.mark.parametrize("bad", [2, 4, True, 3.0, "3"])
def test_stages_are_three_or_as_many_as_it_takes(bad: object) -> None:
    assert faults(changed(JOB, stages=bad))[0].startswith("stages: ")


def test_stages_may_be_as_many_as_it_takes() -> None:
    job = read_job(json.dumps(changed(JOB, stages=None)))

    assert (job.guillotine, job.stages) == (True, None)


def test_the_least_offcut_is_read() -> None:
    assert read_job(json.dumps(changed(JOB, least_offcut=0))).least_offcut == 0


@pytest.mark.parametrize("bad", [-1, 0.5, 100_001, True, None, "150"])
def test_the_least_offcut_is_bounded(bad: object) -> None:
    (fault,) = faults(changed(JOB, least_offcut=bad))

    assert fault.startswith("least_offcut: ")
    assert fault.endswith("give a whole number of millimetres from 0 to 100000.")


def test_stages_contradict_free_cutting() -> None:
    (fault,) = faults(changed(JOB, guillotine=False, stages=3))

    assert fault.startswith("stages: 3 contradicts guillotine false")


def test_trim_that_leaves_nothing_of_a_sheet_is_refused() -> None:
    assert faults(changed(JOB, trim=610)) == [
        "trim: 610 mm along each edge leaves nothing of stock[0], 1220 x 2440 mm; "
        "trim less, or leave that stock out."
    ]


@pytest.mark.parametrize("bad", [[], {}, None, "all", 3, GONE])
@pytest.mark.parametrize("key", ["pieces", "stock"])
def test_a_list_of_at_least_one_is_needed(key: str, bad: object) -> None:
    (fault,) = faults(changed(JOB, **{key: bad}))

    assert fault.startswith(f"{key}: ")
    assert fault.endswith("give a list of at least one.")


@pytest.mark.parametrize("bad", [[], None, 3, "job"])
def test_a_job_is_an_object(bad: object) -> None:
    assert faults(bad)[0].startswith("job: ")


def test_too_many_kinds_of_piece_are_refused() -> None:
    pieces = [changed(PIECE, id=f"p{number}") for number in range(501)]

    assert faults(changed(JOB, pieces=pieces)) == [
        "pieces: 501 are listed; at most 500 are allowed."
    ]


def test_too_many_pieces_in_all_are_refused() -> None:
    pieces = [changed(PIECE, id=f"p{number}", quantity=10_001) for number in range(2)]

    assert faults(changed(JOB, pieces=pieces))[0].startswith("pieces: 20002 pieces are wanted")


def test_all_faults_are_named_at_once() -> None:
    job = changed(JOB, kerf=-1, pieces=[changed(PIECE, width=0, height=0), 5])

    places = [fault.partition(":")[0] for fault in faults(job)]

    assert places[:3] == ["pieces[0].width", "pieces[0].height", "pieces[1]"]
    assert places[-1] == "kerf"


def test_a_flood_of_faults_is_cut_short() -> None:
    pieces = [{"id": f"p{number}"} for number in range(100)]

    named = faults(changed(JOB, pieces=pieces))

    assert len(named) == FAULTS_NAMED + 1
    assert named[-1] == "job: 180 more faults are not listed."


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"hello",
        b"{",
        b"[" * 1000,
        b'{"kerf": NaN}',
        b'{"kerf": 1, "kerf": 1}',
        b"\xff",
        "\ud800",
    ],
)
def test_what_is_not_json_is_one_fault(data: bytes | str) -> None:
    with pytest.raises(BadJob) as caught:
        read_job(data)

    assert [fault.place for fault in caught.value.faults] == ["job"]


ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=6,
)


@given(
    key=st.sampled_from([*JOB, "stages"]),
    inner=st.sampled_from([*PIECE, "cost"]),
    value=ANY_JSON,
)
def test_no_value_anywhere_breaks_the_reader(key: str, inner: str, value: object) -> None:
    for job in (
        changed(JOB, **{key: value}),
        changed(JOB, pieces=[changed(PIECE, **{inner: value})]),
        changed(JOB, stock=[changed(STOCK, **{inner: value})]),
    ):
        answer = job_or_faults(json.dumps(job))

        assert isinstance(answer, Job) or all(str(fault).isprintable() for fault in answer)
