"""Commands of the terminal, and what they share: one-line errors, examples in --help, JSON on request."""
