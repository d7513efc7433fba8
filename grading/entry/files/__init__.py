"""Records from files: CSV, XLSX and YAML read with the place of each word, shown first, saved all or none."""
