"""Area of a stimulation pad from its shape and size."""

from math import pi

CM_PER_INCH = 2.54  # exact


def rectangle_cm2(width_cm: float, height_cm: float) -> float:
    """Area of a rectangular pad. [cm2]"""
    return width_cm * height_cm


def round_cm2(diameter_cm: float) -> float:
    """Area of a round pad, pi d^2 / 4. [cm2]"""
    return pi * diameter_cm**2 / 4


def inches_to_cm(inches: float) -> float:
    """Pads are often sold by the inch. [cm]"""
    return inches * CM_PER_INCH
