//! What opens the sheets.

/// Each screen, and what opens a sheet from it. What a division has no button for is shown at once
/// there.
pub const DOORS: [(&str, &[&str]); 5] = [
    (
        "exposure",
        &[
            "[aria-label='focal length'] .step-value",
            "[aria-label='f-number'] .step-value",
            "[aria-label='trail allowed'] .step-value",
            "[aria-label='ISO'] .step-value",
        ],
    ),
    (
        "night",
        &["[aria-label='night'] .step-value", "#open-season"],
    ),
    (
        "framing",
        &[
            "#open-lenses",
            "#open-panorama",
            "#open-skyline",
            "#open-ground",
        ],
    ),
    ("tracking", &["#tracker-sheet"]),
    (
        "more",
        &[
            "#open-kit",
            "#open-site",
            "#open-frame",
            "#open-card",
            "#open-share",
            "#open-display",
        ],
    ),
];
