"""What only the desk keeps. One noun a file."""

from clinician.models.draft import Draft

__all__ = ["Draft"]
