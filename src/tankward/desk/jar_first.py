"""Unknown is never safe: whom nobody measured meets a medicine in a jar before the tank or the tub does."""

from __future__ import annotations

from tankward.quantities.faults import Reason
from tankward.treat.course.records import Course


def jar_first(course: Course) -> tuple[Reason, ...]:
    """Why a course is not begun yet: safety rules 1 and 6.

    Returns
    -------
    tuple of Reason
        One that names all who are unknown at the course's highest level; none once a jar trial of them is
        written down, because its result is then their limit.
    """
    unknown = tuple(dict.fromkeys(v.limit.who for v in course.bears if v.says == "unknown"))
    if not unknown:
        return ()
    return (
        Reason(
            kind="jar-first",
            because=f"Nobody knows whether {' and '.join(unknown)} bear this: a jar comes before the first "
            "dose.",
            would_change="2 L of the dosed water with one of each for a day, with air, written down as a jar "
            "trial; or leave them out",
            who=unknown,
        ),
    )
