"""How the interface describes that it refuses something, in answers that are JSON."""

from __future__ import annotations

from dataclasses import dataclass
from http import HTTPStatus

from litestar.openapi.datastructures import ResponseSpec


@dataclass(frozen=True, slots=True)
class Refusal:
    """What went wrong.

    Attributes
    ----------
    error
        In one sentence, with what to do.
    status
        Of the answer.
    """

    error: str
    status: int


def refusals(not_there: str) -> dict[int, ResponseSpec]:
    """Return what an operation may refuse with, by the status of the answer.

    Parameters
    ----------
    not_there
        What its status 404 says.
    """
    says = {
        HTTPStatus.BAD_REQUEST: "What is asked for makes no sense, such as a number out of range",
        HTTPStatus.NOT_FOUND: not_there,
    }
    return {
        int(status): ResponseSpec(Refusal, description=words, generate_examples=False)
        for status, words in says.items()
    }
