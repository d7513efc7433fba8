"""The addresses of this part; examkit/urls.py says where they hang."""

from django.urls import path

from examkit.stockroom import shelf_views, views

app_name = "stockroom"
urlpatterns = [
    # the list of an exam
    path("", views.overview, name="overview"),
    path("benches/", views.benches, name="benches"),
    path("tick/", views.tick, name="tick"),
    path("sign-off/", views.sign_off, name="sign-off"),
    # the shelf of the centre
    path("shelf/", shelf_views.shelf, name="shelf"),
    path("shelf/add/", shelf_views.add, name="bottle-add"),
    path("shelf/<int:bottle>/", shelf_views.change, name="bottle-change"),
    path("shelf/<int:bottle>/use/", shelf_views.use, name="bottle-use"),
    path("shelf/<int:bottle>/remove/", shelf_views.remove, name="bottle-remove"),
]
