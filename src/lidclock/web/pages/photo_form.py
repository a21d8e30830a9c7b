"""Forms that may bear a photo: read within bounds, and only from a page of ours."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import HTTPException, Request
from starlette.datastructures import FormData, UploadFile

from lidclock.web.forms import FIELD, checked

# Phones' photos have 3 to 12 MB (common practice, no source).
MOST_PHOTO_BYTES = 15_000_000
_MOST_FORM_BYTES = MOST_PHOTO_BYTES + 100_000
_MOST_FIELDS = 120


@asynccontextmanager
async def photo_form(request: Request) -> AsyncIterator[FormData]:
    """The form that was sent; refused before anything of it is read if too long."""
    length = request.headers.get("content-length", "")
    if not length.isdecimal():
        raise HTTPException(411, "say how long the form is")
    if int(length) > _MOST_FORM_BYTES:
        raise HTTPException(413, too_large())
    async with request.form(max_files=1, max_fields=_MOST_FIELDS) as form:
        checked(request, text_in(form, FIELD))
        yield form


def photo_in(form: FormData) -> bytes:
    """The photo, empty where none was chosen."""
    upload = form.get("photo")
    if isinstance(upload, UploadFile) and upload.size:
        return upload.file.read(MOST_PHOTO_BYTES)
    return b""


def text_in(form: FormData, name: str) -> str:
    """What one field says."""
    value = form.get(name, "")
    return value if isinstance(value, str) else ""


def too_large() -> str:
    """Why a photo is refused."""
    megabytes = MOST_PHOTO_BYTES // 1_000_000
    return f"a photo may have {megabytes} MB at most: photograph the lid alone"
