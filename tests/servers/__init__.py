"""The company's own web server with the files that a build writes for it: nginx and Apache on the loopback."""
