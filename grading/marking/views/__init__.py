"""The examiner's pages, all by sample code: the queue, the entry of a record, its marks."""
