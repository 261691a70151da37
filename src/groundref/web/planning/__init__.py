"""The page that a plan is asked for on: its fields, its address, what stands beside a field that is wrong."""
