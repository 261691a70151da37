"""One file for each change of the record's shape."""
