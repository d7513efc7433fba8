"""What is denied: words before a thing, words after it, and places that share one verb."""


class Denying:
    """The part of the reader that hears of denials."""

    def _denied_after(self):
        """ "NH3 n.o.", "gas: nil": what was named just before, and nothing said of it, was not seen."""
        if not self.waiting.empty and not self.waiting.kept:
            self._flush()
        here = self._here()
        if not here and self.index and self.found[self.index - 1].entry.means == "colon":
            here = [draft for draft in self.drafts[-1:] if draft.segment == self.segment]
        if not here or here[-1].event == "none" or here[-1].effect or here[-1].step_sure:
            return False
        here[-1].negated = True
        return True

    def _on_negation(self, chunk):
        means = chunk.entry.means
        if means == "doubt":
            self.doubts.append(f"“{chunk.written}” leaves it open")
        elif means == "done":
            self.done = True
            self.doubts.append(f"“{chunk.written}” tells what was done, not what was seen")
        elif means == "undone" and len(self.found) > 2:
            self.doubts.append(f"“{chunk.written}” says that it was not done")
        elif means in ("struck", "undone"):
            return
        elif means == "not" and self._once_more():
            self._end_clause(stop=False)
            again = self._bare("dissolves")
            again.negated = not self.drafts[-2].negated
        elif means == "not":
            if not self.waiting.empty:
                self._flush(kept=self.waiting.kept)
            self.denied, self.denied_at = True, len(self.drafts)
            if self.following == "(" and self._here():
                self._deny_last()  # "NH3 not (litmus stays red)"
        elif self.denied and len(self.drafts) == self.denied_at and self.waiting.empty and self._here():
            self._deny_last()

    def _once_more(self):
        """Whether a place follows at once: "soluble in ammonia, not in HNO3" says the verb once for both."""
        last = self.drafts[-1] if self.drafts else None
        told = last and last.event == "dissolves" and last.segment == self.segment and self.waiting.empty
        if not told or not (last.step or last.reagents):
            return False
        rest = [chunk for chunk in self.found[self.index + 1 :] if chunk.kind != "filler"][:2]
        places = [chunk for chunk in rest if chunk.of("reagent") or chunk.of("step")]
        return bool(places) and (rest[0] is places[0] or rest[0].entry.means == "into")
