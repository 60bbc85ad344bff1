"""Whether thread is matched to a chart's colours, which is known of a brief alone."""

from __future__ import annotations

from kitsolver.brief.brief import Brief


def thread_is_matched(brief: Brief) -> bool:
    """Tell whether thread that is bought is matched to charted colours."""
    if not {"chart", "thread"} <= set(brief.holds) or brief.need("thread").have is True:
        return False
    chart = brief.need("chart").have
    return not chart or getattr(chart, "shades", None) is not None
