"""A question that only the person can answer."""


class Unclear(ValueError):
    """What cannot be told from the file.

    Attributes
    ----------
    field : str
        The field of `Choices` that takes the answer.
    question : str
    answers : tuple of str
        What can be answered; empty where anything can.
    """

    def __init__(self, field: str, question: str, answers: tuple[str, ...] = ()) -> None:
        super().__init__(question)
        self.field, self.question, self.answers = field, question, answers
