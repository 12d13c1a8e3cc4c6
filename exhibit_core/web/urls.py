from django.urls import path

from exhibit_core.web import views

app_name = "web"

urlpatterns = [path("help/", views.help_page, name="help")]
