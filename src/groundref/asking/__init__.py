"""What somebody asks for in words, as options of a command or fields of a form: read, checked, in SI units.

Whatever is refused names the option that said it, such as `--radius-ft`, wherever it was typed.
"""
