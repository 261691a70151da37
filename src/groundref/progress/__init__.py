"""How a student's flying changes from lesson to lesson: figures out of debriefs, trends, evidence."""
