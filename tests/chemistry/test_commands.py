"""The commands as other programs call them: one JSON document, or one line and exit 1."""

import json

import pytest
from django.core.management import CommandError, ManagementUtility, call_command


@pytest.fixture
def run(capsys):
    """`run("observe", "naoh", "Zn2+", "--json")` -> what stood on standard output."""

    def call(*words):
        call_command(*words)
        return capsys.readouterr().out

    return call


def test_expect_prints_one_json_document(run):
    record = json.loads(run("expect", "NiCl2.6H2O", "--json"))

    assert record["cations"] == ["Ni2+"]
    assert record["lines"][0]["test"] == "appearance"


def test_expect_takes_names_and_mixtures(run):
    assert json.loads(run("expect", "nickel(II) chloride", "--json"))["specimen"][0]["salt"] == "NiCl2.6H2O"
    assert json.loads(run("expect", "Pb(NO3)2 + ZnCO3", "--json"))["cations"] == ["Pb2+", "Zn2+"]


def test_expect_reads_well_on_a_terminal(run):
    shown = run("expect", "NiCl2.6H2O")

    assert shown.startswith("NiCl₂·6H₂O 0.5 g   (Ni²⁺, Cl⁻; semimicro, edition ")
    assert "  points to Ni²⁺" in shown


def test_observe_prints_one_json_document(run):
    assert json.loads(run("observe", "flame", "Ba2+", "--json"))["points_to"] == ["Ba2+"]


@pytest.mark.parametrize(
    "words",
    [
        ("expect", "unobtainium chloride"),
        ("expect", "NaCl", "--scheme", "none"),
        ("observe", "alchemy", "Zn2+"),
        ("observe", "naoh", "unobtainium"),
    ],
)
def test_a_users_mistake_is_one_line(words):
    with pytest.raises(CommandError) as refused:
        call_command(*words)

    assert len(str(refused.value).splitlines()) == 1


def test_check_knowledge_counts_what_facts_rest_on(run):
    report = json.loads(run("check_knowledge", "--json"))

    assert report["problems"] == []
    assert set(report["facts"]) == {"read", "common practice", "memory"}
    assert report["holds"]["salts"] >= 70


def test_check_knowledge_lists_names_on_request(run):
    assert "NiCl2.6H2O" in run("check_knowledge", "--list")


def test_check_knowledge_tells_all_problems_and_fails(settings, tmp_path, capsys):
    (tmp_path / "ions").mkdir()
    (tmp_path / "ions" / "one.yaml").write_text("ion: Zn2+\n")
    (tmp_path / "ions" / "two.yaml").write_text("name: [\n")
    settings.KNOWLEDGE_DIR = tmp_path

    with pytest.raises(CommandError, match="problems in the knowledge base"):
        call_command("check_knowledge")

    said = capsys.readouterr().err
    assert "ions/one.yaml:1 (name): the key 'name' is missing." in said
    assert "ions/two.yaml" in said


@pytest.mark.parametrize("command", ["expect", "observe", "check_knowledge"])
def test_every_command_explains_itself_on_request(capsys, command):
    with pytest.raises(SystemExit) as left:
        ManagementUtility(["manage.py", command, "--help"]).execute()

    assert left.value.code == 0
    assert "Example: manage.py" in " ".join(capsys.readouterr().out.split())
