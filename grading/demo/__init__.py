"""The demo's records: what forty invented candidates wrote, and the marks that some of them already have."""
