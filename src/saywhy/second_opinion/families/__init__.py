"""The meaning of every rule in a general-purpose solver's terms, one file a family of rules."""
