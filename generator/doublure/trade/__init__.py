"""The sums of the trade: numbers in, frozen results out."""
