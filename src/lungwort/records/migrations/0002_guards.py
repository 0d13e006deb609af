"""Let the database itself refuse to change or remove what is recorded."""

from django.db import migrations

from lungwort.records.guards import set_guards


class Migration(migrations.Migration):
    """Triggers on every table."""

    dependencies = [("records", "0001_initial")]
    operations = [migrations.RunPython(set_guards)]
