app_name = "hangs"

urlpatterns: list = []
