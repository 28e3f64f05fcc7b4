//! Written by `.tools/targets` from OpenNGC as in pyongc 1.2.2: not to be changed by hand.
//!
//! OpenNGC is by Mattia Verga, under CC BY-SA 4.0; so is this table. Sizes marked so are from
//! memory, not from the catalogue.

use super::targets::{Target, row};

/// Name, number, right ascension and declination in degrees (ICRS), long and short axis in
/// arcminutes.
pub const CATALOGUED: [Target; 15] = [
    row(
        "Rho Ophiuchi clouds",
        "IC 4592 to 4606, M 4",
        (245.17, -22.86),
        (468.4, 299.2),
    ),
    row(
        "Sadr and its clouds",
        "IC 1318",
        (305.56, 40.26),
        (240.0, 180.0),
    ), // size from memory
    row(
        "North America and Pelican",
        "NGC 7000, IC 5070",
        (314.08, 43.84),
        (203.1, 183.7),
    ),
    row(
        "Elephant's Trunk and its cloud",
        "IC 1396",
        (324.74, 57.49),
        (170.0, 140.0),
    ), // size from memory
    row(
        "Veil, whole",
        "NGC 6960 to 6995",
        (313.05, 31.13),
        (165.5, 133.9),
    ),
    row(
        "Lagoon and Trifid",
        "M 8, M 20",
        (270.91, -23.76),
        (122.2, 53.2),
    ),
    row(
        "Small Sagittarius Cloud",
        "M 24",
        (274.23, -18.51),
        (120.0, 60.0),
    ),
    row(
        "Veil, western half",
        "NGC 6960",
        (311.49, 30.60),
        (70.0, 6.0),
    ), // size from memory
    row(
        "Veil, eastern half",
        "NGC 6992",
        (314.08, 31.74),
        (60.0, 8.0),
    ),
    row("Lagoon", "M 8", (270.95, -24.39), (48.2, 46.2)),
    row("Swan", "M 17", (275.20, -16.17), (46.0, 37.0)), // size from memory
    row("Eagle", "M 16", (274.70, -13.81), (35.0, 28.0)), // size from memory
    row("Trifid", "M 20", (270.68, -22.97), (28.0, 28.0)),
    row("Crescent", "NGC 6888", (303.03, 38.35), (20.0, 10.0)),
    row("Dumbbell", "M 27", (299.90, 22.72), (6.7, 6.7)),
];
