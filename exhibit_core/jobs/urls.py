from django.urls import path

from exhibit_core.jobs import views

app_name = "jobs"

urlpatterns = [
    path("", views.index, name="index"),
    path("<int:pk>/", views.detail, name="detail"),
    path("<int:pk>/cancel/", views.cancel, name="cancel"),
]
