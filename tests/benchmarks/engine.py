"""Loading the base and making expected records, as ratios to named floors: `python -m tests.benchmarks.engine`."""

import tempfile
import time

import yaml

from examkit.chemistry.expect import expect
from examkit.chemistry.identify import salts_of_syllabus
from examkit.chemistry.knowledge.load import SHARED, knowledge_files, load
from examkit.chemistry.knowledge.read import LOADER
from examkit.chemistry.specimen import read_specimen


def timed(work):
    """Seconds of one core that a piece of work takes (not what else the machine does), and what it gives."""
    started = time.process_time()
    result = work()
    return time.process_time() - started, result


def main():
    """Measure and tell."""
    files = knowledge_files(SHARED)
    floor, _nodes = timed(lambda: [yaml.compose(text.decode(), LOADER) for text in files.values()])
    with tempfile.TemporaryDirectory() as folder:
        whole, _kb = timed(lambda: load(SHARED, folder))
        load.cache_clear()
        kept, kb = timed(lambda: load(SHARED, folder))
    print(f"floor, parsing the same YAML: {floor:.2f} s")
    print(f"loading, with all checks: {whole:.2f} s, {whole / floor:.1f} times the floor")
    print(f"loading, kept: {kept:.2f} s, {kept / floor:.2f} times the floor")
    specimens = salts_of_syllabus(kb, kb.schemes["semimicro"])
    first, _records = timed(lambda: [expect(kb, specimen) for specimen in specimens])
    again, _records = timed(lambda: [expect(kb, specimen) for specimen in specimens])
    print(f"{len(specimens)} expected records: {first:.2f} s at first, {again:.2f} s again")
    print(f"one record: {again / len(specimens) * 1000:.1f} ms, {again / len(specimens) / floor:.4f} of the floor")
    everything = [read_specimen(kb, formula) for formula in kb.salts]
    first, _records = timed(lambda: [expect(kb, specimen, "mixture") for specimen in everything])
    again, _records = timed(lambda: [expect(kb, specimen, "mixture") for specimen in everything])
    print(f"every salt of the base ({len(everything)}) by the longest scheme: {first:.2f} s at first, {again:.2f} s again")



if __name__ == "__main__":
    main()
