"""Time that runs out in the middle of a search, at the same call on every machine."""

from kitsolver.solve.time_limit import OutOfTime


def out_of_time_after(calls, function):
    """Return a function that does the same as another, and raises OutOfTime after some calls."""
    made = 0

    def limited(*arguments, **named):
        nonlocal made
        made += 1
        if made > calls:
            raise OutOfTime
        return function(*arguments, **named)

    return limited
