"""Free text into findings and claims; `examples/` holds sentences to accept and to refuse, per test and ion."""
