"""The command line: parse, call one app function, show."""
