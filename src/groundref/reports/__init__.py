"""What people see: terminal summary and HTML page."""
