"""The studio's and the shoot's files: begun, checked, edited."""
