"""What is fixed before a draw, as one number that can be printed, and the check of a draw afterwards.

The commitment is the SHA-256 of canonical JSON over version, rules, rooms, roster, pool, seed and a nonce.
Printed before the draw it gives nothing away; when seed and nonce are shown, anybody can recompute it, and
the draw.
"""

import hashlib
import hmac
import json
import secrets

from examkit.planning.allocation import RULES, VERSION, draw
from examkit.planning.changes import Drawn, changed
from examkit.planning.codes import sample_codes

SECRET_BYTES = 32  # of seed and nonce: 256 bits each, twice what is asked of the nonce


def canonical(value):
    """JSON in the one form that is hashed: sorted keys, no spaces, ASCII."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)


def digest(value):
    """SHA-256 (hexadecimal) of a value's canonical JSON."""
    return hashlib.sha256(canonical(value).encode("ascii")).hexdigest()


def new_secret():
    """A fresh seed or nonce from the operating system, as hexadecimal text."""
    return secrets.token_hex(SECRET_BYTES)


def digests(plan):
    """The digests of rooms, roster and pool: what may be shown of them before the exam."""
    return {
        "rooms": digest(plan.rooms_json()),
        "roster": digest(plan.roster_json()),
        "pool": digest(plan.pool_json()),
        "rules": digest(list(RULES)),
    }


def commit(parts, seed, nonce, version=VERSION):
    """The commitment over the digests of a plan (`digests`), seed and nonce."""
    return digest({"version": version, **parts, "seed": seed, "nonce": nonce})


def seed_for(seed, public=""):
    """The seed that is drawn with: the secret one, joined with what was thrown or said in public (a die, a
    word)."""
    return digest({"seed": seed, "public": public.strip()})


def verify_seal(kept, plan):
    """What is wrong with a seal, as sentences: the plan is another one, or the commitment does not belong
    to it.

    `kept` has version, seed, nonce, commitment and digests.
    """
    problems = list(_changed(kept, plan))
    wanted = commit(kept["digests"], kept["seed"], kept["nonce"], kept["version"])
    if not hmac.compare_digest(wanted, kept["commitment"]):
        problems.append("The printed commitment does not belong to this seed, nonce, roster, pool and rules.")
    return problems


def verify(kept, plan):
    """What is wrong with a draw that was kept, as sentences; an empty list says that it is genuine.

    `kept` has what a seal has (`verify_seal`), and public, seats, codes and changes (what each is about).
    """
    problems = verify_seal(kept, plan)
    if kept["version"] != VERSION:
        return [*problems, f"The draw was made by version {kept['version']} of the rules, this program knows "
                           f"version {VERSION}: recompute it with the edition that made it."]
    return problems + list(_recomputed(kept, plan))


def _changed(kept, plan):
    for part, now in digests(plan).items():
        if kept["digests"].get(part) != now:
            yield f"The {part} is not the one that was sealed before the draw."


def change_seed(seed, number, change):
    """The seed of the change with this number (from 0): of the draw's seed and what the change is about."""
    return digest({"seed": seed, "change": number, "about": change})


def replayed(plan, seed, about):
    """The draw of a plan by a seed, and each change after it in turn (`about`: what each is about)."""
    drawn = draw(plan, seed)
    now = Drawn(plan, {seat.number: seat for seat in drawn.seats},
                sample_codes([seat.number for seat in drawn.seats], seed))
    for number, change in enumerate(about):
        now = changed(now, change, change_seed(seed, number, change))
    return now


def _recomputed(kept, plan):
    now = replayed(plan, seed_for(kept["seed"], kept["public"]), kept.get("changes", ()))
    again = {seat.number: [seat.sitting, seat.bench, seat.salt] for seat in now.seats.values()}
    then = {number: rest for number, *rest in kept["seats"]}
    for number in sorted(again.keys() | then.keys()):
        if again.get(number) != then.get(number):
            yield f"Candidate {number}: kept as {then.get(number)}, but the seed gives {again.get(number)}."
    for number in sorted(now.codes.keys() & kept["codes"].keys()):
        if now.codes[number] != kept["codes"][number]:
            yield (f"Candidate {number}: kept with code {kept['codes'][number]}, "
                   f"but the seed gives {now.codes[number]}.")
