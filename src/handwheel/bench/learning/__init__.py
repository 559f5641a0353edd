"""Evidence across jobs, and the beliefs that follow."""
