"""How long the work takes: one table of seconds a part, for people who do it the first time.

All of it is common practice without a source; builders who have made one are faster.
"""

SECONDS_A_MINUTE = 60

SORTED_PANEL = 10
LAYING_OUT = 600
MARKED_SIDE = 60
MEASURING = 600
CUT_WIRE = 20
FILED_WIRE = 30
MARKING_A_PANEL = 240
BENT_PANEL = 420
JOINED_CHANNEL = 180
CUT_METRE_OF_SHEET = 90
MARKING_A_BLANK = 480
SCORED_METRE = 60
TAPED_CORNER = 90
TAPED_JOIN = 300
CONNECTOR = 30
PANEL = 45
TIE = 25
ANCHOR = 600
FREED_ANCHOR = 120
LAID_TRAY = 360
HUNG_RAMP = 720
LAID_LINER = 120
SET_UP_PIECE = 60
PUP_PANEL = 90
TAKEN_PUP_PANEL = 40
INSPECTED_POINT = 50
TAKEN_PANEL = 30
TAKEN_CONNECTOR = 15
CUT_TIE = 10
TAKEN_TRAY = 240
TAKEN_RAMP = 360
TAKEN_LINEN = 60
TURNED_CONNECTOR = 60
OPENED_TRAY = 600
ANIMALS_MOVED = 900


def minutes(*work: tuple[int, int]) -> int:
    """Whole minutes, rounded up, at least one, for so many of so many seconds each."""
    seconds = sum(count * each for count, each in work)
    return max(1, -(-seconds // SECONDS_A_MINUTE))
