"""Every decision, one numbered line each, append-only: the truth about a shoot."""
