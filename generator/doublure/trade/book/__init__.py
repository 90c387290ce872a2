"""The sums of a sewn book: sequence, gatherings, imposition, plates, creep, crossovers, thickness."""
