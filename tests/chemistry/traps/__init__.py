"""The traps of salt analysis, a file per subject: each name is a sentence that a practitioner would say.

Common practice unless a source stands beside the check; the facts' own sources are in shared/.
"""
