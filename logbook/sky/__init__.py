"""Where sun and moon are, and when they cross an altitude; offline, from a packaged ephemeris.

The one surprising decision: nothing here imports numpy or skyfield at module level, so that naming this room
costs nothing; the first question pays for opening the ephemeris, all later ones share it.

Modules:

- `observer`: `Observer`, a place on WGS84
- `errors`: `SkyValueError`
- `ephemeris`: opens the packaged ephemeris; `Body`, the covered years
- `position`: `sun_position(s)`, `moon_position(s)`, `path`; `SkyPosition`
- `refraction`: `Air`, `refraction_deg`
- `moon`: `moon_phase`; `MoonPhase`, `PhaseName`
- `crossings`: vectorised search for the instants at which curves pass through zero
- `events`: `local_day`, `sky_day`, `sun_crossings`; `SkyDay`, `SkyEvent`, `EventName`, `Stays`
- `eclipses`: `eclipses`, `discs_covered`; `Covered`, `Eclipse`, `EclipseKind`
- `phases`: `LightPhase`, `PhaseKind` and the altitudes that divide the day
"""
