"""Paper: sizes, weights, caliper and bulk, kinds, and what a measured size may have been cut to."""
