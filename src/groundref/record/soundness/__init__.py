"""What ``checking`` looks at: the file and its database, the rows, what they refer to, and the content."""
