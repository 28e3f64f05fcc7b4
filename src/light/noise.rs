//! Signal and noise of stacks of frames.
//!
//! Shot noise: N electrons are uncertain by √N. Reading a pixel adds the same noise to each frame,
//! however short. In a long frame it is small against the sky's shot noise; in many short ones it
//! adds up, and that is what a stack loses against a tracker.

/// Electron rates of a pixel, and its read noise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rates {
    /// From the subject, e⁻/s.
    pub signal_e_s: f64,
    /// From the sky, e⁻/s.
    pub sky_e_s: f64,
    /// Dark current, e⁻/s.
    pub dark_e_s: f64,
    /// Read noise, e⁻.
    pub read_noise_e: f64,
}

/// Frames of one length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frames {
    /// Number; may be fractional.
    pub count: f64,
    /// Length of each, s.
    pub each_s: f64,
}

/// More frames than this count as no answer.
const MOST_FRAMES: f64 = 1e9;

impl Rates {
    /// Background rate, e⁻/s.
    fn background_e_s(self) -> f64 {
        self.sky_e_s + self.dark_e_s
    }

    /// Signal-to-noise ratio of one pixel in a stack of frames; 0 without signal or time, and for
    /// NaN.
    ///
    /// S t √n / √((S + B + D) t + R²). Source: the equation of the CCD, W. J.
    /// Merline & S. B. Howell, *Experimental Astronomy* 6 (1995) 163 (from memory).
    ///
    /// ```text
    /// S 0.305, B 1.525, D 0.05, R 2.5: 30 × 10 s  →  3.34
    /// ```
    pub fn signal_to_noise(self, frames: Frames) -> f64 {
        let Frames { count, each_s } = frames;
        let gathered = (self.signal_e_s + self.background_e_s()) * each_s;
        let variance = gathered + self.read_noise_e * self.read_noise_e;
        let got = self.signal_e_s * each_s * count.max(0.0).sqrt() / variance.sqrt();
        if got.is_finite() { got } else { 0.0 }
    }

    /// Frame length at which read noise adds this share to the noise of the background, s; `None`
    /// without a background.
    ///
    /// t = R²/r / ((1 + E)² − 1). Source: first principles; the same algebra in S.
    /// Cannistra, *Signal to Noise Ratio and the Subexposure Duration*.
    ///
    /// ```text
    /// R 2.5, r 1.5252: 5 %  →  39.98 s      20 %  →  9.31 s
    /// ```
    pub fn long_enough_s(self, excess: f64) -> Option<f64> {
        let read = self.read_noise_e * self.read_noise_e;
        let got = read / self.background_e_s() / ((1.0 + excess) * (1.0 + excess) - 1.0);
        got.is_finite().then_some(got)
    }

    /// Share that read noise adds to the noise of frames of this length.
    pub fn read_excess(self, each_s: f64) -> f64 {
        let read = self.read_noise_e * self.read_noise_e;
        (1.0 + read / (self.background_e_s() * each_s)).sqrt() - 1.0
    }

    /// Total time of a stack of short frames over that of an equivalent one of long frames; at
    /// least 1 where the long ones are longer.
    ///
    /// (r + R²/t)/(r + R²/T), for a signal faint against the sky. Source: first
    /// principles.
    ///
    /// ```text
    /// r 1.575, R 2.5: 1.39 s against 120 s  →  3.72
    /// ```
    pub fn time_penalty(self, short_s: f64, long_s: f64) -> f64 {
        let read = self.read_noise_e * self.read_noise_e;
        let each = |seconds: f64| self.background_e_s() + read / seconds;
        let got = each(short_s) / each(long_s);
        if got.is_finite() { got } else { 1.0 }
    }

    /// Number of frames of a length that reach a signal-to-noise ratio; fractional. `None` without
    /// a signal, or beyond the limit.
    ///
    /// From [`Self::signal_to_noise`], solved for n.
    pub fn frames_to_match(self, wanted: f64, each_s: f64) -> Option<f64> {
        let one = self.signal_to_noise(Frames { count: 1.0, each_s });
        let got = (wanted / one) * (wanted / one);
        (got <= MOST_FRAMES).then_some(got)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rates() -> Rates {
        Rates {
            signal_e_s: 0.305_05,
            sky_e_s: 1.525_24,
            dark_e_s: 0.05,
            read_noise_e: 2.5,
        }
    }

    /// Computed independently from the equation.
    #[test]
    fn stacks_of_the_worked_table() {
        for (count, each_s, want) in [
            (30.0, 10.0, 3.3381),
            (1.0, 300.0, 3.8320),
            (30.0, 5.5, 2.2560),
        ] {
            let got = rates().signal_to_noise(Frames { count, each_s });
            assert!(
                (got - want).abs() < 1e-4,
                "{count} × {each_s} s: {got}, want {want}"
            );
        }
    }

    /// Computed independently: read noise 2.5, a sky of 1.5252 e⁻/s alone.
    #[test]
    fn how_long_is_long_enough() {
        let sky = Rates {
            sky_e_s: 1.5252,
            dark_e_s: 0.0,
            ..rates()
        };
        for (excess, want) in [(0.05, 39.98), (0.10, 19.51), (0.20, 9.31)] {
            let got = sky.long_enough_s(excess).expect("a sky");
            assert!((got - want).abs() < 6e-3, "{excess}: {got}, want {want}");
            assert!((sky.read_excess(got) - excess).abs() < 1e-12, "{excess}");
        }
        let none = Rates {
            sky_e_s: 0.0,
            ..sky
        };
        assert_eq!(none.long_enough_s(0.1), None);
    }

    /// 6 µm, f/2.8, a sky of 21.5, two pixels at the core's declination against tracked frames of
    /// 120 s, computed independently: focal length, the frame, and the penalties in signal to noise
    /// and in time.
    #[test]
    fn penalties_of_the_worked_table() {
        let table = [
            (14.0, 13.44, 1.12, 1.25),
            (24.0, 7.84, 1.21, 1.46),
            (50.0, 3.76, 1.41, 1.99),
            (85.0, 2.21, 1.64, 2.70),
            (135.0, 1.39, 1.93, 3.72),
            (200.0, 0.94, 2.25, 5.05),
        ];
        for (focal_mm, each_s, noise, time) in table {
            let got = rates().time_penalty(each_s, 120.0);
            // frames are given to 0.01 s, which is 1 % of the shortest
            assert!(
                (got / time - 1.0).abs() < 0.006,
                "{focal_mm} mm: {got}, want {time}"
            );
            assert!(
                (got.sqrt() - noise).abs() < 0.011,
                "{focal_mm} mm: {}",
                got.sqrt()
            );
        }
    }

    #[test]
    fn matching_frames_match() {
        let long = rates().signal_to_noise(Frames {
            count: 5.0,
            each_s: 120.0,
        });
        for each_s in [0.1, 1.2, 8.0, 120.0] {
            let count = rates().frames_to_match(long, each_s).expect("a count");
            let got = rates().signal_to_noise(Frames { count, each_s });
            assert!(
                (got / long - 1.0).abs() < 1e-12,
                "{each_s} s: {got}, want {long}"
            );
        }
        let unlit = Rates {
            signal_e_s: 0.0,
            ..rates()
        };
        assert_eq!(unlit.frames_to_match(long, 8.0), None);
    }

    /// Twice the light or four times the frames: the same, without read noise and where the sky
    /// dominates (the square root law).
    #[test]
    fn noise_falls_with_the_square_root() {
        let free = Rates {
            read_noise_e: 0.0,
            signal_e_s: 1e-6,
            ..rates()
        };
        let at = |count: f64| {
            free.signal_to_noise(Frames {
                count,
                each_s: 10.0,
            })
        };
        assert!((at(4.0) / at(1.0) - 2.0).abs() < 1e-12);
        assert!((free.time_penalty(0.01, 120.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn any_number_gives_a_number() {
        for odd in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
            let hostile = Rates {
                sky_e_s: odd,
                ..rates()
            };
            assert!(
                hostile
                    .signal_to_noise(Frames {
                        count: odd,
                        each_s: odd
                    })
                    .is_finite()
            );
            assert!(hostile.time_penalty(odd, odd).is_finite());
        }
    }
}
