"""SQLite caches under .plateside/: what was computed from the files. May be deleted at any time."""
