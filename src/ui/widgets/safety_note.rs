//! The cautions: they stand once, on the field card.

/// What to mind at night: usual practice of people who walk and work outdoors.
pub const CAUTIONS: [&str; 6] = [
    "See the place by day first: edges, loose rock, water, the way out.",
    "Look up tide and weather, and leave early when either turns.",
    "Walk with a white headlamp and carry a spare; red light hides drop-offs. Stand still while you look \
     at a screen.",
    "Tell somebody where you are and when you will be back.",
    "Closures, private land, animals, permits: local rules and rangers come first.",
    "Never point a lens or an eye at the Sun.",
];

/// What the page is, and what it is not.
pub const SENSE: &str = "Tarnlight gives times and angles, not permission and not a forecast.";
