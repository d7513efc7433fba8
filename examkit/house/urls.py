"""Sign-in, home, audit trail: the addresses that belong to no part."""

from django.urls import path

from examkit.house import views

urlpatterns = [
    path("", views.home, name="home"),
    path("sign-in/", views.sign_in, name="sign-in"),
    path("sign-out/", views.sign_out, name="sign-out"),
    path("password/", views.password, name="password"),
    path("centre/", views.choose_centre, name="choose-centre"),
    path("audit/", views.audit_trail, name="audit"),
]
