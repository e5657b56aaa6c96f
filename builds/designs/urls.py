"""Addresses of designs and the drawing board."""

from django.urls import path, re_path

from builds.designs.views import board, designs, files, packet, starters

urlpatterns = [
    path("d/<slug:code>/", designs.short_link, name="short_link"),
    path("designs/", designs.designs, name="designs"),
    path("designs/archived/", designs.archived_designs, name="archived_designs"),
    path("designs/new/", designs.new_design, name="new_design"),
    path("designs/starters/", starters.starter_designs, name="starter_designs"),
    path("designs/starters/copy/", starters.copy_starter, name="copy_starter"),
    path("designs/import/", files.import_design, name="import_design"),
    path("designs/<slug:code>/", designs.design, name="design"),
    path("designs/<slug:code>/name/", designs.rename_design, name="rename_design"),
    path("designs/<slug:code>/copy/", designs.copy_design, name="copy_design"),
    path("designs/<slug:code>/archive/", designs.archive_design, name="archive_design"),
    path("designs/<slug:code>/unarchive/", designs.unarchive_design, name="unarchive_design"),
    path("designs/<slug:code>/view/", designs.corner_view, name="corner_view"),
    re_path(
        r"^designs/(?P<code>[-\w]+)/blanks/(?P<number>[0-9]{1,3})\.(?P<form>dxf|svg)$",
        files.blank_file,
        name="blank_file",
    ),
    path("designs/<slug:code>/file/", files.design_file, name="design_file"),
    path("designs/<slug:code>/packet/", packet.packet, name="packet"),
    path("designs/<slug:code>/packet.pdf", packet.packet_pdf, name="packet_pdf"),
    path("designs/<slug:code>/board/", board.board, name="board"),
    path("designs/<slug:code>/board/undo/", board.undo, name="undo"),
    path("designs/<slug:code>/board/redo/", board.redo, name="redo"),
    path("designs/<slug:code>/board/<slug:step>/", board.step, name="step"),
]
