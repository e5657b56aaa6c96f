"""Every step on the drawing board, as the addresses name it."""

from builds.designs.forms import steps, whole_steps
from builds.designs.forms.furniture import FurnitureForm
from habitats.structure.kinds import edge_kinds

STEPS: dict[str, type[steps.EditForm]] = {
    "rectangle": whole_steps.RectangleForm,
    "cells": steps.CellsForm,
    "plan": steps.PlanForm,
    **{kind.role: steps.fitting_form(kind.role) for kind in edge_kinds()},
    "ramp": steps.RampEdgeForm,
    "ramp-parts": steps.RampForm,
    "level": steps.LevelForm,
    "add-level": steps.AddLevelForm,
    "remove-level": steps.RemoveLevelForm,
    "lid": steps.LidForm,
    "guards": steps.GuardsForm,
    "room": steps.RoomWallsForm,
    "supports": steps.SupportsForm,
    "furniture": FurnitureForm,
    "pup-set": steps.PupSetForm,
    "panel": steps.PanelForm,
    "tray": steps.TrayForm,
    "about": steps.AboutForm,
    "turn": whole_steps.TurnForm,
    "mirror": whole_steps.MirrorForm,
    "move-level": whole_steps.MoveLevelForm,
    "remedy": whole_steps.RemedyForm,
    "wish": whole_steps.WishForm,
}
