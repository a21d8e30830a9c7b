"""What a data logger wrote as CSV: text in, readings and findings out; no files."""
