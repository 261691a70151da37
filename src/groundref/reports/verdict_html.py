"""Verdicts on a page: sign and word, and below a table what its verdicts mean."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from groundref.reports.verdict_words import VerdictWord


def verdict(word: VerdictWord, says: str = "") -> Markup:
    """Return a verdict's sign and word.

    Parameters
    ----------
    word
        The verdict.
    says
        In place of its word, as in counts; the sign stays.
    """
    sign = Markup('<svg class="mark" aria-hidden="true"><use href="#v-{}"/></svg>').format(word.mark)
    return Markup('{} <span class="said">{}</span>').format(sign, says or word.says)


def meanings(every: Sequence[VerdictWord]) -> Markup:
    """Return what the verdicts of a table mean, to stand below it; empty for none."""
    if not every:
        return Markup("")
    ends = [";"] * (len(every) - 1) + ["."]
    said = [
        Markup("<span>{}: {}{}</span>").format(verdict(word), word.means, end)
        for word, end in zip(every, ends, strict=True)
    ]
    return Markup('<p class="meanings quiet">{}</p>').format(Markup(" ").join(said))
