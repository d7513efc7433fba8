"""The knowledge base as frozen records: read (YAML with line numbers), checked, loaded."""
