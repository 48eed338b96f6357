"""What is still suspect after what has been seen and measured."""

from kit.diagnose.suspects import Suspect, consistent, suspects, unit

__all__ = ["Suspect", "consistent", "suspects", "unit"]
