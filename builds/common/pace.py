"""The rescue's own pace at each kind of work, for whatever tells a time that is not planned yet."""

from builds.making.pace import WorkPace
from habitats.rescue.models.rescue import Rescue


def our_pace() -> WorkPace:
    """One small question. Nothing is known of it where the rescue does not learn."""
    return WorkPace(Rescue.our_work_pace())
