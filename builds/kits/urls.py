"""Addresses of kits and adopters."""

from django.urls import path

from builds.kits.views import adopter, adopter_acts, kit_adoption, kit_ends, kit_print, kits

urlpatterns = [
    path("kits/", kits.kits, name="kits"),
    path("builds/<slug:code>/kit/", kits.kit, name="kit"),
    path("builds/<slug:code>/kit/pack/", kits.pack_kit, name="pack_kit"),
    path("builds/<slug:code>/kit/weigh/", kits.weigh_kit, name="weigh_kit"),
    path("builds/<slug:code>/kit/linens/", kits.kit_linens, name="kit_linens"),
    path("builds/<slug:code>/kit/adoption/", kit_adoption.kit_adoption, name="kit_adoption"),
    path("builds/<slug:code>/kit/set/", kit_print.kit_set, name="kit_set"),
    path("builds/<slug:code>/kit.pdf", kit_print.kit_pdf, name="kit_pdf"),
    path("builds/<slug:code>/kit/hand-over/", kit_ends.hand_over_kit, name="hand_over_kit"),
    path("builds/<slug:code>/kit/follow-ups/", kit_ends.kit_follow_ups, name="kit_follow_ups"),
    path("builds/<slug:code>/kit/follow-ups/<int:number>/", kit_ends.ask_kit, name="ask_kit"),
    path("builds/<slug:code>/kit/links/new/", kits.new_kit_link, name="new_kit_link"),
    path(
        "builds/<slug:code>/kit/links/<int:pk>/revoke/",
        kits.revoke_kit_link,
        name="revoke_kit_link",
    ),
    # For who has a link and no account. The token is all there is to know.
    path("k/<str:token>/", adopter.adopter, name="adopter"),
    path("k/<str:token>/steps/<slug:key>/", adopter.adopter_step, name="adopter_step"),
    path("k/<str:token>/steps/<slug:key>/tick/", adopter.adopter_tick, name="adopter_tick"),
    path("k/<str:token>/steps/<slug:key>/untick/", adopter.adopter_untick, name="adopter_untick"),
    path("k/<str:token>/acts/", adopter_acts.adopter_acts, name="adopter_acts"),
    path("k/<str:token>/ticks/", adopter_acts.adopter_ticks, name="adopter_ticks"),
    path("k/<str:token>/care/", adopter.adopter_care, name="adopter_care"),
    path("k/<str:token>/receipt/", adopter.adopter_receipt, name="adopter_receipt"),
    path("k/<str:token>/papers.pdf", adopter.adopter_pdf, name="adopter_pdf"),
    path("k/<str:token>/reading/", adopter.adopter_reading, name="adopter_reading"),
]
