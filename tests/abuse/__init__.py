"""What must hold when files, disks and neighbours misbehave: small counts of what the benches do by the thousand."""
