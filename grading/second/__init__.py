"""Second marking: a sample of the finished records marked again, blind; agreement; differences settled."""
