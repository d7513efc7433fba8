"""How statements are joined: words and marks that end a part, turn one colour into another, or keep it."""

from dataclasses import replace

from grading.reading.lexicon import Entry

LOOKS = ("colour", "shade", "tint", "texture", "deed", "gas", "event", "formula")
GIVING = ("gave", "gives", "giving", "produced", "produces", "evolved", "evolves", "released", "left")
ANEW = (*GIVING, "a", "an", "the", "there", "some", "it", "its")  # after "and": a new statement


class Joining:
    """The part of the reader that hears of joins."""

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
        anew = self.following.lower() in ANEW and not self.waiting.empty
        if (
            anew
            or self._here()
            or self.denied
            or self.waiting.gas
            or self.waiting.liquid
            or self.waiting.told
        ):
            self._end_clause(stop=False)
            self.joined = True

    def _join_or(self, chunk):
        """Between words of the same kind: nothing changes."""

    def _join_into(self, chunk):
        """A reagent may follow: see `run`."""

    def _join_keeps(self, chunk):
        """ "stays white", "still yellow", "and it stayed": nothing has changed."""
        self.keeping = True
        self._same_again()

    def _join_loses(self, chunk):
        """ "lost its blue colour": what is named next is what it had before."""
        self._flush()
        self.losing = True

    def _join_affirms(self, chunk):
        """ "yes", "✓": that it is so, which the look from above hears."""

    def _join_goes(self, chunk):
        """ "goes brown" turns brown; "goes in ammonia" dissolves."""
        fallen = [d for d in self.drafts if (d.event == "precipitate" or d.solid) and not d.negated]
        if self._next_kind() in LOOKS or self.waiting.colours or not fallen:
            self._join_turns(chunk)
        else:
            self._on_event(replace(chunk, entries=(Entry("event", "dissolves"),)))

    def _next_kind(self):
        """The kind of the next chunk that says anything."""
        rest = self.found[self.index + 1 :]
        return next((chunk.kind for chunk in rest if chunk.kind not in ("filler", "degree")), "")

    def _join_turns(self, chunk):
        if self.waiting.colours:
            self.waiting.before += self.waiting.colours
            self.waiting.colours = []
        self.waiting.turning = True

    def _join_to(self, chunk):
        if self.waiting.colours:
            self._join_turns(chunk)
