"""T8 with white grains, its water read, salt on the shelf, hours in the evening. All of it invented."""

import time

READ = 'ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=24C oxygen="7.5 mg/L" kh="6 dKH"'
ROOM = f"""
1 May 2026 08:00  kit   scale=0.1g syringes="1 mL, 5 mL" buckets="10 L" region=other hours="18:00-22:30"
1 May 2026 08:00  tank  T8  volume="21.7 L" temp=24C filter=sponge tap=chloramine
1 May 2026 08:01  stock T8  kind=pearl_danio_celestial name=danios number=18 length=2.2cm
1 May 2026 08:02  supply "cooking salt" unit=g sodium_chloride="1000 mg"
1 May 2026 08:10  tank  Bare
12 May 2026 20:00 reading T8  {READ}
12 May 2026 20:10 look  T8  seen=white_spots
"""
PLAN = "/tanks/t8/plan"
ASKED = {"cause": "white_spot", "hours": "18:00-22:30", "find": "yes"}
SALT = {"substance": "sodium_chloride", "route": "water_long", "cause": "white_spot"}
HAND = "/tanks/t8/course/by-hand"


def settled(get, wait_s: float = 300.0):
    """A page once nothing of it is being worked out any more; `get` opens it."""
    until = time.monotonic() + wait_s
    while time.monotonic() < until:
        page = get()
        if "data-waits" not in page.html and "data-pending" not in page.html:
            return page
        time.sleep(0.2)
    raise AssertionError("the page never came to rest")
