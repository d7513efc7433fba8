"""The grammar of an observation: clauses, what is denied, and which attribute belongs to what.

Chunks are taken from left to right. Attributes wait until their thing is named ("white gelatinous | ppt"), or
go to the thing named before them ("ppt | white"). When it was seen is the matter of timing.py.
"""

from grading.reading.denying import Denying
from grading.reading.drafts import GASEOUS, Draft, Waiting
from grading.reading.joining import Joining
from grading.reading.on_papers import OnPapers
from grading.reading.settling import Settling
from grading.reading.timing import Timing


class Reader(Timing, OnPapers, Settling, Joining, Denying):
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
        self.before_kind, self.reagents_at, self.index = "", 0, 0
        self.listing = False  # "and" came last
        self.done = False  # the test was done, it says
        self._new_clause()

    def _new_clause(self):
        self.clause += 1
        self.denied, self.denied_at = False, 0
        self.keeping = self.sighted = self.losing = False
        self.held = self.carried  # the step that was named first in this clause
        self.held_used = False
        self.carried = None

    def run(self):
        """Read everything."""
        for index, chunk in enumerate(self.found):
            self.index = index
            chunk = self._meant(chunk, index)
            self.following = self.found[index + 1].written if index + 1 < len(self.found) else ""
            handler = getattr(self, f"_on_{chunk.kind}", None)
            if handler:
                handler(chunk)
            self.before_kind, self.preposition = chunk.kind, chunk.written.lower()
            self.listing = chunk.kind == "join" and chunk.entry.means == "and"
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
        if chunk.entry.means == "none" and chunk.of("negation") and self._next_kind() == "event":
            return chunk.of("negation")  # "nothing precipitates"
        if reagent and self.listing and self._naming_reagents():
            return reagent  # "with dimethylglyoxime and ammonia"
        if chunk.kind == "gas":
            reagent = reagent or chunk.of("step")  # "H2O: insoluble"
        if paper and paper.entry.place == "fumes":
            fuming = self._here() and self._here()[-1].event == "gas"
            return paper if fuming or not reagent else reagent
        if paper and reagent and not self._of_gas() and self._falls_next(index):
            return reagent  # "lead acetate: yellow ppt"
        if chunk.kind == "gas" and self.preposition == "of" and self._gas_unnamed():
            return chunk  # "fumes of HCl"
        smelling = self._here() and self._here()[-1].event == "smell"
        if reagent and not smelling and (self.prepositional or self._heads(index) or self._added(chunk)):
            return reagent
        if deed and any(draft.effect for draft in self._here()):
            return deed
        return chunk

    def _falls_next(self, index):
        """Whether a precipitate is what is told next."""
        for chunk in self.found[index + 1 :]:
            if chunk.kind not in ("filler", "shade", "colour", "texture", "degree"):
                return chunk.kind == "event" and chunk.entry.means == "precipitate"
        return False

    def _of_gas(self):
        """Whether this clause speaks of a gas: what it is led into is no reagent that was added."""
        return any(draft.event in GASEOUS for draft in self._here())

    def _naming_reagents(self):
        """Whether reagents were named and nothing since."""
        return self._reagent_last() and self.waiting.empty

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
            self.waiting.solid = self.waiting.solid or entry.place == "solid"
            self.waiting.liquid = self.waiting.liquid or (entry.place != "sight" and not of_reagent)
            self.waiting.told = self.waiting.told or (entry.place == "sight" and bool(self.waiting.colours))
            self.sighted = True
            return
        degree = None
        if entry.place == "denies" and self._next_kind() != "step" and self._denied_after():
            return
        if entry.means == "none" and self._same_again():
            self.drafts[-1].step = entry.told("step") or self.drafts[-1].step
            return
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

    def _same_again(self):
        """ "blue ppt, in excess ppt remains": named once more, and nothing said of it: it is as it was."""
        here, same = self._here(), [d for d in self.drafts if d.event == "precipitate" and not d.negated]
        if len(same) < 2 or here[-1:] != same[-1:] or not same[-1].bare:
            return False
        same[-1].event = "none"
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
        if self.losing:
            self.losing, self.waiting.turning = False, True
            self.waiting.before.append(chunk.entry.means)
            self.waiting.reach(chunk)
            return
        self.waiting.colours.append(chunk.entry.means)
        self.waiting.unchanged = self.keeping
        self.waiting.reach(chunk)

    def _on_texture(self, chunk):
        if chunk.entry.place == "above":
            self._above(chunk)
            return
        self.waiting.texture = self.waiting.texture or chunk.entry.means
        self.waiting.event = self.waiting.event or chunk.entry.told("event")
        self.waiting.solid = self.waiting.solid or chunk.entry.place == "solid"
        self.waiting.reach(chunk)

    def _above(self, chunk):
        """ "white solid at the top of the tube": what has settled there has sublimed."""
        here = self._here()
        if here and self.waiting.empty:
            if here[-1].event in ("precipitate", "residue"):
                here[-1].event = chunk.entry.told("event")
        elif self.waiting.colours and not (self.waiting.gas or self.waiting.liquid):
            self.waiting.event = chunk.entry.told("event")

    def _on_degree(self, chunk):
        self.waiting.degree = chunk.entry.means
        self.waiting.reach(chunk)

    def _on_gas(self, chunk):
        if self.waiting.kept and self.waiting.colours:
            self._flush(kept=True)  # "turns white, steam": it is the solid that turns
        self.waiting.gas = chunk.entry.means
        self.waiting.reach(chunk)

    def _on_smell(self, chunk):
        if self.waiting.colours and self.index and self.found[self.index - 1].entry.means == "pause":
            self._flush()  # "white then brown, choking smell": a smell has no colour
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

    def _on_filler(self, chunk):
        """ "lilac (crimson through blue glass)": a colour in brackets with its own step is another look."""
        if chunk.written == "(" and self.waiting.colours and not self.denied:
            inside = []
            for other in self.found[self.index + 1 :]:
                if other.written == ")":
                    break
                inside.append(other.kind)
            if {"colour", "step"} <= set(inside):
                self._flush()
                self.clause += 1
