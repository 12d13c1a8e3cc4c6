from django.urls import path

from exhibit_core.history import views

app_name = "history"

urlpatterns = [path("<uuid:batch>/undo/", views.undo, name="undo")]
