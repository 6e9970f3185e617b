"""What every command shares: exit codes, JSON lines, errors, cards and waiting."""
