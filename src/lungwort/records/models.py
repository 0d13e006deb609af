"""The tables. They are written by `append` alone; what would change or remove a row is refused with a sentence."""

from __future__ import annotations

from typing import Any, NoReturn

from django.db import models

from lungwort.errors import ChangeRefused
from lungwort.language import _
from lungwort.records.columns import OrderedText

NAME, DIGEST, MOMENT = 80, 64, 27  # characters


def refuse(*_arguments: object, **_named: object) -> NoReturn:
    """Refuse to write past `append`."""
    text = _(
        "what is recorded is never changed or removed; append an event that corrects it and refers to it"
    )
    raise ChangeRefused(text)


class AppendOnly(models.QuerySet[Any]):
    """Rows to be read; every way to write is closed."""

    create = refuse
    bulk_create = refuse
    update = refuse
    bulk_update = refuse
    delete = refuse
    _raw_delete = refuse
    _update = refuse


class Row(models.Model):
    """A row that is read only."""

    objects = AppendOnly.as_manager()

    class Meta:
        abstract = True
        base_manager_name = "objects"

    def save(self, *_arguments: Any, **_named: Any) -> None:
        """Refuse: only `append` writes."""
        refuse()

    def delete(self, *_arguments: Any, **_named: Any) -> tuple[int, dict[str, int]]:
        """Refuse: nothing is removed."""
        refuse()

    save_base = refuse


class Place(Row):
    """A place that has a chain: its code and no more, so that nothing here could hide a loss; writers wait on it."""

    code = models.CharField(max_length=NAME, primary_key=True)

    class Meta(Row.Meta):
        db_table = "records_place"

    def __str__(self) -> str:
        return self.code


class Event(Row):
    """An event: times are UTC text with microseconds, so that what is hashed is character by character what is kept."""

    id = models.UUIDField(primary_key=True)
    place = models.ForeignKey(
        Place, models.PROTECT, db_column="place", db_index=False, related_name="events"
    )  # the unique key serves
    sequence = models.BigIntegerField()
    happened_at = models.CharField(max_length=MOMENT)
    recorded_at = models.CharField(max_length=MOMENT)
    who = models.CharField(max_length=NAME)
    what = models.CharField(max_length=NAME)
    payload = models.TextField()
    previous_hash = models.CharField(max_length=DIGEST)
    hash = models.CharField(max_length=DIGEST)

    class Meta(Row.Meta):
        db_table = "records_event"
        constraints = [
            models.UniqueConstraint(fields=["place", "sequence"], name="one_event_a_sequence"),
            models.CheckConstraint(condition=models.Q(sequence__gte=1), name="sequence_from_one"),
        ]

    def __str__(self) -> str:
        return f"{self.place_id} {self.sequence} {self.what}"


class EventThing(Row):
    """A thing's part in an event; both ways of looking are answered from an index alone.

    Place, time and sequence are those of the event, so that the events of one thing in a window of time lie side by
    side in the index, in order of happening.
    """

    pk = models.CompositePrimaryKey("event_id", "code", "part")
    event = models.ForeignKey(
        Event, models.PROTECT, db_index=False, related_name="thing_rows"
    )  # the primary key serves
    code = models.CharField(max_length=NAME)
    part = models.CharField(max_length=NAME)
    place = models.CharField(max_length=NAME)
    happened_at = OrderedText(max_length=MOMENT)
    sequence = models.BigIntegerField()

    class Meta(Row.Meta):
        db_table = "records_event_thing"
        indexes = [
            models.Index(fields=["place", "part", "code", "happened_at", "sequence"], name="thing_in_time")
        ]

    def __str__(self) -> str:
        return f"{self.code} as {self.part}"


class Evidence(Row):
    """A file of evidence under its digest, pressed by zlib."""

    sha256 = models.CharField(max_length=DIGEST, primary_key=True)
    kept = models.BinaryField()
    size = models.BigIntegerField()
    file_name = models.CharField(max_length=255)

    class Meta(Row.Meta):
        db_table = "records_evidence"

    def __str__(self) -> str:
        return self.file_name


class State(Row):
    """What a thing is now, as folded from the facts about it: a projection, made anew by `lungwort records rebuild`."""

    pk = models.CompositePrimaryKey("place", "kind", "code")
    place = models.CharField(max_length=NAME)
    kind = models.CharField(max_length=NAME)
    code = OrderedText(max_length=NAME)
    status = models.CharField(max_length=NAME)
    body = models.TextField()

    class Meta(Row.Meta):
        db_table = "records_state"
        indexes = [models.Index(fields=["place", "kind", "status", "code"], name="state_by_status")]

    def __str__(self) -> str:
        return f"{self.kind} {self.code}: {self.status}"


class Correction(Row):
    """An event that was corrected or struck, and the event that did it: a projection too."""

    corrected = models.UUIDField(primary_key=True)
    correcting = models.UUIDField()

    class Meta(Row.Meta):
        db_table = "records_correction"

    def __str__(self) -> str:
        return f"{self.corrected.hex} by {self.correcting.hex}"
