"""The values of temperatures that app functions hand out, for those who show them."""

from lidclock.alerts.temperature import TemperatureAlert
from lidclock.domain.readings import Reading
from lidclock.kinetics.mean_kinetic import LABEL as MEAN_KINETIC
from lidclock.templog.excursions import Excursion
from lidclock.templog.gaps import Gap
from lidclock.templog.limits import PlaceLimit, limit_words
from lidclock.templog.places import Member

__all__ = [
    "MEAN_KINETIC",
    "Excursion",
    "Gap",
    "Member",
    "PlaceLimit",
    "Reading",
    "TemperatureAlert",
    "limit_words",
]
