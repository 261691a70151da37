"""Common errors, one a file: the test of the evidence, the size, the sentence, the cure."""
