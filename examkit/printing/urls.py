"""The addresses of this part: the print page, and one for each kind of sheet."""

from django.urls import path

from examkit.printing import views
from examkit.printing.sheets import SHEETS

app_name = "printing"
urlpatterns = [
    path("", views.overview, name="overview"),
    *(path(f"{key}.pdf", views.sheet_view(key), name=key) for key in SHEETS),
]
