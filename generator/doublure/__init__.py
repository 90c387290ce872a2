"""doublure: a build journal and reference generator for replicas of paper artefacts."""

__version__ = "0.1.0"
