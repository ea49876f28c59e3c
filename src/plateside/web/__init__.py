"""The pages: HTTP only. Parse, call a task, draw. Heavy work is done by hands (child processes), never here."""
