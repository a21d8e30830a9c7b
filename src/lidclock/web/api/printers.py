"""Printers and label stock: for owners' programs."""

from __future__ import annotations

from typing import Any, Literal

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict, Field
from starlette.concurrency import run_in_threadpool

from lidclock.app import label_setup, printing
from lidclock.app.session import Session
from lidclock.errors import PrinterError
from lidclock.web.api.bodies import read_as
from lidclock.web.api.parts import PREFIX, body_of, errors, get
from lidclock.web.pages.parts import Kitchen

router = APIRouter(prefix=PREFIX, tags=["printers"])


class Printer(BaseModel):
    """A printer; `usual` where labels of its stock go there by themselves."""

    name: str
    address: str
    stock: str
    usual: bool


class NewPrinter(BaseModel):
    """A printer to add; its stock is the kitchen's unless said."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [{"name": "Bench", "address": "ipp://192.0.2.7/ipp/print"}]
        },
    )
    name: str = Field(min_length=1, max_length=40)
    address: str = Field(min_length=1, max_length=300)
    stock: str = Field("", max_length=60)
    usual: bool = False


class Stock(BaseModel):
    """Label stock: one label's size, how many lie on a page, where it is used."""

    name: str
    title: str
    kind: Literal["sheet", "roll", "round"]
    label_width_mm: float
    label_height_mm: float
    across: int
    down: int
    of_kitchen: bool
    printers: list[str]


class ChosenStock(BaseModel):
    """The stock to use from now on, and the one that is in use as far as you know."""

    model_config = ConfigDict(extra="forbid")
    name: str = Field(min_length=1, max_length=60)
    was: str = Field(min_length=1, max_length=60)


class Printed(BaseModel):
    """What the printer said of a job that came out."""

    job: int
    says: str


@get(router, "/printers", list[Printer])
def printers(session: Kitchen) -> JSONResponse:
    """The kitchen's printers, without asking them anything."""
    return JSONResponse([_printer(one) for one in printing.known_printers(session)])


@router.post(
    "/printers",
    response_model=None,
    status_code=201,
    responses={201: {"model": Printer}, **errors(400, 404, 408, 409, 413, 415, 422)},
    openapi_extra=body_of(NewPrinter),
)
async def add(request: Request, session: Kitchen) -> JSONResponse:
    """Add a printer, switched on or not."""
    wanted = await read_as(NewPrinter, request)
    return JSONResponse(await run_in_threadpool(_add, session, wanted), 201)


def _add(session: Session, wanted: NewPrinter) -> dict[str, Any]:
    made = printing.add_printer(
        session,
        wanted.name,
        wanted.address,
        stock=wanted.stock or None,
        is_default=wanted.usual,
    )
    return _printer(made)


@router.delete(
    "/printers/{name}",
    response_model=None,
    responses={200: {"model": Printer}, **errors(404, 422)},
)
def remove(name: str, session: Kitchen) -> JSONResponse:
    """Forget a printer."""
    return JSONResponse(_printer(printing.remove_printer(session, name)))


@router.put(
    "/printers/{name}/usual",
    response_model=None,
    responses={200: {"model": Printer}, **errors(404, 422)},
)
def usual(name: str, session: Kitchen) -> JSONResponse:
    """Have labels of its stock go there where nobody names a printer."""
    return JSONResponse(_printer(label_setup.make_usual(session, name)))


@router.post(
    "/printers/{name}/test",
    response_model=None,
    responses={200: {"model": Printed}, **errors(404, 422)},
)
def test(name: str, session: Kitchen) -> JSONResponse:
    """Print one label that says it is a test, and wait until it is out."""
    report = printing.test_printer(session, name, tell=lambda _: None)
    if not report.is_printed:
        raise PrinterError(report.message)
    return JSONResponse({"job": report.job_id, "says": report.message})


@get(router, "/stock", list[Stock])
def stock(session: Kitchen) -> JSONResponse:
    """Every label stock, the kitchen's own first."""
    return JSONResponse([_stock(one) for one in label_setup.choices(session)])


@router.put(
    "/stock",
    response_model=None,
    responses={200: {"model": Stock}, **errors(400, 404, 408, 409, 413, 415, 422)},
    openapi_extra=body_of(ChosenStock),
)
async def choose(request: Request, session: Kitchen) -> JSONResponse:
    """Use other labels; 409 where somebody else chose meanwhile."""
    wanted = await read_as(ChosenStock, request)
    return JSONResponse(await run_in_threadpool(_choose, session, wanted))


def _choose(session: Session, wanted: ChosenStock) -> dict[str, Any]:
    label_setup.choose_stock(session, wanted.name, wanted.was)
    return _stock(label_setup.choices(session)[0])


def _printer(one: printing.Printer) -> dict[str, Any]:
    return {
        "name": one.name,
        "address": one.address,
        "stock": one.stock,
        "usual": one.is_default,
    }


def _stock(one: label_setup.Choice) -> dict[str, Any]:
    stock = one.stock
    return {
        "name": stock.name,
        "title": stock.title,
        "kind": one.kind,
        "label_width_mm": stock.label_width_mm,
        "label_height_mm": stock.label_height_mm,
        "across": stock.across,
        "down": stock.down,
        "of_kitchen": one.is_kitchens,
        "printers": list(one.printers),
    }
