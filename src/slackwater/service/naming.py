"""Which line of a tank file a name means."""

from __future__ import annotations

from slackwater.errors import InputError
from slackwater.plan.question import Question
from slackwater.taxa.names import Verdict, understand


def key_of(question: Question, name: str) -> str:
    """Return the key of the line of animals that a name means.

    Raises
    ------
    InputError
        If it means nobody of the company, or several lines.
    """
    lines = (*question.residents, *question.wishes)
    meaning = understand(name)
    meant = {name.casefold(), meaning.name.casefold() if meaning.verdict is Verdict.ONE else ""}
    found = [
        w.key
        for w in lines
        if meant & {w.said.casefold(), w.species.name.casefold(), w.species.common_name.casefold(), w.key}
    ]
    if len(found) == 1:
        return found[0]
    known = ", ".join(w.said for w in lines)
    raise InputError(
        field="the animal",
        given=f"“{name}”",
        limit="it means several lines of the file" if found else "nobody of the company goes by that",
        remedy=f"Write one of: {known}.",
    )
