from django.contrib.auth.views import LogoutView
from django.urls import path

from exhibit_core.accounts import views

app_name = "accounts"

urlpatterns = [
    path("sign-in/", views.SignIn.as_view(), name="sign_in"),
    path("sign-in/as/<slug:role>/", views.enter_as, name="enter_as"),
    path("sign-out/", LogoutView.as_view(), name="sign_out"),
    path("people/", views.people, name="people"),
    path("people/<int:pk>/", views.person, name="person"),
    path("preferences/", views.preferences, name="preferences"),
]
