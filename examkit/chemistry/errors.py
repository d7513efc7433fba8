"""What can go wrong in the engine, in words for the person who reads the message."""


class ChemistryError(Exception):
    """Base of every error of the engine."""


class FormulaError(ChemistryError):
    """A formula or an equation that cannot be read or does not balance."""


class UnknownSubject(ChemistryError):
    """No ion, salt, test or scheme goes by this name."""


class KnowledgeError(ChemistryError):
    """The knowledge base says things that it must not; all of them are listed."""

    def __init__(self, problems):
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))
