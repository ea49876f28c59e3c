"""The only code that touches disk.

Five small rooms: settings (TOML), originals (hash, metadata, decoding), landing (frames as they arrive),
journal (every decision, append-only) and index (SQLite caches, may be deleted at any time); beside them the
shoot folder's paths, atomic writing, and picture files.
"""
