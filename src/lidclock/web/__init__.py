"""The kitchen page: the card, the scan and the shelf, served to its phones."""
