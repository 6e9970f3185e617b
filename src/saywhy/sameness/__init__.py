"""The same puzzle again: keys by which a puzzle is known however it was turned, mirrored or relabelled."""

from saywhy.sameness.keys import FORM, Keys, keys, near_key, same_key

__all__ = ["FORM", "Keys", "keys", "near_key", "same_key"]
