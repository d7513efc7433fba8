"""Free text into findings: what a candidate wrote, word by word, and what could not be read.

Pure: no Django, no clock, no randomness. The vocabulary is data (`shared/words/`); here is only grammar.
A candidate's words never raise and are never lost: each is read, known filler, or `unread`.
"""
