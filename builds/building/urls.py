"""Addresses of builds and the work on them."""

from django.urls import path

from builds.building.views import (
    acts,
    altering,
    build_acts,
    build_days,
    build_ends,
    build_steps,
    builds,
    changing,
    off_line,
    packet,
    panel_size,
    repairing,
    retiring,
    times,
)

urlpatterns = [
    path("service-worker.js", off_line.service_worker, name="service_worker"),
    path("manifest.webmanifest", off_line.manifest, name="manifest"),
    path("no-signal/", off_line.no_signal, name="no_signal"),
    path("unsent/", off_line.unsent, name="unsent"),
    path("b/<slug:code>/", builds.build_link, name="build_link"),
    path("builds/", builds.builds, name="builds"),
    path("builds/new/", builds.new_build, name="new_build"),
    path("builds/times/", times.times, name="times"),
    path("builds/<slug:code>/", builds.build, name="build"),
    path("builds/<slug:code>/edit/", builds.edit_build, name="edit_build"),
    path("builds/<slug:code>/say/", builds.set_build_state, name="say_build"),
    path("builds/<slug:code>/replan/", build_ends.replan_build, name="replan_build"),
    path("builds/<slug:code>/inspect/", build_ends.inspect_build, name="inspect_build"),
    path("builds/<slug:code>/repairs/<int:pk>/mended/", build_ends.mend_repair, name="mend_repair"),
    path("builds/<slug:code>/hand-over/", build_ends.hand_over_build, name="hand_over_build"),
    path("builds/<slug:code>/panel-size/", panel_size.report_panel_size, name="report_panel_size"),
    path(
        "builds/<slug:code>/panel-size/<int:pk>/",
        panel_size.answer_panel_size,
        name="answer_panel_size",
    ),
    path("builds/<slug:code>/days/new/", build_days.new_build_day, name="new_build_day"),
    path("builds/<slug:code>/days/<int:pk>/", build_days.build_day, name="build_day"),
    path(
        "builds/<slug:code>/days/<int:pk>/edit/", build_days.edit_build_day, name="edit_build_day"
    ),
    path(
        "builds/<slug:code>/days/<int:pk>/delete/",
        build_days.delete_build_day,
        name="delete_build_day",
    ),
    path(
        "builds/<slug:code>/days/<int:pk>.ics", build_days.build_day_entry, name="build_day_entry"
    ),
    path("enclosures/<slug:code>/alter/", altering.alter_enclosure, name="alter_enclosure"),
    path("enclosures/<slug:code>/board/", changing.board, name="change_enclosure"),
    path("enclosures/<slug:code>/plan-alteration/", altering.plan_change, name="plan_change"),
    path("enclosures/<slug:code>/board/wishes/", changing.wishes, name="change_wishes"),
    path("enclosures/<slug:code>/board/view/", changing.corner_view, name="change_corner"),
    path("enclosures/<slug:code>/board/again/", changing.start_again, name="change_again"),
    path("enclosures/<slug:code>/board/undo/", changing.undo, name="change_undo"),
    path("enclosures/<slug:code>/board/redo/", changing.redo, name="change_redo"),
    path("enclosures/<slug:code>/board/<slug:step>/", changing.step, name="change_step"),
    path("enclosures/<slug:code>/repair/", repairing.plan_repair, name="plan_repair"),
    path("enclosures/<slug:code>/retire/", retiring.retire_enclosure, name="retire_enclosure"),
    path("builds/<slug:code>/packet/", packet.build_packet, name="build_packet"),
    path("builds/<slug:code>/packet.pdf", packet.build_packet_pdf, name="build_packet_pdf"),
    path("builds/<slug:code>/acts/", acts.acts, name="acts"),
    path("builds/<slug:code>/ticks/", acts.ticks, name="ticks"),
    path("builds/<slug:code>/note/", build_acts.note_build, name="note_build"),
    path("builds/<slug:code>/photo/", build_acts.photo_build, name="photo_build"),
    path("builds/<slug:code>/photos/<int:pk>.jpg", build_acts.build_photo, name="build_photo"),
    path(
        "builds/<slug:code>/overtaken/<int:pk>/read/",
        build_acts.read_overtaken,
        name="read_overtaken",
    ),
    path("builds/<slug:code>/strays/<int:pk>.jpg", build_acts.stray_photo, name="stray_photo"),
    path("builds/<slug:code>/shortage/", build_acts.report_shortage, name="report_shortage"),
    path("builds/<slug:code>/steps/<slug:key>/", build_steps.build_step, name="build_step"),
    path("builds/<slug:code>/steps/<slug:key>/tick/", build_steps.tick_step, name="tick_step"),
    path(
        "builds/<slug:code>/steps/<slug:key>/untick/", build_steps.untick_step, name="untick_step"
    ),
    path("builds/<slug:code>/steps/<slug:key>/start/", build_steps.start_step, name="start_step"),
]
