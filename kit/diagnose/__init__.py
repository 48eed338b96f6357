"""What is still suspect after what has been seen and measured."""

from kit.diagnose.suspects import Suspect, consistent, parts_of, suspects, unit

__all__ = ["Suspect", "consistent", "parts_of", "suspects", "unit"]
