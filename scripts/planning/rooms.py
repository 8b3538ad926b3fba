"""The tanks that the planner is held to: those of the stories, and harder ones. All invented."""

from datetime import UTC, datetime

NOW = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)  # a Thursday
EVENINGS = "Mon-Fri 18:00-22:00; Sat, Sun 8:00-22:00"
WORKDAYS = "Mon-Fri 18:00-22:00; away 21 May"
AWAY = "18:00-22:00; away 18 May"

T7 = """
1 May 2026 08:00  tank   T7  length=50cm width=30cm fill=26cm substrate=3cm grain=sand filter=sponge
    filter-age="300 days" temp=25C tap=chloramine
1 May 2026 08:01  stock  T7  kind=neon_rainbow number=11 length=4cm
1 May 2026 08:02  stock  T7  kind=amano_shrimp number=8
1 May 2026 08:03  stock  T7  kind=nerite number=4
1 May 2026 08:04  supply "two-part sachet"  unit=sachet metronidazole="200 mg" praziquantel="90 mg" per=40L
    repeat-after="48 h" change-before=50% held-lawfully=yes
1 May 2026 08:05  kit    scale=0.1g syringes="1/5/20 mL" region=UK
14 May 2026 17:00 reading T7  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.5 temp=25C oxygen="7.5 mg/L"
"""

T8 = """
1 May 2026 08:00  tank   T8  length=40cm width=25cm fill=22cm filter=sponge filter-age="300 days" temp=24C
1 May 2026 08:01  stock  T8  kind=pearl_danio_celestial number=18 length=2cm
1 May 2026 08:05  kit    scale=0.1g syringes="1/5/20 mL" region=UK
14 May 2026 17:00 reading T8  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.2 temp=24C oxygen="7.5 mg/L"
"""

# As T7, but its filter is three weeks old and somebody has read a little ammonia.
WEAK = T7.replace('filter-age="300 days"', 'filter-age="21 days"').replace(
    'ammonia="0 mg/L as N"', 'ammonia="0.05 mg/L as N"'
)

# As T2: young rainbowfish, warm and full.
T2 = """
1 May 2026 08:00  tank   T2  length=45cm width=28cm fill=25cm filter=sponge filter-age="200 days" temp=26C
1 May 2026 08:01  stock  T2  kind=neon_rainbow number=22 length=2.5cm
1 May 2026 08:05  kit    scale=0.1g syringes="1/5/20 mL" region=UK
14 May 2026 17:00 reading T2  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.5 temp=26C oxygen="7 mg/L"
"""

# As T8, with more than twice the fish on a young filter.
CROWDED = T8.replace('filter-age="300 days"', 'filter-age="21 days"').replace("number=18", "number=40")

# Case 1 of the expert: thin livebearers, sold as 75 L, about 63 L in truth.
CASE_1 = """
1 May 2026 08:00  tank   T1  length=75.5cm width=30cm fill=31cm substrate=4cm grain="1-2 mm" solids=2L
    filter=sponge filter-age="300 days" temp=25C
1 May 2026 08:01  stock  T1  kind=platy number=25 length=3cm sex=female
1 May 2026 08:02  stock  T1  stock=T1-males kind=platy number=15 length=2.2cm sex=male
1 May 2026 08:03  stock  T1  kind=cherry_shrimp number=20
1 May 2026 08:04  stock  T1  kind=ramshorn number=6
1 May 2026 08:05  supply "sachet of case 1"  unit=sachet metronidazole="240 mg" praziquantel="80 mg"
    per=37.85L repeat-after="48 h" change-before=50% held-lawfully=yes
1 May 2026 08:06  kit    scale=0.1g syringes="1/5/20 mL" region=UK
14 May 2026 17:00 reading T1  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.6 temp=25C oxygen="7.5 mg/L"
"""

HARD_WATER = T8.replace("ph=7.2 temp=24C", "ph=7.8 kh=8dKH gh=12dGH temp=24C")


def with_packet(room: str, packet: str) -> str:
    """A room with one more packet on its shelf."""
    return f"{room}1 May 2026 08:10  supply {packet}\n"
