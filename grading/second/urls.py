"""The addresses of second marking: by exam and sample code, never by anything that names a candidate."""

from django.urls import path

from grading.second import views

app_name = "second"
urlpatterns = [
    path("", views.index, name="index"),
    path("draw/", views.draw, name="draw"),
    path("allowed/", views.allowed, name="allowed"),
    path("<slug:code>/", views.marks, name="marks"),
    path("<slug:code>/award/<str:part>/", views.award, name="award"),
    path("<slug:code>/finish/", views.finish, name="finish"),
    path("<slug:code>/take-out/", views.take_out, name="take-out"),
    path("<slug:code>/settle/", views.settle, name="settle"),
]
