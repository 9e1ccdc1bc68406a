"""Click commands, one a file; the only place that knows click, exit codes and the terminal."""
