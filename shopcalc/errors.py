"""The one exception for bad input. It carries field, value, need and example."""

from __future__ import annotations


class InputError(ValueError):
    """Something the user gave cannot be used.

    field    where it stands: a job key (`top.thickness`) or `function: argument`
    value    what came, cut to a readable length
    need     what is needed, in words
    example  a line that would have worked
    """

    def __init__(self, *, field: str, value: object = None, need: str, example: str = ""):
        self.field = field
        self.value = readable(value)
        self.need = need
        self.example = example
        super().__init__(str(self))

    def __str__(self) -> str:
        text = f"{self.field}: got {self.value}; need {self.need}."
        return f"{text} Example: {self.example}" if self.example else text

    def as_dict(self) -> dict[str, str]:
        return {"field": self.field, "value": self.value, "need": self.need, "example": self.example}


class OutsideRange(InputError):
    """A formula or clause was asked for a number outside its range of validity."""


class WorkedLineError(ArithmeticError):
    """A worked line whose printed numbers do not give its printed result. Never shown to a user
    as an answer: it is a fault of the kit."""


def readable(value: object, limit: int = 60) -> str:
    """What came, printable on one line: control characters shown, long text cut."""
    if value is None:
        return "nothing"
    if isinstance(value, int) and value.bit_length() > 1000:  # longer than Python agrees to print
        return "a whole number of hundreds of digits"
    text = value if isinstance(value, str) else str(value)
    if len(text) > limit:
        text = text[:limit] + f"... ({len(text)} characters)"
    shown = "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in text)
    return f'"{shown}"' if isinstance(value, str) else shown
