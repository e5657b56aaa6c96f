"""Every address of the project.

`builds` is included by name, as a string: `habitats` never imports from `builds`.
"""

from django.urls import include, path

from habitats.views import accounts, home, people

urlpatterns = [
    path("", home.home, name="home"),
    path("log-in/", accounts.LogIn.as_view(), name="login"),
    path("log-out/", accounts.LogOut.as_view(), name="logout"),
    path("my-settings/", accounts.own_settings, name="own_settings"),
    path("my-settings/password/", accounts.own_password, name="own_password"),
    path("people/", people.people, name="people"),
    path("people/new/", people.new_person, name="new_person"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/password/", people.new_password, name="new_password"),
    path("", include("builds.urls")),
]
