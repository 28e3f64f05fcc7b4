//! What the settings for the foreground start from, beyond the outing.

/// The settings for the foreground in the making.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundDraft {
    /// Distance of the nearest foreground that must be sharp, m;
    /// [`NEAREST_M`](crate::outing::plan::bounds::NEAREST_M).
    pub nearest_m: f64,
    /// Longest shutter time wanted in dusk and dawn, s;
    /// [`GROUND_S`](crate::outing::plan::bounds::GROUND_S).
    pub longest_s: f64,
}

/// What changes them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum GroundAction {
    /// Distance of the nearest foreground, m.
    Nearest(f64),
    /// Longest shutter time in dusk and dawn, s.
    Longest(f64),
}

impl Default for GroundDraft {
    /// Two metres, as from a tripod to the ground some steps ahead, and the 32 s of the longest
    /// mark.
    fn default() -> Self {
        Self {
            nearest_m: 2.0,
            longest_s: 32.0,
        }
    }
}

impl GroundDraft {
    /// Applies an action.
    pub fn reduce(&mut self, action: GroundAction) {
        match action {
            GroundAction::Nearest(metres) => self.nearest_m = metres,
            GroundAction::Longest(seconds) => self.longest_s = seconds,
        }
    }
}
