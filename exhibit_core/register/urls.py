app_name = "register"

urlpatterns: list = []
