"""Importing a class list, measured: `python -m tests.benchmarks.roster [rows ...]`.

A list is read, compared and imported into a throwaway database; told are seconds of each, rows written so far, and
the largest memory that Python held, less what it held before.
"""

import os
import sys
import tempfile
import time
import tracemalloc

ROWS = (1000, 10_000)


def class_list(rows):
    """A CSV of so many candidates with all columns."""
    head = "Number,Name,Class,Sitting,Bench,Colour vision,Extra time,Rest breaks,Separate room,Left-handed\n"
    lines = (f"{n:05},Candidate {n},class {n % 40},,,{'yes' if n % 24 == 7 else ''},{25 * (n % 30 == 3)},,,\n"
             for n in range(rows))
    return (head + "".join(lines)).encode()


def timed(title, work):
    """Print the seconds and the memory of a piece of work; its result."""
    tracemalloc.reset_peak()
    before, start = tracemalloc.get_traced_memory()[0], time.perf_counter()
    result = work()
    peak = tracemalloc.get_traced_memory()[1] - before
    print(f"  {title:28} {time.perf_counter() - start:6.2f} s  peak {peak / 2**20:6.1f} MB", flush=True)
    return result


def measure(rows, centre, who):
    """Import a list into a new exam, then again with every name changed."""
    from examkit.planning import services
    from examkit.planning.roster import read_roster

    print(f"{rows} rows")
    data = class_list(rows)
    exam = services.exam_create(centre=centre, who=who, name=f"{rows}", held_on=None, scheme="semimicro",
                                mark_scheme="common", sample_mg=1500, spare_percent=20)
    entries = timed("reading", lambda: read_roster(data, "list.csv")).entries
    written = []
    for title, some in (("importing", entries), ("importing the same again", entries)):
        timed(title, lambda some=some: services.roster_import(exam=exam, who=who, entries=some, tell=written.append))
    renamed = read_roster(data.replace(b"Candidate", b"Renamed"), "list.csv").entries
    timed("importing changed names", lambda: services.roster_import(exam=exam, who=who, entries=renamed))
    print(f"  told of progress {len(written)} times, {sum(written)} rows; in the database {exam.candidates.count()}")


def main(sizes):
    """Every size in a database that is thrown away."""
    os.environ |= {"EXAMKIT_VAR": tempfile.mkdtemp(prefix="examkit-benchmark-"), "EXAMKIT_NO_BOOTSTRAP": "1"}
    os.environ["DJANGO_SETTINGS_MODULE"] = "examkit.settings"
    import django

    django.setup()
    from django.core.management import call_command

    from examkit.models import Centre, User

    call_command("migrate", verbosity=0)
    centre = Centre.objects.create(name="Benchmark", slug="benchmark")
    who = User.objects.create_user("benchmark")
    tracemalloc.start()
    for rows in sizes:
        measure(rows, centre, who)


if __name__ == "__main__":
    main([int(number) for number in sys.argv[1:]] or ROWS)
