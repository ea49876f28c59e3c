"""What a running server stands on: the folder it serves, what this account keeps for it, what was found damaged."""
