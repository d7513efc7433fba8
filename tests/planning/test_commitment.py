"""The commitment: fixed before the draw, and enough to recompute it afterwards."""

import hashlib
import json

import pytest

from examkit.planning import commitment
from examkit.planning.allocation import VERSION, draw
from examkit.planning.codes import sample_codes
from examkit.planning.plan import Choice, Entrant, Plan
from tests.planning.rooms import TWELVE, plan

SEED, NONCE = "5eed" * 16, "0dd" * 20 + "beef"


@pytest.fixture
def sealed():
    given = plan(24)
    parts = commitment.digests(given)
    seed = commitment.seed_for(SEED, "four")
    return given, {
        "version": VERSION, "seed": SEED, "nonce": NONCE, "public": "four", "digests": parts,
        "commitment": commitment.commit(parts, SEED, NONCE), "seats": draw(given, seed).seats_json(),
        "codes": sample_codes([one.number for one in given.entrants], seed),
    }


def test_a_genuine_draw_is_verified(sealed):
    given, kept = sealed

    assert commitment.verify(kept, given) == []


def test_the_commitment_can_be_recomputed_with_any_sha_256(sealed):
    _given, kept = sealed
    parts = kept["digests"] | {"version": VERSION, "seed": SEED, "nonce": NONCE}
    text = json.dumps(parts, sort_keys=True, separators=(",", ":"))

    assert kept["commitment"] == hashlib.sha256(text.encode()).hexdigest()


def test_what_is_kept_survives_json(sealed):
    given, kept = sealed
    again = Plan.from_json(json.loads(json.dumps(given.as_json())))

    assert commitment.verify(json.loads(json.dumps(kept)), again) == []


@pytest.mark.parametrize("field", ["seed", "nonce", "commitment"])
def test_another_seed_nonce_or_commitment_is_found(sealed, field):
    given, kept = sealed

    problems = commitment.verify(kept | {field: "0" * 64}, given)

    assert any("commitment does not belong" in problem for problem in problems)


def test_two_candidates_who_changed_places_are_both_named(sealed):
    given, kept = sealed
    seats = [list(seat) for seat in kept["seats"]]
    seats[0][3], seats[1][3] = "steered", "steered"

    problems = commitment.verify(kept | {"seats": seats}, given)

    assert [problem[:14] for problem in problems] == ["Candidate n000", "Candidate n001"]


def test_an_exchanged_code_is_found(sealed):
    given, kept = sealed
    codes = kept["codes"] | {"n000": kept["codes"]["n001"]}

    assert "kept with code" in commitment.verify(kept | {"codes": codes}, given)[0]


def test_a_roster_changed_after_the_seal_is_found(sealed):
    given, kept = sealed
    more = Plan(given.halls, (*given.entrants, Entrant("late")), given.pool)

    assert "The roster is not the one that was sealed before the draw." in commitment.verify(kept, more)


def test_a_pool_changed_after_the_seal_is_found(sealed):
    given, kept = sealed
    more = Plan(given.halls, given.entrants, (*TWELVE, Choice("extra", ("X",))))

    assert "The pool is not the one that was sealed before the draw." in commitment.verify(kept, more)


def test_what_was_thrown_in_public_changes_the_draw(sealed):
    given, kept = sealed

    assert len(commitment.verify(kept | {"public": "five"}, given)) > 10


def test_another_version_of_the_rules_is_said_and_not_recomputed(sealed):
    given, kept = sealed
    parts = kept | {"version": 99, "commitment": commitment.commit(kept["digests"], SEED, NONCE, 99)}

    assert "version 99" in commitment.verify(parts, given)[0]


def test_secrets_are_fresh_and_hold_256_bits():
    first, second = commitment.new_secret(), commitment.new_secret()

    assert first != second
    assert len(bytes.fromhex(first)) == 32


def test_the_same_content_has_the_same_digest_whatever_the_order_of_keys():
    assert commitment.digest({"a": 1, "b": "é"}) == commitment.digest({"b": "é", "a": 1})
