"""Do what a preview showed: one transaction, one entry of history for each object."""

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import BinaryIO

from django.core.exceptions import ValidationError
from django.db import transaction
from django.urls import reverse

from exhibit_core.accounts.models import User
from exhibit_core.exchange.models import ObjectList
from exhibit_core.exchange.planning import AT_ONCE, Planner
from exhibit_core.exchange.plans import RowPlan
from exhibit_core.exchange.previewing import fresh_list, rows_of
from exhibit_core.exchange.row_reading import LenderNamed
from exhibit_core.exchange.sizes import LENGTHS, Size
from exhibit_core.exhibitions.actions import add_to_list, change_each
from exhibit_core.history.record import record
from exhibit_core.jobs.handlers import Progress, handles
from exhibit_core.register.actions import ObjectChange, create_lender, save_objects
from exhibit_core.register.models import Lender, Measurement, MuseumObject
from exhibit_core.web.errors import RefusedError


@handles("exchange.apply")
@transaction.atomic
def apply(*, payload: dict, by: User, progress: Progress) -> dict:
    """Plan the list again and save it, if the plan is still the one that was previewed.

    Done already, it does nothing: a worker may run a job twice when its machine died at the end.
    """
    object_list = fresh_list(payload, by)
    done = {"url": reverse("exchange:done", args=[object_list.pk]), "words": "It is in."}
    if object_list.is_applied:
        return done
    if object_list.summary.get("refused") and not payload["leave_out_refused"]:
        raise RefusedError("Rows are refused: say that they are to be left out, or correct them.")
    writer = _Writer(object_list, by)
    with object_list.plan.open("rb") as shown, rows_of(object_list, progress) as rows:
        plans = _as_shown(Planner(object_list, by=by).plans(rows), shown.file)
        while chunk := list(islice(plans, AT_ONCE)):
            writer.save([plan for plan in chunk if plan.outcome in ("new", "changed")])
    record(
        by=by,
        action="exchange.apply",
        target=object_list,
        sentence=f"Brought in {object_list}",
        batch=object_list.batch,
    )
    object_list.state = ObjectList.State.APPLIED
    object_list.save(update_fields=["state"])
    return done


def _as_shown(plans: Iterable[RowPlan], shown: BinaryIO) -> Iterator[RowPlan]:
    """Yield the plans as long as they are those of the preview; else refuse, naming the row."""
    for plan in plans:
        if shown.readline() != plan.line():
            raise RefusedError(
                f"The register changed since the preview: row {plan.row}"
                f"{f' ({plan.number})' if plan.number else ''} would now do something else. "
                "Nothing was brought in. Make the preview anew."
            )
        yield plan
    if shown.readline():
        raise RefusedError("The preview does not belong to this file: make it anew.")


class _Writer:
    """Save plans through the actions of register and exhibition."""

    def __init__(self, object_list: ObjectList, by: User) -> None:
        self._list = object_list
        self._by = by
        self._lenders = Lender.objects.in_bulk()
        self._added: dict[str, Lender] = {}

    def save(self, plans: list[RowPlan]) -> None:
        try:
            objects = self._save_objects(plans)
            if self._list.exhibition:
                self._save_entries(plans, objects)
        except ValidationError as error:
            raise RefusedError(f"Nothing was brought in: {' '.join(error.messages)}") from error

    def _save_objects(self, plans: list[RowPlan]) -> list[MuseumObject]:
        known = MuseumObject.objects.select_related("lender").select_for_update(of=("self",))
        objects = known.in_bulk([plan.key for plan in plans if plan.key])
        changes = [
            ObjectChange(
                objects[plan.key] if plan.key else MuseumObject(),
                self._values(plan),
                [_measurement(size) for size in plan.sizes],
            )
            for plan in plans
        ]
        return save_objects(
            changes=changes, by=self._by, batch=self._list.batch, words=f"from {self._list}"
        )

    def _values(self, plan: RowPlan) -> dict:
        named = plan.values.get("lender")
        if named is None:
            return plan.values
        return {**plan.values, "lender": self._lender(named)}

    def _lender(self, named: LenderNamed) -> Lender:
        if named.key:
            return self._lenders[named.key]
        if named.name not in self._added:
            self._added[named.name] = create_lender(values={"name": named.name}, by=self._by)
        return self._added[named.name]

    def _save_entries(self, plans: list[RowPlan], objects: list[MuseumObject]) -> None:
        listed = {plan.entry_key: plan.entry for plan in plans if plan.entry_key and plan.entry}
        new = {
            obj.pk: (obj, plan.entry)
            for plan, obj in zip(plans, objects, strict=True)
            if plan.entry is not None and not plan.entry_key
        }
        add_to_list(
            exhibition=self._list.exhibition,
            objects=[obj for obj, _ in new.values()],
            values_by_object={key: entry for key, (_, entry) in new.items()},
            by=self._by,
            batch=self._list.batch,
        )
        change_each(values_by_entry=listed, by=self._by, batch=self._list.batch)


def _measurement(size: Size) -> Measurement:
    lengths = {name: getattr(size, name) for name in (*LENGTHS, "mass_g")}
    return Measurement(
        state=size.state,
        basis=size.basis,
        part=size.part,
        source_text=size.source_text,
        **lengths,
    )
