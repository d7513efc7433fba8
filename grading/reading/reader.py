"""The grammar of an observation: clauses, what is denied, and which attribute belongs to what.

Chunks are taken from left to right. Attributes wait until their thing is named ("white gelatinous | ppt"), or
go to the thing named before them ("ppt | white"). When it was seen is the matter of timing.py.
"""

from grading.reading.drafts import DETAILS, GASEOUS, Draft, Waiting
from grading.reading.findings import EFFECT, UNSTATED
from grading.reading.timing import Timing

SOLIDS = ("residue", "bead")
EXCESS = "excess"
MILKY = "milky"  # what a precipitate in a test solution is called there


class Reader(Timing):
    """Reads chunks into `drafts`; what the candidate left open is in `doubts`."""

    def __init__(self, words, found):
        self.words, self.found = words, found
        self.drafts, self.doubts = [], []
        self.segment = self.clause = 0
        self.waiting = Waiting()
        self.flame = ""  # the flame named last: it holds until the other is named
        self.reagents = ()
        self.carried = None  # a step that stood alone and waits for what follows
        self.joined = self.prepositional = False
        self.following = self.preposition = ""
        self.stays = False
        self.before_kind, self.reagents_at = "", 0
        self._new_clause()

    def _new_clause(self):
        self.clause += 1
        self.denied, self.denied_at = False, 0
        self.keeping = self.sighted = False
        self.held = self.carried  # the step that was named first in this clause
        self.held_used = False
        self.carried = None

    def run(self):
        """Read everything."""
        for index, chunk in enumerate(self.found):
            chunk = self._meant(chunk, index)
            self.following = self.found[index + 1].written if index + 1 < len(self.found) else ""
            handler = getattr(self, f"_on_{chunk.kind}", None)
            if handler:
                handler(chunk)
            self.before_kind, self.preposition = chunk.kind, chunk.written.lower()
            self.prepositional = (
                chunk.kind == "join"
                and chunk.entry.means == "into"
                or (self.prepositional and chunk.kind in ("filler", "step", "shade"))
            )
        self._end_clause(stop=True)
        self._fill_flames()

    def _meant(self, chunk, index):
        """The chunk with the meaning that fits its place, where it has several."""
        if len(chunk.entries) < 2:
            return chunk
        reagent, deed, paper = chunk.of("reagent"), chunk.of("deed"), chunk.of("paper")
        if chunk.kind == "gas":
            reagent = reagent or chunk.of("step")  # "H2O: insoluble"
        if paper and paper.entry.place == "fumes":
            fuming = self._here() and self._here()[-1].event == "gas"
            return paper if fuming or not reagent else reagent
        if chunk.kind == "gas" and self.preposition == "of" and self._gas_unnamed():
            return chunk  # "fumes of HCl"
        smelling = self._here() and self._here()[-1].event == "smell"
        if reagent and not smelling and (self.prepositional or self._heads(index) or self._added(chunk)):
            return reagent
        if deed and any(draft.effect for draft in self._here()):
            return deed
        return chunk

    def _gas_unnamed(self):
        here = self._here()
        return bool(here) and here[-1].event in GASEOUS and not here[-1].gas

    def _heads(self, index):
        """Whether a colon follows: "iodine: colour goes"."""
        return index + 1 < len(self.found) and self.found[index + 1].entry.means == "colon"

    def _added(self, chunk):
        """Whether a paper or a gas is rather a reagent, since a precipitate is spoken of, and no gas."""
        events = {c.entry.means for c in self.found if c.kind == "event" and not c.entry.weak}
        if not events & {"precipitate", "dissolves"}:
            return False
        return chunk.kind in ("paper", "gas") and not events & set(GASEOUS)

    def _here(self):
        """Drafts of this clause."""
        return [draft for draft in self.drafts if draft.clause == self.clause]

    # What is seen

    def _on_event(self, chunk):
        entry = chunk.entry
        if entry.weak and not entry.negated:
            of_reagent = self.before_kind == "reagent"  # "ferrocyanide solution"
            self.waiting.liquid = self.waiting.liquid or (entry.place != "sight" and not of_reagent)
            self.waiting.told = self.waiting.told or (entry.place == "sight" and bool(self.waiting.colours))
            self.sighted = True
            return
        degree = None
        if self._stays(entry) or self._in_solution(entry) or self._on_paper_nothing(entry):
            return
        if not entry.noun:
            degree, self.waiting.degree = (
                self.waiting.degree,
                None,
            )  # "partly" is said of the verb that follows
            self._flush()
            self._subject_of_verb()
        elif self.waiting.kept and self.denied:
            self._flush(kept=True)
        if entry.means == "smell" and self.waiting.colours:
            self._flush(kept=self.waiting.kept)  # "white powder with a smell": the powder is white
        draft = self._new(entry.means, chunk)
        for what in ("texture", "gas", "smell", "effect"):
            setattr(draft, what, getattr(draft, what) or entry.told(what))
        draft.step = entry.told("step") or draft.step
        draft.facet = entry.facet
        draft.colours += [entry.told("colours")] if entry.told("colours") else []
        draft.negated = draft.negated != entry.negated
        draft.degree = degree
        if entry.noun:
            draft.absorb(self.waiting)
            self._before(draft)
            self.waiting = Waiting()

    def _in_solution(self, entry):
        """What falls in lime water, and clears again there, is what the gas does to it."""
        before = [draft for draft in self.drafts if draft.segment == self.segment and draft.shows]
        if not before or before[-1] is not self.drafts[-1]:
            return False
        if entry.means == before[-1].shows and not entry.weak:
            before[-1].texture = before[-1].texture or MILKY
            before[-1].negated = before[-1].negated or self.denied
            self.waiting = Waiting()
            return True
        if entry.means == "dissolves" and before[-1].texture:
            again = self._bare("dissolves")
            again.step, again.reagents = EXCESS, (before[-1].effect,)  # "clears when more gas comes"
            return True
        return False

    def _on_paper_nothing(self, entry):
        """ "red litmus unaffected": the paper stays as it was."""
        here = self._here()
        if (
            entry.means != "none"
            or not here
            or here[-1].event != EFFECT
            or here[-1].colours
            or here[-1].texture
        ):
            return False
        here[-1].negated = True
        return True

    def _stays(self, entry):
        """ "pink precipitate stays in excess", after another one: it is seen at that step, and is news."""
        precipitates = [d for d in self.drafts if d.event == "precipitate" and not d.negated and d.colours]
        if (
            entry.means != "none"
            or not entry.told("step")
            or len(precipitates) < 2
            or self._here()[-1:] != precipitates[-1:]
        ):
            return False
        precipitates[-1].step = entry.told("step")
        return True

    def _new(self, event, chunk):
        draft = Draft(
            event, self.segment, self.clause, chunk.start, chunk.end, negated=self.denied and event != "none"
        )
        draft.flame, draft.reagents = self.flame, self.reagents
        self._hold(draft)
        self.drafts.append(draft)
        return draft

    def _on_colour(self, chunk):
        if self.waiting.kept and self.waiting.colours:
            self._flush(kept=True)
        self.waiting.colours.append(chunk.entry.means)
        self.waiting.unchanged = self.keeping
        self.waiting.reach(chunk)

    def _on_texture(self, chunk):
        self.waiting.texture = self.waiting.texture or chunk.entry.means
        self.waiting.event = self.waiting.event or chunk.entry.told("event")
        self.waiting.reach(chunk)

    def _on_degree(self, chunk):
        self.waiting.degree = chunk.entry.means
        self.waiting.reach(chunk)

    def _on_gas(self, chunk):
        self.waiting.gas = chunk.entry.means
        self.waiting.reach(chunk)

    def _on_smell(self, chunk):
        self.waiting.smell = chunk.entry.means
        self.waiting.smells_of = chunk.entry.told("gas")
        self.waiting.reach(chunk)

    def _on_formula(self, chunk):
        here = [draft for draft in self._here() if not draft.product and draft.event != "none"]
        if here and self.waiting.empty:
            gaseous = here[-1].event in GASEOUS and not here[-1].gas  # "gas (COS)"
            setattr(here[-1], "gas" if gaseous else "product", chunk.entry.means)
        else:
            self.waiting.product = chunk.entry.means
            self.waiting.reach(chunk)

    def _on_paper(self, chunk):
        here = self._here()
        if here and here[-1].event == "none" and not here[-1].step_sure:
            here[-1].event, here[-1].negated, here[-1].effect = EFFECT, True, chunk.entry.means
            return
        if here and here[-1].event == "gas" and chunk.entry.place == "fumes" and self.waiting.empty:
            here[-1].event, here[-1].effect = EFFECT, chunk.entry.means  # "white fumes | with a rod of ..."
            return
        shows = chunk.entry.told("event")
        if here and shows and here[-1].event == shows:
            here[-1].event, here[-1].effect, here[-1].shows = EFFECT, chunk.entry.means, shows
            here[-1].texture, here[-1].colours = MILKY, []  # "white ppt | with lime water"
            return
        if self.waiting.kept:
            self._flush(kept=True)
        draft = self._new(EFFECT, chunk)
        draft.effect, draft.shows = chunk.entry.means, shows
        draft.absorb(self.waiting)
        self.waiting = Waiting()

    def _on_deed(self, chunk):
        here = [draft for draft in self._here() if draft.effect]
        if here:
            here[-1].texture = here[-1].texture or chunk.entry.means
            here[-1].end = chunk.end
        else:
            self._on_texture(chunk)

    def _on_reagent(self, chunk):
        names = tuple(dict.fromkeys(entry.means for entry in chunk.entries if entry.kind == "reagent"))
        last = self.drafts[-1] if self.drafts else None
        if self.joined and last and last.reagents and last.segment == self.segment and not self._here():
            last.reagents = (*last.reagents, *names)  # "insoluble in conc HCl and dil HCl"
            return
        if self._here() or not self.waiting.empty:
            self._flush()
            if self._here():
                self._here()[-1].reagents = (*self._here()[-1].reagents, *names)
        elif self.reagents and self.reagents_at == len(self.drafts):
            self.reagents = (*self.reagents, *names)  # "MnO2 + conc. H2SO4: ..."
        else:
            self.reagents, self.reagents_at = names, len(self.drafts)

    # What is denied

    def _on_negation(self, chunk):
        means = chunk.entry.means
        if means == "doubt":
            self.doubts.append(f"“{chunk.written}” leaves it open")
        elif means == "not":
            if not self.waiting.empty:
                self._flush(kept=self.waiting.kept)
            self.denied, self.denied_at = True, len(self.drafts)
            if self.following == "(":
                self._deny_last()  # "NH3 not (litmus stays red)"
        elif self.denied and len(self.drafts) == self.denied_at and self.waiting.empty and self._here():
            self._deny_last()

    def _deny_last(self):
        """A denial with nothing after it belongs to what went before ("ppt not formed")."""
        here = self._here()
        if here:
            here[-1].negated = here[-1].event != "none"
        self.denied = False

    # How it is joined

    def _on_join(self, chunk):
        getattr(self, f"_join_{chunk.entry.means}")(chunk)

    def _join_stop(self, chunk):
        self._end_clause(stop=True)

    def _join_pause(self, chunk):
        self._end_clause(stop=False)

    def _join_colon(self, chunk):
        """What stands before a colon holds for what follows ("hot: yellow"), unless it is a statement."""
        if (self._here() or not self.waiting.empty) and (not self.held or self.held_used):
            self._end_clause(stop=False)

    def _join_and(self, chunk):
        if self._here() or self.denied or self.waiting.gas or self.waiting.liquid or self.waiting.told:
            self._end_clause(stop=False)
            self.joined = True

    def _join_or(self, chunk):
        """Between words of the same kind: nothing changes."""

    def _join_into(self, chunk):
        """A reagent may follow: see `run`."""

    def _join_keeps(self, chunk):
        """ "stays white", "still yellow", "and it stayed": nothing has changed."""
        self.keeping = True

    def _join_turns(self, chunk):
        if self.waiting.colours:
            self.waiting.before += self.waiting.colours
            self.waiting.colours = []
        self.waiting.turning = True

    def _join_to(self, chunk):
        if self.waiting.colours:
            self._join_turns(chunk)

    # The end of a clause

    def _end_clause(self, stop):
        self._end_denial()
        if self.keeping and self.waiting.empty and not self._here():
            if self.held:
                self._hold(self._bare("none"))
            else:
                self.stays = True  # "it stayed | when I put more in"
        keep = not stop and not self._here() and not self.waiting.empty and not self.waiting.kept
        if keep and not self.held and not self._lacking() and not self._complete():
            self.waiting.kept = True
        else:
            self._flush(kept=self.waiting.kept)
        self._end_step()
        self.joined = False
        self._new_clause()
        if stop:
            self.segment += 1
            self.reagents = ()

    def _end_denial(self):
        if not self.denied or len(self.drafts) > self.denied_at or not self.waiting.empty:
            return
        if self._here():
            self._deny_last()
        elif self.sighted or len(self.found) < 3:
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

    def _not_turned(self, waiting):
        """ "litmus did not turn blue": the paper stays as it was."""
        here = self._here()
        if not (waiting.colours and here and here[-1].event == EFFECT and not here[-1].colours):
            return False
        here[-1].absorb(waiting)
        here[-1].negated = True
        return True

    def _target(self, waiting):
        same = [draft for draft in self.drafts if draft.segment == self.segment]
        last = same[-1] if same else None
        if waiting.turning and last and last.event in GASEOUS and last.clause != self.clause:
            return None  # "loses its water, turns white"
        if last is None or not last.takes(waiting) or (waiting.turning and waiting.before):
            return None
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
