//! What of the page can be shown: its looks, screens and sheets.

/// How the page is lit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Theme {
    /// By day: ink on warm paper.
    Paper,
    /// At home: dark.
    Dusk,
    /// In the field: pure red on black.
    Red,
}

/// A screen, named by the question it answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screen {
    /// The shutter time.
    Exposure,
    /// The night.
    When,
    /// The view through the lens.
    Where,
    /// What a tracker or a stack buys.
    Why,
}

/// A sheet that slides over the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// Bodies and lenses.
    Kit,
    /// Where the outing goes.
    Site,
    /// What must stay sharp, and how sharp.
    Sharp,
    /// How the page is lit, and how far to trust it.
    Lamp,
    /// A focal length typed in.
    Focal,
    /// An f-number typed in.
    FNumber,
    /// The night picked, the ridge and the Moon put up with.
    Night,
    /// A year of nights.
    Season,
    /// The skyline and what it was made from.
    Skyline,
    /// The arch of the Milky Way and the panorama that covers it.
    Panorama,
    /// The tracker and its errors.
    Tracker,
    /// The field card.
    Card,
    /// Frames, ISO, and what is known of body, sky and subject.
    Frames,
    /// Lists to tick.
    Lists,
    /// The outing, kits and sites on their way to another phone and from one.
    Share,
}
