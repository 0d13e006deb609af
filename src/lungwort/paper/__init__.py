"""Paper: the chart and the one-page certificate of a judged cycle."""
