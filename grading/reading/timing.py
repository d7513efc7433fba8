"""When something was seen: steps named before or after it, flames that hold until the other is named.

A step named first holds for what follows it in its clause ("hot: yellow"); named after, it belongs to what
was before it ("yellow hot"); standing alone, it waits or says once more what went before ("hot and cold").
"""

from copy import deepcopy


class Timing:
    """The half of the reader that gives drafts their steps."""

    def _hold(self, draft):
        """Give the step that was named first to a new draft."""
        if self.held:
            setattr(draft, *self.held)
            self.held_used = True

    def _subject_of_verb(self):
        """A thing that only stands before its verb ("in excess the ppt dissolves") was seen before."""
        last = self._here()[-1] if self._here() else None
        if last and self.held and not last.step_sure and (last.bare or last.event == "precipitate"):
            setattr(last, self.held[0], "")

    def _on_step(self, chunk):
        entry = chunk.entry
        slot, value = (entry.place if entry.place else "step"), entry.means
        if slot == "flame":
            self._set_flame(value)
            return
        if self.held and self.held[0] == slot and (self.held_used or not self.waiting.empty):
            # "hot: yellow cold: white": each holds for what follows it
            self._flush()
            self.held, self.held_used = (slot, value), False
            return
        if not self.waiting.empty and not self.held:
            self._flush_before_comma()
        here = [draft for draft in self._here() if not getattr(draft, slot)]
        if here and not self.held:
            setattr(here[-1], slot, value)
            here[-1].step_sure = True
            here[-1].end = max(here[-1].end, chunk.end)
        else:
            self.held, self.held_used = (slot, value), False

    def _flush_before_comma(self):
        """What waits; where a comma came before the step, it was seen before ("white, in excess ...")."""
        kept, count = self.waiting.kept, len(self.drafts)
        self._flush(kept=kept)
        for draft in self.drafts[count:] if kept else ():
            draft.clause -= 1

    def _set_flame(self, value):
        if self._here() or not self.waiting.empty:
            self._flush()
            unset = [draft for draft in self._here() if not draft.flame_sure]
            for draft in unset[-1:]:
                draft.flame, draft.flame_sure = value, True
        self.flame = value

    def _end_step(self):
        """A step named first that nothing followed belongs to what went before, or waits for what comes."""
        if not self.held or self.held_used:
            return
        slot, value = self.held
        here = self._here()
        if self.stays and not here:
            self.stays = False
            setattr(self._bare("none"), slot, value)
        elif here:
            setattr(here[-1], slot, value)
        elif self.waiting.kept or not self.drafts:
            self.carried = self.held
        elif self.joined and self.drafts[-1].clause == self.clause - 1:
            self._again(slot, value)
        elif self.drafts[-1].step_sure and self.drafts[-1].segment == self.segment and slot == "step":
            self._again(slot, value)  # "insoluble in cold water, hot water"
        elif self._verb_next():
            self.carried = self.held
        elif not getattr(self.drafts[-1], slot):
            setattr(self.drafts[-1], slot, value)
        else:
            self.carried = self.held

    def _verb_next(self):
        """Whether the next part begins with what happens: "white ppt, excess: still there"."""
        rest = (chunk for chunk in self.found[self.index + 1 :] if chunk.kind != "filler")
        entry = next((chunk.entry for chunk in rest), None)
        return entry is not None and entry.kind == "event" and entry.means in ("dissolves", "none")

    def _again(self, slot, value):
        """The last finding once more, at another step."""
        self.drafts.append(deepcopy(self.drafts[-1]))
        setattr(self.drafts[-1], slot, value)

    def _fill_flames(self):
        """ "violet hot, reddish brown cold in OF": a flame named last holds for its whole sentence."""
        for index, draft in enumerate(self.drafts):
            later = [d for d in self.drafts[index + 1 :] if d.segment == draft.segment and d.flame_sure]
            earlier = [d for d in self.drafts[:index] if d.segment == draft.segment and d.flame_sure]
            if later and not draft.flame_sure and not earlier and draft.warmth:
                draft.flame = later[0].flame
