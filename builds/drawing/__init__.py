"""Pure: plans, views from a corner, blanks and sheets drawn as SVG, to scale."""

from builds.drawing.blanks import blank_picture
from builds.drawing.corner import corner_picture
from builds.drawing.cutter_svg import blank_svg_mm
from builds.drawing.dxf import blank_dxf, sheet_dxf
from builds.drawing.footprint import footprint_picture
from builds.drawing.panels import panel_bend_picture, panel_cut_picture
from builds.drawing.plan import plan_picture
from builds.drawing.ramps import ramp_picture
from builds.drawing.sheets import sheet_picture
from builds.drawing.steps import step_picture

__all__ = [
    "blank_dxf",
    "blank_picture",
    "blank_svg_mm",
    "corner_picture",
    "footprint_picture",
    "panel_bend_picture",
    "panel_cut_picture",
    "plan_picture",
    "ramp_picture",
    "sheet_dxf",
    "sheet_picture",
    "step_picture",
]
