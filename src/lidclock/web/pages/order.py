"""An order form: filled in as a page, and for paper."""

from __future__ import annotations

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from lidclock.app.list_words import list_pdf
from lidclock.app.order_form import order_form
from lidclock.app.order_page import order_page
from lidclock.app.order_question import order_question, read_order
from lidclock.web.answers import says_of
from lidclock.web.pages.parts import Kitchen, Pages
from lidclock.web.render import render
from lidclock.web.statuses import status_of

router = Pages()
PATH = "/plan/order"


@router.get(PATH, response_class=HTMLResponse)
def order(request: Request, session: Kitchen) -> Response:
    """What to order, by what is used a day and by a recipe; and the fields for it."""
    found = order_question(session, request.query_params)
    page = render(
        request,
        "order.html",
        found=found,
        refused=says_of(found.error) if found.error else "",
        query=request.url.query,
        kitchen=session.kitchen,
    )
    return HTMLResponse(page, status_of(found.error) if found.error else 200)


@router.get(f"{PATH}.pdf")
def paper(request: Request, session: Kitchen) -> Response:
    """The same to print."""
    found = order_form(session, read_order(request.query_params))
    pdf = list_pdf(order_page(found, session), session.kitchen)
    return Response(
        pdf,
        media_type="application/pdf",
        headers={"Content-Disposition": 'inline; filename="order-form.pdf"'},
    )
