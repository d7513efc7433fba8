"""The addresses of this part; examkit/urls.py says where they hang."""

from django.urls import path

from examkit.stockroom import shelf_views, views
from examkit.stockroom.trials import views as trial_views
from examkit.stockroom.tubes import views as tube_views

app_name = "stockroom"
urlpatterns = [
    # the list of an exam
    path("", views.overview, name="overview"),
    path("benches/", views.benches, name="benches"),
    path("tick/", views.tick, name="tick"),
    path("sign-off/", views.sign_off, name="sign-off"),
    # one salt: its bottles and tubes
    path("salts/<int:salt>/", tube_views.page, name="salt"),
    path("salts/<int:salt>/try/", tube_views.try_bottle, name="try"),
    path("salts/<int:salt>/fill/", tube_views.fill, name="fill"),
    path("salts/<int:salt>/fill-rest/", tube_views.fill_rest, name="fill-rest"),
    path("salts/<int:salt>/fill-rest/<int:number>/undo/", tube_views.fill_undo, name="fill-undo"),
    path("salts/<int:salt>/empty/", tube_views.empty, name="empty"),
    # one bottle, tried on the scheme
    path("trials/<int:trial>/", trial_views.page, name="trial"),
    path("trials/<int:trial>/<slug:test>/", trial_views.see, name="see"),
    path("trials/<int:trial>/<slug:test>/<str:facet>/", trial_views.amend, name="amend"),
    path("amendments/<int:amendment>/undo/", trial_views.undo, name="amend-undo"),
    # the shelf of the centre
    path("shelf/", shelf_views.shelf, name="shelf"),
    path("shelf/add/", shelf_views.add, name="bottle-add"),
    path("shelf/<int:bottle>/", shelf_views.change, name="bottle-change"),
    path("shelf/<int:bottle>/undo/<int:number>/", shelf_views.undo, name="bottle-undo"),
    path("shelf/<int:bottle>/use/", shelf_views.use, name="bottle-use"),
    path("shelf/<int:bottle>/set-aside/", trial_views.set_aside, name="set-aside"),
    path("shelf/<int:bottle>/remove/", shelf_views.remove, name="bottle-remove"),
    path("shelf/gone/<int:number>/", shelf_views.back, name="bottle-back"),
]
