"""A clock that runs out at a call: for searches that are cut off in the middle."""

from kitsolver.solve.time_limit import OutOfTime


def late(function, after):
    """Return a function that does as another does so often, and then is out of time."""
    calls = []

    def called(*arguments, **named):
        calls.append(arguments)
        if len(calls) > after:
            raise OutOfTime
        return function(*arguments, **named)

    return called
