"""Everything the page does, for programs: JSON under /api/v1, and the calendar."""

from lidclock.web.api import (
    alerts,
    calendar,
    card,
    changes,
    events,
    look,
    planning,
    prep,
    printers,
    recipes,
    report,
    stock_takes,
    temperatures,
    trace,
)

# Events first: for every request they are looked through in this order.
ROUTERS = (
    events.router,
    look.router,
    card.router,
    alerts.router,
    changes.router,
    calendar.router,
    printers.router,
    stock_takes.router,
    report.router,
    prep.router,
    recipes.router,
    planning.router,
    temperatures.router,
    trace.router,
)
