"""Why each digit is forced: looks, steps, the least effort path, and its words."""

from saywhy.reasoning.explain import Path, explain

__all__ = ["Path", "explain"]
