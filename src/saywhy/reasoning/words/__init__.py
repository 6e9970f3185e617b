"""From a step to what a good host would say: one plan, two voices."""

from saywhy.reasoning.words.teller import Teller

__all__ = ["Teller"]
