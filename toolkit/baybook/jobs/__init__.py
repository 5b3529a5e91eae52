"""Job sheets: one TOML file holds a job, its spec ranges, its instruments and its steps; worked out it becomes a report."""
