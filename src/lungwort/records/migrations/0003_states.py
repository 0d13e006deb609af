"""States and corrections as projections of the events; every row of a thing knows where and when its event happened."""

from typing import Any

from django.db import migrations, models

from lungwort.records.columns import OrderedText
from lungwort.records.guards import lift_guards, set_guards


def fill(_apps: Any, editor: Any) -> None:
    """Take place, time and sequence of every row of a thing from its event."""
    lift_guards(editor, "records_event_thing")
    editor.execute(
        "UPDATE records_event_thing SET (place, happened_at, sequence) = "
        "(SELECT e.place, e.happened_at, e.sequence FROM records_event e WHERE e.id = event_id)"
    )


def project(_apps: Any, editor: Any) -> None:
    """Fold what is recorded already.

    It is done by the code of today: a later migration that changes these two tables takes this step to its own end.
    """
    from lungwort.records.projections.rebuild import rebuild_in_migration

    rebuild_in_migration(editor.connection)


class Migration(migrations.Migration):
    """Make the tables, carry over what is recorded, set the guards anew."""

    dependencies = [("records", "0002_guards")]

    operations = [
        migrations.CreateModel(
            name="Correction",
            fields=[
                ("corrected", models.UUIDField(primary_key=True, serialize=False)),
                ("correcting", models.UUIDField()),
            ],
            options={
                "db_table": "records_correction",
                "abstract": False,
                "base_manager_name": "objects",
            },
        ),
        migrations.CreateModel(
            name="State",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "place", "kind", "code", blank=True, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("place", models.CharField(max_length=80)),
                ("kind", models.CharField(max_length=80)),
                ("code", OrderedText(max_length=80)),
                ("status", models.CharField(max_length=80)),
                ("body", models.TextField()),
            ],
            options={
                "db_table": "records_state",
                "abstract": False,
                "base_manager_name": "objects",
                "indexes": [models.Index(fields=["place", "kind", "status", "code"], name="state_by_status")],
            },
        ),
        migrations.RemoveIndex(model_name="eventthing", name="look_back"),
        migrations.AddField(
            "eventthing", "place", models.CharField(default="", max_length=80), preserve_default=False
        ),
        migrations.AddField(
            "eventthing", "happened_at", OrderedText(default="", max_length=27), preserve_default=False
        ),
        migrations.AddField(
            "eventthing", "sequence", models.BigIntegerField(default=0), preserve_default=False
        ),
        migrations.RunPython(fill),
        migrations.AddIndex(
            "eventthing",
            models.Index(fields=["place", "part", "code", "happened_at", "sequence"], name="thing_in_time"),
        ),
        migrations.RunPython(set_guards),
        migrations.RunPython(project),
    ]
