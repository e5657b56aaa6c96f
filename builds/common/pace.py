"""The rescue's own pace at each kind of work, for whatever tells a time that is not planned yet."""

from builds.making.pace import Pace
from habitats.rescue.models.rescue import Rescue


def our_pace() -> Pace:
    """One small question. Nothing is known of it where the rescue does not learn."""
    return Pace(Rescue.our_work_pace())
