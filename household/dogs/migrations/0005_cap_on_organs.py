from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("dogs", "0004_caps_of_a_dog"),
    ]

    operations = [
        migrations.AddField(
            model_name="dog",
            name="caps_organ_pct",
            field=models.FloatField(null=True),
        ),
    ]
