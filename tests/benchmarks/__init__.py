"""Speed as ratios, measured side by side in one run. Nothing here is collected by pytest."""
