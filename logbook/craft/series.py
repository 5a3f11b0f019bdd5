"""The marked third- and half-stop series of apertures, times and speeds, each with its exact power of two.

One surprising decision: f/1.2 and f/13 stand in both aperture series for different exact values; the series
are kept apart, and whoever snaps tries the thirds first.
"""

from fractions import Fraction

# ISO 517 markings from f/1, exact 2^(i/6)
_APERTURES_THIRD = """
    1 1.1 1.2 1.4 1.6 1.8 2 2.2 2.5 2.8 3.2 3.5 4 4.5 5 5.6 6.3 7.1 8 9 10 11 13 14 16 18 20 22 25 29 32
    36 40 45 51 57 64
"""
# ISO 517 markings from f/1, exact 2^(i/4)
_APERTURES_HALF = "1 1.2 1.4 1.7 2 2.4 2.8 3.3 4 4.8 5.6 6.7 8 9.5 11 13 16 19 22"

# ISO 516 markings, exact 2^(k/3) s; past 30 s the round clock times in use (common practice, no source)
_TIMES_THIRD = """
    1/32000 1/25000 1/20000 1/16000 1/12500 1/10000 1/8000 1/6400 1/5000 1/4000 1/3200 1/2500 1/2000
    1/1600 1/1250 1/1000 1/800 1/640 1/500 1/400 1/320 1/250 1/200 1/160 1/125 1/100 1/80 1/60 1/50
    1/40 1/30 1/25 1/20 1/15 1/13 1/10 1/8 1/6 1/5 1/4 0.3 0.4 0.5 0.6 0.8 1 1.3 1.6 2 2.5 3.2 4 5 6
    8 10 13 15 20 25 30 40 50 60 80 100 120 160 200 240 320 400 480 640 800 960
"""
_TIMES_THIRD_START = -45  # thirds of a stop from 1 s to the first mark

# Half-stop dials where no third-stop mark claims the number: log2 of s (common practice, no source)
_TIMES_HALF = {
    "1/6000": -12.5,
    "1/3000": -11.5,
    "1/1500": -10.5,
    "1/750": -9.5,
    "1/350": -8.5,
    "1/180": -7.5,
    "1/90": -6.5,
    "1/45": -5.5,
    "1/3": -1.5,
    "0.7": -0.5,
    "1.5": 0.5,
    "3": 1.5,
    "12": 3.5,
    "24": 4.5,
}

# ISO 12232 markings, exact 100 * 2^(k/3)
_ISOS_THIRD = """
    12 16 20 25 32 40 50 64 80 100 125 160 200 250 320 400 500 640 800 1000 1250 1600 2000 2500 3200
    4000 5000 6400 8000 10000 12800 16000 20000 25600 32000 40000 51200 64000 80000 102400 128000
    160000 204800 256000 320000 409600
"""
_ISOS_THIRD_START = -9  # thirds of a stop from ISO 100 to the first mark

APERTURES: dict[float, float] = {float(n): 2 ** (i / 6) for i, n in enumerate(_APERTURES_THIRD.split())}
"""Third-stop marks from f/1 to f/64, each with the exact f-number."""

APERTURES_HALF: dict[float, float] = {float(n): 2 ** (i / 4) for i, n in enumerate(_APERTURES_HALF.split())}
"""Half-stop marks from f/1 to f/22, each with the exact f-number."""

EXPOSURES: dict[Fraction, float] = {
    Fraction(t): 2 ** ((k + _TIMES_THIRD_START) / 3) for k, t in enumerate(_TIMES_THIRD.split())
}
"""Third-stop marks from 1/32000 s to 16 min in s as exact rationals, each with the exact time in s."""

EXPOSURES_HALF: dict[Fraction, float] = {Fraction(t): 2**power for t, power in _TIMES_HALF.items()}
"""Half-stop marks in s that no third-stop mark claims, each with the exact time in s."""

ISOS: dict[int, float] = {
    int(n): 100 * 2 ** ((k + _ISOS_THIRD_START) / 3) for k, n in enumerate(_ISOS_THIRD.split())
}
"""Third-stop marks from ISO 12 to ISO 409600, each with the exact speed."""
