"""The commands, one module a noun or a job; each imports the services it needs when it runs."""
