"""An exam that has been sat: four candidates whose names and numbers must never reach an examiner."""

from examkit.chemistry.expect import expect
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.models import Bench, Candidate, Exam, ExpectedRecord, Room, Sample, Sitting, State
from examkit.planning.codes import sample_codes
from grading.marking.parts import stored
from grading.marking.services import line_save, result_save
from grading.models import Record

CANDIDATES = (  # number, name, class
    ("0071", "Zoë Äpfelwein-Öhlund", "12Qx"),
    ("0072", "=Bartholomew Quill", "12Qx"),
    ("0073", "Chidi O’Umbrella", "12Qy"),
    ("0074", "Dinah Vanterpool", "12Qy"),
)
SALTS = ("NiCl2.6H2O", "ZnSO4.7H2O", "NiCl2.6H2O", "ZnSO4.7H2O")
NICKEL = {  # what a good record of nickel chloride says; lines left out are blank
    "appearance": ("green crystals, damp", "Ni2+ or Cu2+ may be present"),
    "flame": ("no distinct colour", "Cu2+, Ba2+, Ca2+, Sr2+, Pb2+ absent"),
    "group-1": ("no precipitate", "group I absent"),
    "group-3b": ("black precipitate", "Ni2+ or Co2+ may be present"),
    "naoh": ("pale green precipitate, insoluble in excess", "Ni2+"),
}


def sat_exam(centre, *, name="Unknown salt, spring", state=State.SAT, candidates=CANDIDATES, salts=SALTS):
    """An exam after its sittings, with a frozen expected record for each salt."""
    exam = Exam.objects.create(
        centre=centre, name=name, scheme="semimicro", mark_scheme="common", state=state
    )
    room, _made = Room.objects.get_or_create(centre=centre, name="Laboratory 2")
    sitting = Sitting.objects.create(exam=exam, room=room, name="Morning")
    codes = sample_codes([number for number, *_rest in candidates], seed=f"seed of {name}")
    for place, ((number, full_name, group), salt) in enumerate(zip(candidates, salts, strict=True)):
        candidate = Candidate.objects.create(exam=exam, number=number, name=full_name, group=group)
        bench, _made = Bench.objects.get_or_create(room=room, row=1, column=place, label=f"Q{place}")
        Sample.objects.create(
            exam=exam, candidate=candidate, sitting=sitting, bench=bench, salt=salt, code=codes[number]
        )
    for salt in sorted(set(salts)):
        freeze(exam, salt)
    return exam


def freeze(exam, salt):
    """The expected record of a salt, as the draw freezes it."""
    kb = knowledge()
    record = expect(kb, read_specimen(kb, salt), exam.scheme).as_json()
    return ExpectedRecord.objects.create(exam=exam, salt=salt, edition=record["edition"], record=record)


def sample_of(exam, number):
    """The sample of the candidate with this number."""
    return exam.samples.select_related("exam__centre").get(candidate__number=number)


def enter(sample, who, lines=None, cation="Ni2+", anion="Cl-"):
    """Enter a record; by default a good one of nickel chloride."""
    for test, (observation, inference) in (NICKEL if lines is None else lines).items():
        line_save(sample=sample, test=test, observation=observation, inference=inference, version=0, who=who)
    return result_save(sample=sample, cation=cation, anion=anion, version=0, who=who)


def enter_line(sample, who, test, observation, inference="", version=0):
    """Enter one line."""
    return line_save(
        sample=sample, test=test, observation=observation, inference=inference, version=version, who=who
    )


def parts(sample):
    """The parts of a record that get marks."""
    return stored(Record.objects.get(sample=sample).paper).parts
