"""What a gas does to a test paper or to a solution that it is led into."""

from grading.reading.drafts import Waiting
from grading.reading.findings import EFFECT

EXCESS = "excess"
MILKY = "milky"  # what a precipitate in a test solution is called there


class OnPapers:
    """The part of the reader that hears of papers and of test solutions."""

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

    def _on_paper(self, chunk):
        here = self._here()
        if here and here[-1].event == "none" and not here[-1].step_sure:
            here[-1].event, here[-1].negated, here[-1].effect = EFFECT, True, chunk.entry.means
            return
        if not here and chunk.entry.place == "fumes":
            here = [d for d in self.drafts[-1:] if d.segment == self.segment]  # "clouds when near ..."
        smoke = here and here[-1].event in ("gas", "precipitate")  # "white clouds | with a rod of ..."
        if smoke and chunk.entry.place == "fumes" and self.waiting.empty:
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

    def _not_turned(self, waiting):
        """ "litmus did not turn blue": the paper stays as it was."""
        here = self._here()
        if not (waiting.colours and here and here[-1].event == EFFECT and not here[-1].colours):
            return False
        here[-1].absorb(waiting)
        here[-1].negated = True
        return True
