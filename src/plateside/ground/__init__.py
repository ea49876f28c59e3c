"""The ground floor: each fact of colour and exposure once, for every room above."""
