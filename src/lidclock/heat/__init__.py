"""Heat into and out of containers: advisories that can only warn earlier."""
