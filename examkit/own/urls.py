"""Addresses of what is our own."""

from django.urls import path

from examkit.own import views

app_name = "own"
urlpatterns = [
    path("", views.index, name="index"),
    path("salts/new/", views.salt_new, name="salt-new"),
    path("reagents/<slug:key>/", views.reagent_new, name="reagent-new"),
    path("reagents/", views.reagents, name="reagents"),
    path("outcomes/where/", views.outcome_where, name="outcome-where"),
    path("outcomes/new/", views.outcome_new, name="outcome-new"),
    path("schemes/new/", views.scheme_copy, name="scheme-copy"),
    path("<int:entry>/", views.change, name="change"),
    path("<int:entry>/withdraw/", views.withdraw, name="withdraw"),
    path("<int:entry>/back/", views.back, name="back"),
]
