"""Distances and bearings against published lines, and against Vincenty's formulae as a second opinion.

The product measures with geopy (Karney's algorithm); the authority here is the published lines:

* C. F. F. Karney, Test set for geodesics (GeodTest.dat), Zenodo 32156, 2010, and the GeographicLib geodesic
  test suite (Karney rows, GeodTest rows, GeodSolve edge cases);
* C. F. F. Karney, Algorithms for geodesics, Journal of Geodesy 87, 2013, 43-55, Tables 3 to 5;
* T. Vincenty, Direct and inverse solutions of geodesics on the ellipsoid with application of nested
  equations, Survey Review XXIII(176), 1975, 88-93, Table II (on its own ellipsoids);
* ICSM, Geocentric Datum of Australia 1994 Technical Manual, v2.4, 2014, worked inverse example.
"""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from logbook.domain.position import Position, bearing_deg, distance_m

WGS84_A_M, WGS84_INVERSE_FLATTENING = 6378137.0, 298.257223563  # NGA.STND.0036, 2014

# name, latitude 1, longitude 1, latitude 2, longitude 2 (degrees), azimuth at 1 (degrees), length (metres)
Line = tuple[str, float, float, float, float, float, float]
KARNEY_ROWS: list[Line] = [
    ("karney-suite-01", 35.60777, -139.44815, -11.17491, -69.95921, 111.09874843, 8935244.56048),
    ("karney-suite-02", 55.52454, 106.05087, 77.03196, 197.18234, 22.020059881, 4105086.17139),
    ("karney-suite-03", -21.97856, 142.59065, 41.84138, 98.56635, -32.444568764, 8394328.89466),
    ("karney-suite-04", -66.99028, 112.2363, -12.70631, 285.90344, 173.734912409, 11150344.23121),
    ("karney-suite-05", -17.42761, 173.34268, -15.84784, 5.93557, -159.033557661, 16076603.16312),
    ("karney-suite-06", 32.84994, 48.28919, -56.28556, 202.29132, 150.492927788, 16727068.94382),
    ("karney-suite-07", 6.96833, 52.74123, -7.39675, 206.17291, 92.581585386, 17102477.2497),
    ("karney-suite-08", -50.56724, -16.30485, -33.56571, -94.97412, -105.439679908, 6455670.51187),
    ("karney-suite-09", -58.93002, -8.90775, -8.91104, 133.13503, 140.965397903, 11756066.02199),
    ("karney-suite-10", -68.82867, -74.28391, -50.63005, -8.36685, 93.774347763, 3956936.92606),
    ("karney-suite-11", -10.62672, -32.0898, 5.883, -134.31681, -86.426713287, 11470869.38646),
    ("karney-suite-12", -21.76221, 166.90563, 48.72884, 213.97627, 29.319421207, 9098627.39866),
    ("karney-suite-13", -19.79938, -174.47484, -11.99349, -154.35109, 71.16727578, 2319004.86012),
    ("karney-suite-14", -11.95887, -116.94513, 4.57352, 7.16501, 92.71261983, 13834722.58014),
    ("karney-suite-15", -87.85331, 85.66836, 66.48646, 16.09921, -65.12031304, 17286615.31471),
    ("karney-suite-16", 1.74708, 128.32011, -11.16617, 11.87109, -101.584843631, 12942901.12413),
    ("karney-suite-17", -25.72959, -144.90758, -57.70581, -269.17879, -153.647468693, 9413446.74525),
    ("karney-suite-18", -41.22777, 122.32875, -7.57291, 130.37946, 14.285113402, 3812686.03511),
    ("karney-suite-19", 11.01307, 138.25278, 6.62726, 247.05981, 79.436826228, 11911190.81902),
    ("karney-suite-20", -29.47124, 95.14681, -27.46601, -69.15955, -163.779130442, 13487015.83811),
]
GEODTEST_ROWS: list[Line] = [
    (
        "geodtest-01",
        36.530042355041,
        0.0,
        -48.16427077909777,
        5.762344694676511,
        176.125875162171,
        9398502.0434687,
    ),
    (
        "geodtest-02",
        18.725775553796,
        0.0,
        18.724785210853174,
        0.006615636046166963,
        98.927919777265,
        706.2676803,
    ),
    (
        "geodtest-03",
        89.991989548145,
        0.0,
        -61.038150741515985,
        89.63126171546229,
        90.383140967854,
        16771704.5214092,
    ),
    (
        "geodtest-04",
        20.423135394589,
        0.0,
        -21.17938801779869,
        179.7571169345704,
        169.895260694771,
        19917969.3423672,
    ),
    (
        "geodtest-05",
        72.071239718919,
        0.0,
        -72.07123971890503,
        179.8137961464221,
        89.964343072223,
        20000731.2068002,
    ),
    (
        "geodtest-06",
        89.996344967961,
        0.0,
        -89.99600284821301,
        114.60925582688665,
        118.710939348963,
        20003468.6532733,
    ),
    (
        "geodtest-07",
        2.514600234503,
        0.0,
        2.506446532968658,
        0.00196695535966103,
        166.362139719401,
        927.7647972,
    ),
    (
        "geodtest-08",
        0.003311913742,
        0.0,
        0.001762385472585824,
        32.846794581272846,
        90.001862369144,
        3656488.4472191,
    ),
    (
        "geodtest-09",
        3.886251327793,
        0.0,
        46.80984390931667,
        179.9961825879802,
        0.003365258148,
        14388097.8595141,
    ),
    (
        "geodtest-10",
        23.287785477695,
        0.0,
        20.45244059386692,
        35.79736560816584,
        87.82760486416,
        3703998.3106422,
    ),
    (
        "geodtest-11",
        13.765992822182,
        0.0,
        -65.45918153381794,
        156.33271219892856,
        168.128113329941,
        13992595.6683315,
    ),
    (
        "geodtest-12",
        60.077425015363,
        0.0,
        60.078197903525385,
        0.010531670881733178,
        81.639916890942,
        592.5766309,
    ),
]
# Short lines and worked examples; tolerance 1 mm (2 micrometres for Karney's short line) and 1e-5 degrees.
WORKED: list[Line] = [
    ("Karney 2013, Table 3", -30.12345, 0, -30.12344, 5e-05, 77.0435335, 4.944208),
    (
        "GDA94 manual, Flinders Peak to Buninyong",
        -37.9510334167,
        144.4248678889,
        -37.6528211389,
        143.9264955278,
        306.8681583,
        54972.271,
    ),
]
# GeodSolve cases: azimuth None where either pole may be crossed or the direction has no meaning; the
# tolerance in metres is half a unit of the last printed digit.
EDGES: list[tuple[float, float, float, float, float | None, float, float]] = [
    (0, 0, 0, 179, 90, 19926189, 0.5),
    (0, 0, 0, 179.5, 55.9665, 19980862, 0.5),
    (0, 0, 0, 180, None, 20003931, 0.5),
    (0, 0, 1, 180, 0, 19893357, 0.5),
    (0, 179, 0, -179, 90, 222639, 0.5),  # printed with longitudes 539 and 181
    (36.493349428792, 0, 36.49334942879201, 8e-07, None, 0.072, 0.0005),
    (88.202499451857, 0, -88.202499451857, 179.98102203299285, None, 20003898.214, 0.0005),
    (40.6, -73.8, 49.01666667, 2.55, 53.47022, 5853226, 0.5),
    (-30, 0, 29.9, 179.8, 161.890524, 19989832.82761, 1e-5),  # Karney 2013, Tables 4 and 5
]
# Vincenty 1975, Table II: semi-major axis, inverse flattening, lines (a) to (c); (d), (e) are antipodal.
BESSEL, INTERNATIONAL = (6377397.155, 299.1528128), (6378388.0, 297.0)
VINCENTY_LINES = [
    (BESSEL, 55.75, -33.4333333333, 108.2166666667, 96.60244433, 14110526.17),
    (INTERNATIONAL, 37.331931575, 26.1285665167, 41.4765298028, 95.46656414, 4085966.703),
    (INTERNATIONAL, 35.2697912833, 67.3707712167, 137.7911984306, 15.73993014, 8084823.839),
]


def at(latitude_deg: float, longitude_deg: float) -> Position:
    """A position from a row whose longitude may be given beyond half a turn."""
    if abs(longitude_deg) > 180:
        longitude_deg = (longitude_deg + 180) % 360 - 180
    return Position(latitude_deg, longitude_deg)


def turn_between(a_deg: float, b_deg: float) -> float:
    """The smaller angle between two directions, degrees."""
    return abs((a_deg - b_deg + 180) % 360 - 180)


@pytest.mark.parametrize("row", KARNEY_ROWS + GEODTEST_ROWS, ids=lambda row: row[0])
def test_the_published_lines_come_out_to_a_tenth_of_a_millimetre(row: Line) -> None:
    _, lat1, lon1, lat2, lon2, azimuth_deg, length_m = row
    assert distance_m(at(lat1, lon1), at(lat2, lon2)) == pytest.approx(length_m, abs=1e-4)
    # 1e-7 degrees; on a nearly antipodal line the azimuth is ill conditioned in the last digits of the
    # coordinates themselves, so 1e-5 degrees there
    tolerance_deg = 1e-5 if length_m > 19_900_000 else 1e-7
    assert turn_between(bearing_deg(at(lat1, lon1), at(lat2, lon2)), azimuth_deg) < tolerance_deg


@pytest.mark.parametrize("row", WORKED, ids=lambda row: row[0])
def test_worked_examples_of_short_lines_come_out(row: Line) -> None:
    _, lat1, lon1, lat2, lon2, azimuth_deg, length_m = row
    assert distance_m(at(lat1, lon1), at(lat2, lon2)) == pytest.approx(
        length_m, abs=1e-3 if length_m > 5 else 2e-6
    )
    assert turn_between(bearing_deg(at(lat1, lon1), at(lat2, lon2)), azimuth_deg) < 1e-5


@pytest.mark.parametrize(("lat1", "lon1", "lat2", "lon2", "azimuth_deg", "length_m", "tolerance_m"), EDGES)
def test_antipodes_poles_and_tiny_lines_come_out(
    lat1: float,
    lon1: float,
    lat2: float,
    lon2: float,
    azimuth_deg: float | None,
    length_m: float,
    tolerance_m: float,
) -> None:
    assert distance_m(at(lat1, lon1), at(lat2, lon2)) == pytest.approx(length_m, abs=tolerance_m)
    if azimuth_deg is not None:
        assert turn_between(bearing_deg(at(lat1, lon1), at(lat2, lon2)), azimuth_deg) < 1e-5


@pytest.mark.parametrize(("ellipsoid", "lat1", "lat2", "lon2", "azimuth_deg", "length_m"), VINCENTY_LINES)
def test_the_second_opinion_reproduces_its_own_paper(
    ellipsoid: tuple[float, float], lat1: float, lat2: float, lon2: float, azimuth_deg: float, length_m: float
) -> None:
    got_m, got_deg = vincenty(lat1, 0, lat2, lon2, *ellipsoid)
    assert got_m == pytest.approx(length_m, abs=1e-3)  # the paper prints millimetres
    assert turn_between(got_deg, azimuth_deg) < 3e-7  # 0.001 arc seconds


LATITUDES = st.floats(-89, 89)
LONGITUDES = st.floats(-180, 180)


@given(LATITUDES, LONGITUDES, LATITUDES, LONGITUDES)
def test_vincentys_formulae_agree_within_a_millimetre(
    lat1: float, lon1: float, lat2: float, lon2: float
) -> None:
    assume(
        _sphere_deg(lat1, lon1, lat2, lon2) < 175
    )  # nearly antipodal lines do not converge (Vincenty 1975)
    length_m, azimuth_deg = vincenty(lat1, lon1, lat2, lon2, WGS84_A_M, WGS84_INVERSE_FLATTENING)
    a, b = Position(lat1, lon1), Position(lat2, lon2)
    assert distance_m(a, b) == pytest.approx(length_m, abs=1e-3)
    if length_m > 1000:
        assert turn_between(bearing_deg(a, b), azimuth_deg) < 1e-4


def vincenty(
    lat1: float, lon1: float, lat2: float, lon2: float, a_m: float, inverse_flattening: float
) -> tuple[float, float]:
    """Length (metres) and azimuth at point 1 (degrees): Vincenty 1975, equations 3, 4, 6, 10, 11, 13-20."""
    f = 1 / inverse_flattening
    b_m = a_m * (1 - f)
    u1, u2 = (math.atan((1 - f) * math.tan(math.radians(lat))) for lat in (lat1, lat2))
    apart = math.radians((lon2 - lon1 + 180) % 360 - 180)
    sin_u1, cos_u1, sin_u2, cos_u2 = math.sin(u1), math.cos(u1), math.sin(u2), math.cos(u2)
    lam = apart
    for _ in range(200):
        east = cos_u2 * math.sin(lam)
        north = cos_u1 * sin_u2 - sin_u1 * cos_u2 * math.cos(lam)
        sin_sigma = math.hypot(east, north)
        if sin_sigma == 0:
            return 0.0, 0.0
        cos_sigma = sin_u1 * sin_u2 + cos_u1 * cos_u2 * math.cos(lam)
        sigma = math.atan2(sin_sigma, cos_sigma)
        sin_alpha = cos_u1 * cos_u2 * math.sin(lam) / sin_sigma
        cos2_alpha = 1 - sin_alpha**2
        middle = cos_sigma - 2 * sin_u1 * sin_u2 / cos2_alpha if cos2_alpha > 1e-15 else 0.0
        c = f / 16 * cos2_alpha * (4 + f * (4 - 3 * cos2_alpha))
        turned = sigma + c * sin_sigma * (middle + c * cos_sigma * (2 * middle**2 - 1))
        before, lam = lam, apart + (1 - c) * f * sin_alpha * turned
        if abs(lam - before) < 1e-13:
            break
    squared = cos2_alpha * (a_m**2 - b_m**2) / b_m**2
    big_a = 1 + squared / 16384 * (4096 + squared * (-768 + squared * (320 - 175 * squared)))
    big_b = squared / 1024 * (256 + squared * (-128 + squared * (74 - 47 * squared)))
    inner = cos_sigma * (2 * middle**2 - 1) - big_b / 6 * middle * (4 * sin_sigma**2 - 3) * (
        4 * middle**2 - 3
    )
    shift = big_b * sin_sigma * (middle + big_b / 4 * inner)
    return b_m * big_a * (sigma - shift), math.degrees(math.atan2(east, north)) % 360


def _sphere_deg(lat1: float, lon1: float, lat2: float, lon2: float) -> float:
    phi1, phi2, apart = math.radians(lat1), math.radians(lat2), math.radians(lon2 - lon1)
    cosine = math.sin(phi1) * math.sin(phi2) + math.cos(phi1) * math.cos(phi2) * math.cos(apart)
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))
