"""What pages are sent: a task's facts with the sentences of words chosen for them. Nothing is decided here."""
