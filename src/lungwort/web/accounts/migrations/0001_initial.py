"""The table of accounts."""

from django.db import migrations, models


class Migration(migrations.Migration):
    """Make it."""

    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="Account",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("password", models.CharField(max_length=128, verbose_name="password")),
                ("last_login", models.DateTimeField(blank=True, null=True, verbose_name="last login")),
                ("name", models.CharField(max_length=170, unique=True)),
                ("place", models.CharField(max_length=80)),
                ("person", models.CharField(max_length=80)),
            ],
            options={
                "db_table": "web_account",
            },
        ),
    ]
