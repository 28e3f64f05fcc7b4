//! Written by `.tools/targets` from OpenNGC as in pyongc 1.2.2: not to be changed by hand.
//!
//! OpenNGC is by Mattia Verga, under CC BY-SA 4.0; so is this table. Sizes marked so are from
//! memory, not from the catalogue; of others only the size of a part is.

use crate::sky::targets::{Target, row};

/// Name, number, right ascension and declination in degrees (ICRS), long and short axis in
/// arcminutes.
pub const CATALOGUED: [Target; 15] = [
    row(
        "Rho Ophiuchi clouds",
        "IC 4592 to 4605, M 4",
        (245.14, -22.86),
        (468.4, 296.4),
    ),
    row(
        "Sadr and its clouds",
        "IC 1318",
        (305.56, 40.26),
        (240.0, 180.0),
    ), // size from memory
    row(
        "North America and Pelican",
        "NGC 7000, IC 5068, IC 5070",
        (314.13, 43.84),
        (203.1, 179.6),
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
    ), // of a part from memory
    row(
        "Small Sagittarius Cloud",
        "M 24",
        (274.23, -18.51),
        (120.0, 60.0),
    ),
    row(
        "Lagoon and Trifid",
        "M 8, M 20",
        (270.95, -23.73),
        (119.1, 90.0),
    ), // of a part from memory
    row("Lagoon", "M 8", (270.95, -24.39), (90.0, 40.0)), // size from memory
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
    row("Swan", "M 17", (275.20, -16.17), (46.0, 37.0)), // size from memory
    row("Eagle", "M 16", (274.70, -13.81), (35.0, 28.0)), // size from memory
    row("Trifid", "M 20", (270.68, -22.97), (28.0, 28.0)),
    row("Crescent", "NGC 6888", (303.03, 38.35), (20.0, 10.0)),
    row("Dumbbell", "M 27", (299.90, 22.72), (6.7, 6.7)),
];
