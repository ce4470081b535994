"""What forbids to run a level: hand-over and day sheet say it with one mouth."""

from __future__ import annotations

from ..chain.pull import Pull
from ..cylinder.knock_words import IT_KNOCKS
from ..shown import statuses


def dangers(pull: Pull) -> list[str]:
    """Return a sentence for each limit that a level passes, and one where it knocks.

    Parameters
    ----------
    pull : Pull
        The level's pull over the build's own engine speeds.

    Returns
    -------
    list of str
        Sentences that end in what to do about it; none for a level that may be run.
    """
    flags = pull.columns["flags"][pull.matched]
    over = [n for n in statuses.DANGEROUS if statuses.standing(flags, n)]
    told = [f"{statuses.caution(name)} Do not run it." for name in over]
    return [*told, *([IT_KNOCKS] * bool(pull.knock.knocks.any()))]
