"""The end of a clause: what was denied, and where attributes go that still wait for their thing."""

from grading.reading.drafts import DETAILS, GASEOUS, Draft, Waiting
from grading.reading.findings import EFFECT, UNSTATED

WORDLESS = ("filler", "negation", "join")  # kinds that say nothing of a thing: "absent" is all that is said
SOLIDS = ("residue", "bead")


class Settling:
    """The part of the reader that closes clauses and gives waiting attributes a place."""

    def _deny_last(self):
        """A denial with nothing after it belongs to what went before ("ppt not formed")."""
        here = self._here()
        if here:
            here[-1].negated = here[-1].event != "none"
        self.denied = False

    def _end_clause(self, stop):
        self._end_denial()
        if self.keeping and self.waiting.empty and not self._here():
            if self.held:
                self._hold(self._bare("none"))
            elif self._reagent_last():
                self._bare("none").reagents = self.reagents  # "that stays in dilute acid"
            else:
                self.stays = True  # "it stayed | when I put more in"
        keep = not stop and not self._here() and not self.waiting.empty and not self.waiting.kept
        if keep and not self.held and not self._lacking() and not self._complete():
            self.waiting.kept = True
        else:
            self._flush(kept=self.waiting.kept)
        self._end_step()
        if stop:
            self._end_reagent()
        self.joined = False
        self._new_clause()
        if stop:
            self.segment += 1
            self.reagents = ()

    def _end_reagent(self):
        """A reagent named last is what it dissolves in: "soluble when HCl was added"."""
        last = self.drafts[-1] if self.drafts else None
        if not (last and self._reagent_last()):
            return
        if last.event == "dissolves" and last.segment == self.segment and not (last.step or last.reagents):
            last.reagents = self.reagents

    def _reagent_last(self):
        """Whether a reagent was named, and nothing seen since."""
        return bool(self.reagents) and self.reagents_at == len(self.drafts)

    def _end_denial(self):
        if not self.denied or len(self.drafts) > self.denied_at or not self.waiting.empty:
            return
        if self._here():
            self._deny_last()
        elif self.sighted or all(chunk.kind in WORDLESS for chunk in self.found):
            self._bare("none")

    def _bare(self, event):
        """A finding that no word names: it is what the clause as a whole says."""
        self.drafts.append(Draft(event, self.segment, self.clause, 0, 0))
        return self.drafts[-1]

    def _complete(self):
        """Whether what waits is a statement of its own: a smell, a gas, the colour of a solution."""
        waiting = self.waiting
        return bool(waiting.smell or waiting.gas or waiting.liquid or waiting.told or waiting.event)

    def _lacking(self):
        """The thing of this sentence that still lacks what waits, or None."""
        before = [draft for draft in self.drafts if draft.segment == self.segment]
        return before[-1] if before and before[-1].takes(self.waiting) and before[-1].bare else None

    def _flush(self, kept=False):
        """Let what waits go to the thing before it, or stand for itself."""
        waiting, self.waiting = self.waiting, Waiting()
        if waiting.empty:
            self.waiting.liquid, self.waiting.turning = waiting.liquid, waiting.turning
            self.waiting.solid = waiting.solid
            return
        if self.denied and self._not_turned(waiting):
            return
        target = self._target(waiting)
        if target is not None and not (self.denied and len(self.drafts) == self.denied_at and not kept):
            target.absorb(waiting)
            return
        if waiting.degree and not (waiting.colours or waiting.gas or waiting.smell or waiting.texture):
            self.waiting.degree = waiting.degree  # "partly": its verb comes later
            return
        if not self._predicate(waiting):
            self._stand_alone(waiting)

    def _predicate(self, waiting):
        """ "the white mass was blue": of two colours of one thing the first is what it had before."""
        here = self._here()
        thing = here[-1] if here else None
        if (
            thing is None
            or not thing.colours
            or waiting.liquid
            or self.denied
            or self.held
            or thing.step_sure
        ):
            return False
        if (
            thing.event not in SOLIDS
            or not waiting.colours
            or any(getattr(waiting, name) for name in DETAILS)
        ):
            return False
        waiting.before, thing.colours = thing.colours, waiting.colours
        self._remember(waiting, thing)
        return True

    def _target(self, waiting):
        same = [draft for draft in self.drafts if draft.segment == self.segment]
        last = same[-1] if same else None
        if waiting.turning and last and last.event in GASEOUS and last.clause != self.clause:
            return None  # "loses its water, turns white"
        if last is None or not last.takes(waiting) or (waiting.turning and waiting.before):
            return None
        if waiting.smell and last.event == EFFECT and last.clause != self.clause:
            return None  # "litmus turned blue and smell of ammonia"
        if waiting.gas and last.colours and last.clause != self.clause:
            return None  # "brown gas, CO2" may be two gases
        return last

    def _stand_alone(self, waiting):
        """A finding whose event was not named: a smell, a gas, or a colour of what the test is about."""
        if self.denied and not (
            waiting.colours or waiting.gas or waiting.smell or waiting.event or waiting.product
        ):
            return  # "not transparent": a look denied says nothing of what was seen
        event = waiting.event or ("smell" if waiting.smell else "gas" if waiting.gas else UNSTATED)
        if event == UNSTATED and waiting.product and not (waiting.colours or waiting.texture):
            event = "product"
        draft = Draft(
            event, self.segment, self.clause, waiting.start or 0, waiting.end, implied=event == UNSTATED
        )
        draft.flame, draft.reagents = self.flame, self.reagents
        draft.negated, draft.liquid, draft.unchanged = self.denied, waiting.liquid, waiting.unchanged
        draft.solid = waiting.solid
        self._hold(draft)
        draft.absorb(waiting)
        self._remember(waiting, draft)
        self.drafts.append(draft)

    def _before(self, draft):
        self._remember(self.waiting, draft)

    def _remember(self, waiting, draft):
        """The colour that it had before it turned, as a finding of its own."""
        if not waiting.before:
            return
        if not draft.colours:
            draft.colours += waiting.before
            draft.before = draft.implied  # "the purple goes"
            return
        earlier = Draft(
            UNSTATED, self.segment, self.clause, draft.start, draft.end, implied=True, before=True
        )
        earlier.colours = list(waiting.before)
        self.drafts.insert(len(self.drafts) - (draft in self.drafts), earlier)
