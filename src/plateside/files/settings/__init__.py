"""studio.toml and shoot.toml: read, checked, and written back with every comment kept."""
