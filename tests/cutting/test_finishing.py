"""The largest offcut and the fewest set-ups, checked against trying everything on tiny sheets."""

from decimal import Decimal
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from builds.cutting import Job, StockSheet, WantedPiece
from builds.cutting.draft import Draft, layout_of
from builds.cutting.finishing import finished
from builds.cutting.greedy import greedy_drafts
from builds.cutting.work import WorkBudget

Sizes = tuple[tuple[int, int], ...]


def never() -> bool:
    return False


def complete_draft(job: Job) -> Draft:
    return min(greedy_drafts(job, never), key=lambda draft: draft.rank)


def finish(draft: Draft, work: int = 400) -> Draft:
    *_, last = [draft, *finished(draft, WorkBudget(work, never))]
    return last


def job_of(*pieces: tuple[int, int, int], sheet: tuple[int, int], least: int = 1) -> Job:
    """Turnable pieces given by width, height and quantity."""
    return Job(
        tuple(WantedPiece(f"p{n}", *piece) for n, piece in enumerate(pieces)),
        (StockSheet("sheet", *sheet, None, Decimal(1)),),
        least_offcut=least,
    )


# --- Trying everything: each cut at each millimetre ---


def largest_offcut(sheet: tuple[int, int], pieces: Sizes) -> int:
    """The largest rectangle that three stages of cuts leave beside these turnable pieces.

    -1 if they do not fit. A fourth stage may trim a piece.
    """

    @cache
    def best(width: int, height: int, wanted: Sizes, down: bool, stages: int) -> int:
        if not wanted:
            return width * height
        if (width, height) in (wanted[0], wanted[0][::-1]) and len(wanted) == 1:
            return 0
        if stages == 0 and len(wanted) > 1:
            return -1
        found = best(width, height, wanted, not down, stages - 1) if stages else -1
        for at in range(1, width if down else height):
            one = (at, height) if down else (width, at)
            other = (width - at, height) if down else (width, height - at)
            for mine, theirs in shared_out(wanted):
                here = best(*one, mine, down, stages)
                if here >= 0 and (there := best(*other, theirs, down, stages)) >= 0:
                    found = max(found, here, there)
        return found

    return max(best(*sheet, pieces, down, 3) for down in (False, True))


@cache
def shared_out(pieces: Sizes) -> set[tuple[Sizes, Sizes]]:
    """All ways to have some pieces on one side of a cut and the others on the other."""
    return {
        (
            tuple(piece for n, piece in enumerate(pieces) if mask >> n & 1),
            tuple(piece for n, piece in enumerate(pieces) if not mask >> n & 1),
        )
        for mask in range(2 ** len(pieces))
    }


TINY = st.lists(st.tuples(st.integers(1, 4), st.integers(1, 4)), min_size=1, max_size=4)


def tiny_job(sizes: list[tuple[int, int]]) -> Job:
    return job_of(*((width, height, 1) for width, height in sizes), sheet=(7, 5))


@given(TINY)
@settings(max_examples=25)
def test_no_offcut_is_larger_than_the_largest_there_can_be(sizes: list[tuple[int, int]]) -> None:
    draft = finish(complete_draft(tiny_job(sizes)), work=100)

    if len(draft.boards) == 1:
        assert draft.largest_offcut <= largest_offcut((7, 5), tuple(sorted(sizes)))


def test_the_largest_offcut_is_found_on_most_tiny_sheets() -> None:
    sides = [(1 + n * 7 % 4, 1 + n * 11 % 3) for n in range(60)]
    cases = [sides[start : start + 4] for start in range(0, 56, 3)]
    drafts = [finish(complete_draft(tiny_job(sizes)), work=1_500) for sizes in cases]
    pairs = [
        (draft.largest_offcut, largest_offcut((7, 5), tuple(sorted(sizes))))
        for draft, sizes in zip(drafts, cases, strict=True)
        if len(draft.boards) == 1
    ]

    assert len(pairs) >= 12
    assert sum(ours == best for ours, best in pairs) >= 0.9 * len(pairs)


# --- By hand ---


def test_pieces_move_to_the_other_sheet_for_a_larger_offcut() -> None:
    # Three of 60 x 60 and two of 40 x 20 from 100 x 60. With one large and two small ones on one
    # sheet, each of the others has 40 x 60 = 2400 left; nothing leaves more.
    draft = finish(complete_draft(job_of((60, 60, 3), (40, 20, 2), sheet=(100, 60), least=10)))

    assert len(draft.boards) == 3
    assert draft.largest_offcut == 2400


def test_the_offcut_stands_on_the_sheet() -> None:
    # 60 x 20 and 40 x 60 from 100 x 60 leave 2400 mm², and all of it can be one rectangle.
    draft = finish(complete_draft(job_of((60, 20, 1), (40, 60, 1), sheet=(100, 60))))

    (sheet,) = layout_of(draft, 0, out_of_time=False).sheets
    assert [offcut.area for offcut in sheet.offcuts] == [2400]


def test_an_offcut_of_the_store_is_not_opened_for_its_own_rest() -> None:
    job = job_of((50, 50, 1), sheet=(100, 60))
    store = StockSheet("rest", 300, 300, 1, Decimal(0))
    draft = complete_draft(job)
    richer = Draft(Job(job.pieces, (*job.stock, store), least_offcut=1), draft.boards, draft.left)

    assert [board.frame.source for board in finish(richer).boards] == [0]


def test_equal_strips_need_one_measure() -> None:
    # Two of 50 x 20 and two of 50 x 10 above each other, twice, take all of 100 x 60: bands of two
    # heights with stacks of one width need three measures, and no layout needs fewer.
    draft = complete_draft(job_of((50, 20, 4), (50, 10, 4), sheet=(100, 60)))

    assert finish(draft).set_ups == 3


def test_what_costs_more_or_places_less_never_comes_out() -> None:
    draft = complete_draft(job_of((37, 23, 9), (51, 17, 7), (29, 29, 5), sheet=(100, 60)))

    for better in finished(draft, WorkBudget(300, never)):
        assert better.rank < draft.rank
        assert (better.area_left, better.cost) == (draft.area_left, draft.cost)
        draft = better


def test_the_same_work_finishes_the_same_way() -> None:
    draft = complete_draft(job_of((37, 23, 9), (51, 17, 7), (29, 29, 5), sheet=(100, 60)))

    plans = [layout_of(finish(draft, work=200), 0, out_of_time=False) for _ in range(2)]
    assert plans[0] == plans[1]


def test_when_time_is_up_nothing_more_is_asked() -> None:
    draft = complete_draft(job_of((37, 23, 9), (51, 17, 7), sheet=(100, 60)))

    assert list(finished(draft, WorkBudget(10_000, lambda: True))) == []
