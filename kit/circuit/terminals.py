"""A place on a part where a lead can be put."""

from dataclasses import dataclass

from kit.errors import CircuitError


@dataclass(frozen=True, slots=True, order=True)
class Terminal:
    """One terminal of one part, written ``part.name``: ``G1.-``, ``F1.2``, ``K1.86``."""

    part: str
    name: str

    @classmethod
    def read(cls, text: str) -> "Terminal":
        """Read ``K1.86``; raises CircuitError where the text is not of that form.

        >>> Terminal.read("K1.86")
        Terminal(part='K1', name='86')
        """
        part, dot, name = str(text).strip().partition(".")
        if not (part and dot and name):
            raise CircuitError(f"'{text}' is not a terminal; write part and terminal with a dot, like K1.86.")
        return cls(part, name)

    def __str__(self) -> str:
        return f"{self.part}.{self.name}"
