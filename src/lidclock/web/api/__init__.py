"""Everything the page does, for programs: JSON under /api/v1, and the calendar."""

from lidclock.web.api import calendar, card, changes, events, look, temperatures

# Events first: for every request they are looked through in this order.
ROUTERS = (
    *(events.router, look.router, card.router, temperatures.router),
    *(changes.router, calendar.router),
)
