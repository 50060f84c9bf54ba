"""The job site: what the coordinator's tables say, read and checked."""
