"""The examiner's work: entering records, awarding marks."""
