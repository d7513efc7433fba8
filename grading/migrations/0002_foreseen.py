"""What another mark scheme would make of each record."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('grading', '0001_initial'),
    ]

    operations = [
        migrations.CreateModel(
            name='Foreseen',
            fields=[
                ('id', models.BigAutoField(
                    auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('mark_scheme', models.CharField(max_length=60)),
                ('digest', models.CharField(max_length=64)),
                ('paper', models.JSONField()),
                ('record', models.ForeignKey(
                    on_delete=django.db.models.deletion.CASCADE, related_name='foreseen',
                    to='grading.record')),
            ],
            options={
                'constraints': [models.UniqueConstraint(
                    fields=('record', 'mark_scheme'), name='foreseen_once_per_mark_scheme')],
            },
        ),
    ]
