//! How a tripod head turns: freely, by a scale, or by click stops.

/// Tolerance of a turn for rounding, degrees.
const ROUNDING_DEG: f64 = 1e-9;

/// Stops of common panorama heads, degrees (common practice).
pub const HEAD_STOPS_DEG: [f64; 10] = [15.0, 20.0, 24.0, 30.0, 36.0, 40.0, 45.0, 60.0, 72.0, 90.0];

/// The turns a head allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ClickStops {
    /// Any turn.
    Free,
    /// Whole degrees, read from a scale.
    WholeDegrees,
    /// One of these, degrees, such as [`HEAD_STOPS_DEG`].
    Stops(&'static [f64]),
}

impl ClickStops {
    /// The largest allowed turn up to `most`, degrees.
    pub(super) fn at_most(self, most: f64) -> Option<f64> {
        let turn = match self {
            Self::Free => most,
            Self::WholeDegrees => (most + ROUNDING_DEG).floor(),
            Self::Stops(stops) => {
                let fit = stops.iter().filter(|stop| **stop <= most + ROUNDING_DEG);
                fit.fold(0.0, |best, stop| stop.max(best))
            }
        };
        (turn > 0.0).then_some(turn)
    }

    /// The smallest allowed turn from `least`, up to `most`, which is allowed.
    pub(super) fn at_least(self, least: f64, most: f64) -> f64 {
        match self {
            Self::Free => least,
            Self::WholeDegrees => (least - ROUNDING_DEG).ceil().max(1.0).min(most),
            Self::Stops(stops) => {
                let fit = stops.iter().filter(|stop| **stop >= least - ROUNDING_DEG);
                fit.fold(most, |best, stop| stop.min(best))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_down_to_what_is_marked() {
        let stops = ClickStops::Stops(&HEAD_STOPS_DEG);
        let table = [
            // most wanted, free, whole, stop
            (37.19, Some(37.19), Some(37.0), Some(36.0)),
            (15.0, Some(15.0), Some(15.0), Some(15.0)),
            (14.9, Some(14.9), Some(14.0), None),
            (0.9, Some(0.9), None, None),
            (0.0, None, None, None),
            (120.0, Some(120.0), Some(120.0), Some(90.0)),
        ];
        for (most, free, whole, stop) in table {
            assert_eq!(ClickStops::Free.at_most(most), free);
            assert_eq!(ClickStops::WholeDegrees.at_most(most), whole);
            assert_eq!(stops.at_most(most), stop);
        }
        assert_eq!(ClickStops::WholeDegrees.at_least(31.2, 37.0), 32.0);
        assert_eq!(stops.at_least(31.2, 36.0), 36.0);
        assert_eq!(stops.at_least(24.0, 36.0), 24.0);
        assert_eq!(ClickStops::Free.at_least(31.2, 37.19), 31.2);
        assert_eq!(ClickStops::Stops(&[]).at_most(50.0), None);
    }
}
