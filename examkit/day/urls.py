"""The addresses of this part; examkit/urls.py says where they hang."""

from django.urls import path

from examkit.day import views

app_name = "day"
urlpatterns = [
    path("", views.index, name="index"),
    path("notes/<int:note>/undo/", views.undo, name="undo"),
    path("<int:sitting>/", views.room, name="room"),
    path("<int:sitting>/benches/", views.benches, name="benches"),
    path("<int:sitting>/note/", views.note, name="note"),
    path("<int:sitting>/rest-present/", views.rest_present, name="rest-present"),
    path("<int:sitting>/rest-present/<int:number>/undo/", views.rest_present_undo, name="rest-present-undo"),
    path("<int:sitting>/<slug:code>/", views.candidate, name="candidate"),
]
