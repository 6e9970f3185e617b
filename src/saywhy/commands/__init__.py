"""The commands, found by discovery: every module of this package holds one, named ``command``."""
