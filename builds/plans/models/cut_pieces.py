"""Pieces of a build that are cut: from then on they are made for one sheet, and for no other."""

from builds.making.step import Task
from builds.plans.models.build_acts import Tick
from builds.plans.models.builds import Build


def has_cut_pieces(build: Build) -> bool:
    """Whether a step that cuts a piece is ticked, of the plan as it is now."""
    cutting = build.plans.newest_first()[0].steps.filter(card__facts__0=Task.CUT_BLANK)
    words = Tick.objects.last_words().filter(build=build, step_key__in=cutting.values("key"))
    return words.filter(is_done=True).exists()
