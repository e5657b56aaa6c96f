"""Addresses of animals and groups."""

from django.urls import path

from habitats.animals.views import (
    animal_events,
    animals,
    bonding,
    climbing,
    groups,
    joining,
    litters,
    lived_together,
    merging,
    undoing,
    weighing,
)

urlpatterns = [
    path("animals/", animals.animals, name="animals"),
    path("animals/new/", animals.new_animal, name="new_animal"),
    path("animals/<slug:code>/", animals.animal, name="animal"),
    path("animals/<slug:code>/edit/", animals.edit_animal, name="edit_animal"),
    path("animals/<slug:code>/merge/", merging.merge_animal, name="merge_animal"),
    path("animals/<slug:code>/photo/", animals.animal_photo, name="animal_photo"),
    path("animals/<slug:code>/photo/keep/", animals.keep_photo, name="keep_photo"),
    path("animals/<slug:code>/photo/drop/", animals.drop_photo, name="drop_photo"),
    path("animals/<slug:code>/weigh/", weighing.weigh_animal, name="weigh_animal"),
    path(
        "animals/<slug:code>/weighings/<int:pk>/strike/",
        weighing.strike_weighing,
        name="strike_weighing",
    ),
    path("animals/<slug:code>/birth/", litters.birth, name="birth"),
    path("animals/<slug:code>/quarantine/", animal_events.quarantine, name="quarantine"),
    path(
        "animals/<slug:code>/lived-together/",
        lived_together.lived_together,
        name="lived_together",
    ),
    path("animals/<slug:code>/climbing/", climbing.climbing, name="climbing"),
    path("animals/<slug:code>/bonding/", bonding.bonding, name="bonding"),
    path("animals/<slug:code>/leaving/", animal_events.leaving, name="leaving"),
    path("animals/<slug:code>/come-back/", animal_events.come_back, name="come_back"),
    path("undo/<int:pk>/", undoing.undo_act, name="undo"),
    path("weigh/", weighing.weigh, name="weigh"),
    path("groups/new/", joining.new_group, name="new_group"),
    path("groups/lived-together/", lived_together.lived_together_here, name="lived_together_here"),
    path("groups/<slug:code>/", groups.group, name="group"),
    path("groups/<slug:code>/edit/", groups.edit_group, name="edit_group"),
    path("groups/<slug:code>/admit/", joining.admit, name="admit"),
    path("groups/<slug:code>/part/<slug:animal>/", groups.part_from, name="part_from"),
    path("groups/<slug:code>/let-be/", groups.let_be_in, name="let_be"),
    path("groups/<slug:code>/leave/", groups.leave_enclosure, name="leave_enclosure"),
]
