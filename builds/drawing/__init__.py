"""Pure: plans, views from a corner, blanks and sheets drawn as SVG, to scale."""

from builds.drawing.corner import corner_picture
from builds.drawing.footprint import footprint_picture
from builds.drawing.plan import plan_picture

__all__ = ["corner_picture", "footprint_picture", "plan_picture"]
