"""Addresses of the look-up pages."""

from django.urls import path

from examkit.lookup.views import identification, pages, schemes

app_name = "lookup"
urlpatterns = [
    path("", pages.index, name="index"),
    path("salts/<path:formula>/", pages.salt, name="salt"),
    path("ions/<str:formula>/", pages.ion, name="ion"),
    path("tests/<slug:key>/", pages.test, name="test"),
    path("reagents/<slug:key>/", pages.reagent, name="reagent"),
    path("schemes/<slug:key>/", schemes.scheme, name="scheme"),
    path("specimen/", schemes.specimen, name="specimen"),
    path("identification/", identification.identification, name="identification"),
]
