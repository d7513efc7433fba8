"""Addresses of the look-up pages."""

from django.urls import path

from examkit.lookup import views

app_name = "lookup"
urlpatterns = [
    path("", views.index, name="index"),
    path("salts/<path:formula>/", views.salt, name="salt"),
    path("ions/<str:formula>/", views.ion, name="ion"),
    path("tests/<slug:key>/", views.test, name="test"),
]
