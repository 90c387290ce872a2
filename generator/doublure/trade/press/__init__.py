"""The press: folded sheets, plates, marks, the run, and how well backs land on their fronts."""
