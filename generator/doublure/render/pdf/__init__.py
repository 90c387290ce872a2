"""PDF back end: scenes and plates to bytes. The only place that knows points."""
