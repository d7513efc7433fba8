"""The addresses of this part; examkit/urls.py says where they hang."""

app_name = "planning"
urlpatterns = []
