"""Headings: trade words in any order, spelling and case, with their units (common practice, no source)."""

from __future__ import annotations

import pytest

from groundref import units
from groundref.readers.headings import understand

MEANINGS = {
    "latitude": ["Latitude", "lat", "GPS Lat (deg)", "position_lat_deg", "LAT [°]"],
    "longitude": ["lon", "Longitude", "lng", "GPS Longitude (deg)", "long"],
    "altitude_msl": ["AltMSL", "Altitude MSL (ft)", "Altitude (ft MSL)", "altitude above sea level (m)",
                     "GPS altitude MSL [ft]", "altitude_msl_m"],
    "altitude_gps": ["GPS Altitude [ft]", "alt_gps_m", "GNSS height"],
    "altitude_ellipsoid": ["geoaltitude", "height above ellipsoid [m]", "geo_altitude", "HAE altitude m"],
    "altitude_pressure": ["pressure altitude (ft)", "baro_alt_ft", "Alt 1013 (ft)", "baroaltitude", "Alt1013",
                          "altitude_pressure_ft", "PressureAltitude"],
    "altitude_plain": ["altitude", "alt_ft", "Height [m]"],
    "ground_speed": ["Ground Speed (kt)", "groundspeed_kt", "GS [kts]", "SOG",
                     "speed over ground", "ground_speed_mps"],
    "speed_plain": ["speed_m_s", "velocity", "GPS speed"],
    "vertical_speed": ["Vertical Speed (fpm)", "VS [ft/min]", "climb rate (m/s)", "vertical_rate",
                       "vertrate"],
    "true_airspeed": ["TAS (kt)", "true_airspeed_m_s", "True Airspeed"],
    "indicated_airspeed": ["ias_kts", "Indicated Airspeed (kt)"],
    "track": ["Track (deg true)", "course_deg", "COG", "true_track", "ground track"],
    "track_magnetic": ["Track (mag)", "magnetic course"],
    "heading_magnetic": ["Heading (mag)", "HDG [deg mag]", "magnetic_heading_deg"],
    "heading": ["heading_true_deg", "True Heading"],
    "heading_plain": ["heading_deg", "HDG"],
    "bank": ["Roll (deg)", "bank_angle_deg", "Bank"],
    "pitch": ["Pitch", "pitch_deg"],
    "lateral_acceleration": ["lateral_g", "LatAcc [g]", "lat accel", "Lateral Acceleration (m/s²)", "ny"],
    "normal_acceleration": ["normal_g", "vertical g", "load factor", "normal_acceleration_m_s2", "nz"],
    "temperature": ["OAT (°C)", "oat_c", "outside air temp [F]"],
    "time": ["time", "timestamp", "Local Time", "time_s", "date time"],
    "time_utc": ["Time (UTC)", "unix_time_ms", "epoch", "time_utc", "UTC"],
    "date": ["Date", "Local Date"],
    "date_utc": ["UTC Date"],
    "utc_offset": ["UTC offset", "time zone", "tz offset"],
    "elapsed": ["elapsed_s", "Elapsed Time (s)"],
    "on_ground": ["onground", "on_ground"],
    "icao24": ["icao24"],
    "position_time": ["lastposupdate", "time_position"],
    None: ["height agl ft", "magnetic variation", "engine temp c", "baro inHg", "Fuel Flow",
           "vertical accuracy", "GPS satellites", "latitude error", "time to go", "heading bug",
           "selected altitude", "target IAS", "wind speed (kt)",
           "wind direction", "track (kt)", "altitude (kt)", "Volts"],
}  # fmt: skip


@pytest.mark.parametrize(("quantity", "text"), [(q, text) for q, texts in MEANINGS.items() for text in texts])
def test_meaning(quantity, text):
    assert understand([text])[0].quantity == quantity


@pytest.mark.parametrize(
    ("text", "factor"),
    [
        ("Altitude (ft)", units.foot),
        ("altitude_m", 1.0),
        ("speed_km_h", units.kilometre_per_hour),
        ("speed [m/s]", 1.0),
        ("speed (m s⁻¹)", 1.0),
        ("Speed mph", units.mile_per_hour),
        ("GS kts", units.knot),
        ("vs_ft_min", units.foot_per_minute),
        ("time_ms", 1e-3),
        ("Roll [rad]", 1.0),
        ("heading_deg_true", units.degree),
        ("lateral accel (g)", units.standard_gravity),
        ("lateral_acceleration_m_s2", 1.0),
    ],
)
def test_unit(text, factor):
    unit = understand([text])[0].unit
    assert unit is not None
    assert unit.factor == factor


ABROAD = {
    "time": ["Zeit", "Uhrzeit", "Ortszeit", "Heure", "Hora"],
    "time_utc": ["Zeit (UTC)", "UTC-Zeit", "Heure UTC", "Hora UTC"],
    "date": ["Datum", "Fecha"],
    "latitude": ["Breite", "Breitengrad [°]", "Latitud"],
    "longitude": ["Länge", "LAENGE", "Längengrad [°]", "La\u0308nge", "Longitud"],
    "altitude_plain": ["Höhe (m)", "Flughöhe_ft", "Hauteur", "Altitud", "Altura (ft)"],
    "altitude_gps": ["GPS-Höhe", "Altitud GPS"],
    "altitude_pressure": ["Druckhöhe (ft)"],
    "speed_plain": ["Geschwindigkeit (km/h)", "Vitesse", "Velocidad [kt]"],
    "ground_speed": ["Geschwindigkeit über Grund", "Vitesse sol (kt)", "Velocidad suelo"],
    "true_airspeed": ["Eigengeschwindigkeit (kt)"],
    "track": ["Kurs", "Kurs über Grund", "Rumbo"],
    "heading_plain": ["Steuerkurs", "Cap"],
    "bank": ["Querneigung", "Schräglage (°)"],
    "temperature": ["Außentemperatur"],
}


@pytest.mark.parametrize(("quantity", "text"), [(q, text) for q, texts in ABROAD.items() for text in texts])
def test_german_french_and_spanish(quantity, text):
    assert understand([text])[0].quantity == quantity


def test_a_units_row_gives_unit_and_datum():
    height, heading = understand(["Altitude", "Heading"], ["ft msl", "deg mag"])
    assert (height.quantity, heading.quantity) == ("altitude_msl", "heading_magnetic")
    assert height.unit is not None
    assert height.unit.factor == units.foot


def test_fahrenheit_is_no_mere_factor():
    unit = understand(["OAT [F]"])[0].unit
    assert unit is not None
    assert 212 * unit.factor + unit.offset == pytest.approx(373.15)
    assert 32 * unit.factor + unit.offset == pytest.approx(273.15)
