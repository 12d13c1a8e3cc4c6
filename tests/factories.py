"""Real rows for tests."""

import datetime

import factory
from factory.django import DjangoModelFactory

from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Role
from exhibit_core.exhibitions.models import Exhibition, ListEntry, Section
from exhibit_core.hangs.models import Hang
from exhibit_core.register.models import Lender, Measurement, MuseumObject
from exhibit_core.spaces.models import Fixing, LightZone, Room, Venue, Wall


class UserFactory(DjangoModelFactory):
    class Meta:
        model = User
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"person{n}")
    name = factory.Sequence(lambda n: f"Person {n}")
    roles = factory.LazyFunction(lambda: [Role.ADMINISTRATOR.value])
    password = factory.django.Password(None)


class LenderFactory(DjangoModelFactory):
    class Meta:
        model = Lender

    name = factory.Sequence(lambda n: f"Lender {n}")
    address = "1 Quiet Lane, Tarnbeck"


class MuseumObjectFactory(DjangoModelFactory):
    class Meta:
        model = MuseumObject

    number = factory.Sequence(lambda n: f"2001.45.{n + 1}")
    title = factory.Sequence(lambda n: f"Cloud study {n + 1}")
    object_type = "watercolour"

    @classmethod
    def _create(cls, model_class, *args, **kwargs):
        obj = model_class(*args, **kwargs)
        obj.derive()
        obj.save()
        return obj


class MeasurementFactory(DjangoModelFactory):
    class Meta:
        model = Measurement

    object = factory.SubFactory(MuseumObjectFactory)
    state = "framed"
    basis = "measured"
    height_mm = 400
    width_mm = 300
    depth_mm = 30
    mass_g = 2500


class VenueFactory(DjangoModelFactory):
    class Meta:
        model = Venue

    name = factory.Sequence(lambda n: f"Venue {n}")


class RoomFactory(DjangoModelFactory):
    class Meta:
        model = Room

    venue = factory.SubFactory(VenueFactory)
    name = factory.Sequence(lambda n: f"Room {n}")


class WallFactory(DjangoModelFactory):
    class Meta:
        model = Wall

    room = factory.SubFactory(RoomFactory)
    name = factory.Sequence(lambda n: f"wall {n}")
    length_mm = 12_000
    height_mm = 3_600


class LightZoneFactory(DjangoModelFactory):
    class Meta:
        model = LightZone

    wall = factory.SubFactory(WallFactory)
    from_mm = 0
    to_mm = 12_000
    lux = 50


class FixingFactory(DjangoModelFactory):
    class Meta:
        model = Fixing

    wall = factory.SubFactory(WallFactory)
    from_mm = 0
    to_mm = 12_000
    max_kg_per_object = 40
    max_kg_per_m = 60


class ExhibitionFactory(DjangoModelFactory):
    class Meta:
        model = Exhibition

    title = factory.Sequence(lambda n: f"Exhibition {n}")
    venue = factory.SubFactory(VenueFactory)
    opening = datetime.date(2027, 3, 6)
    closing = datetime.date(2027, 9, 5)
    open_days = factory.LazyFunction(lambda: [1, 2, 3, 4, 5, 6])


class SectionFactory(DjangoModelFactory):
    class Meta:
        model = Section

    exhibition = factory.SubFactory(ExhibitionFactory)
    number = factory.Sequence(lambda n: str(n + 1))
    title = factory.Sequence(lambda n: f"Section {n + 1}")
    position = factory.Sequence(lambda n: n)


class ListEntryFactory(DjangoModelFactory):
    class Meta:
        model = ListEntry

    exhibition = factory.SubFactory(ExhibitionFactory)
    object = factory.SubFactory(MuseumObjectFactory)
    stage = ListEntry.Stage.SELECTED
    shown_on = ListEntry.ShownOn.WALL


class HangFactory(DjangoModelFactory):
    class Meta:
        model = Hang
        skip_postgeneration_save = True

    exhibition = factory.SubFactory(ExhibitionFactory)
    title = factory.Sequence(lambda n: f"Hang {n}")
