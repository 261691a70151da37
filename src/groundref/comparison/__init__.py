"""Plan and flight side by side: where they differ, and what of the errors was in the plan already."""
