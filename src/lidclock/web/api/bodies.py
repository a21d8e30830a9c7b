"""Reading what was sent: bounded in length and depth, and refused in words.

The guard bounds how long it may take.
"""

from __future__ import annotations

import json
from typing import Any, NoReturn, TypeVar

from fastapi import HTTPException, Request
from pydantic import BaseModel, ValidationError
from starlette.requests import ClientDisconnect

Model = TypeVar("Model", bound=BaseModel)
MOST_BYTES = 2**20
# A whole number of more figures is none that anything here counts.
_MOST_FIGURES = 30


async def read_json(request: Request, most_bytes: int = MOST_BYTES) -> Any:
    """The JSON that a request bears.

    HTTPException 413 for too much, 415 where it does not call itself JSON (a form of
    another site cannot), 422 for what is none.
    """
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/json":
        raise HTTPException(415, "send JSON, and say so: Content-Type application/json")
    return parse(await _read(request, most_bytes))


async def read_object(request: Request) -> dict[str, Any]:
    """The JSON object that a request bears."""
    found = await read_json(request)
    if not isinstance(found, dict):
        raise HTTPException(422, "send a JSON object")
    return found


async def read_as(model: type[Model], request: Request) -> Model:
    """The JSON object that a request bears, as `model` has it; else the first fault."""
    try:
        return model.model_validate(await read_object(request))
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise HTTPException(422, f"{where}: {first['msg']}") from error


async def _read(request: Request, most_bytes: int) -> bytes:
    said = request.headers.get("content-length", "")
    if said.isdecimal() and int(said[:_MOST_FIGURES]) > most_bytes:
        raise _too_much(most_bytes)
    parts, length = [], 0
    try:
        # What was said about the length is no promise: count what comes.
        async for part in request.stream():
            length += len(part)
            if length > most_bytes:
                raise _too_much(most_bytes)
            parts.append(part)
    except ClientDisconnect as error:
        raise HTTPException(400, "the connection ended early") from error
    return b"".join(parts)


def _too_much(most_bytes: int) -> HTTPException:
    said = f"{most_bytes // 2**20} MiB"
    return HTTPException(413, f"that is too much at once: at most {said}")


def parse(raw: bytes) -> Any:
    """JSON as RFC 8259 has it; HTTPException 422 in words for anything else."""
    try:
        return json.loads(raw.decode(), parse_constant=_refuse, parse_int=_whole)
    except RecursionError as error:
        raise HTTPException(422, "that JSON is nested too deep") from error
    except ValueError as error:
        raise HTTPException(422, f"that is not JSON: {_reason(error)}") from error


def _refuse(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number")


def _whole(figures: str) -> int:
    if len(figures) > _MOST_FIGURES:
        raise ValueError("a number has too many figures")
    return int(figures)


def _reason(error: ValueError) -> str:
    if isinstance(error, json.JSONDecodeError):
        return f"{error.msg}, line {error.lineno} column {error.colno}"
    if isinstance(error, UnicodeDecodeError):
        return "it is not UTF-8"
    return str(error)
