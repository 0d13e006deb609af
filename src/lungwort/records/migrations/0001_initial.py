"""The four tables: places, events, the things in them, evidence."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """Make them."""

    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="Evidence",
            fields=[
                ("sha256", models.CharField(max_length=64, primary_key=True, serialize=False)),
                ("kept", models.BinaryField()),
                ("size", models.BigIntegerField()),
                ("file_name", models.CharField(max_length=255)),
            ],
            options={
                "db_table": "records_evidence",
                "abstract": False,
                "base_manager_name": "objects",
            },
        ),
        migrations.CreateModel(
            name="Place",
            fields=[
                ("code", models.CharField(max_length=80, primary_key=True, serialize=False)),
            ],
            options={
                "db_table": "records_place",
                "abstract": False,
                "base_manager_name": "objects",
            },
        ),
        migrations.CreateModel(
            name="Event",
            fields=[
                ("id", models.UUIDField(primary_key=True, serialize=False)),
                ("sequence", models.BigIntegerField()),
                ("happened_at", models.CharField(max_length=27)),
                ("recorded_at", models.CharField(max_length=27)),
                ("who", models.CharField(max_length=80)),
                ("what", models.CharField(max_length=80)),
                ("payload", models.TextField()),
                ("previous_hash", models.CharField(max_length=64)),
                ("hash", models.CharField(max_length=64)),
                (
                    "place",
                    models.ForeignKey(
                        db_column="place",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="events",
                        to="records.place",
                    ),
                ),
            ],
            options={
                "db_table": "records_event",
                "abstract": False,
                "base_manager_name": "objects",
            },
        ),
        migrations.CreateModel(
            name="EventThing",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "event_id",
                        "code",
                        "part",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("code", models.CharField(max_length=80)),
                ("part", models.CharField(max_length=80)),
                (
                    "event",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="thing_rows",
                        to="records.event",
                    ),
                ),
            ],
            options={
                "db_table": "records_event_thing",
                "abstract": False,
                "base_manager_name": "objects",
                "indexes": [models.Index(fields=["code", "event", "part"], name="look_back")],
            },
        ),
        migrations.AddConstraint(
            model_name="event",
            constraint=models.UniqueConstraint(fields=("place", "sequence"), name="one_event_a_sequence"),
        ),
        migrations.AddConstraint(
            model_name="event",
            constraint=models.CheckConstraint(
                condition=models.Q(("sequence__gte", 1)), name="sequence_from_one"
            ),
        ),
    ]
