//! Signal and noise in the corners of a picture.
//!
//! Settings are computed for the middle of the frame. A fast wide lens gives its corners a quarter
//! of that light, and read noise may dominate there though it does not in the middle.

use crate::camera::dial::iso_scale;
use crate::camera::falloff::CornerFalloff;
use crate::light::exposure::MOST_ISO;
use crate::light::noise::Rates;
use crate::outing::exposure::settings::{SMALL_EXCESS, Settings};
use crate::outing::plan::Outing;

/// A smaller loss is ignored, stops.
const LEAST_STOPS: f64 = 0.15;

/// The corners of a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Light loss.
    pub falloff: CornerFalloff,
    /// The settings, with the rates of a pixel in a corner.
    settings: Settings,
}

/// Read noise that is large in the corners, and not in the middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadNoiseLimited {
    /// Share that read noise adds to the noise of a frame in the corners.
    pub excess: f64,
    /// The same in the middle.
    pub excess_middle: f64,
    /// The lowest marked ISO at which it is small there too; `None` where there is none.
    pub iso: Option<u32>,
    /// The shortest frame in which it is, s; `None` under a sky without light.
    pub frame_s: Option<f64>,
}

impl Corner {
    /// For the outing's lens; `None` where the loss in its corners is unknown or ignored. Accurate
    /// as [`CornerFalloff`].
    pub fn new(outing: &Outing, settings: &Settings) -> Option<Self> {
        let lens = outing.kit.lens;
        let falloff = lens.corner_falloff(settings.f_number, outing.kit.sensor)?;
        if falloff.stops < LEAST_STOPS {
            return None;
        }
        let light = falloff.transmission();
        let rates = Rates {
            signal_e_s: settings.rates.signal_e_s * light,
            sky_e_s: settings.rates.sky_e_s * light,
            ..settings.rates
        };
        Some(Self {
            falloff,
            settings: Settings { rates, ..*settings },
        })
    }

    /// Electrons of the sky in a pixel of one frame.
    pub fn sky_e(&self) -> f64 {
        self.settings.sky_e()
    }

    /// Signal-to-noise ratio of a pixel of the subject in the stack, with the fraction of frames
    /// kept.
    pub fn signal_to_noise(&self, fraction_kept: f64) -> f64 {
        self.settings.signal_to_noise(fraction_kept)
    }

    /// Where read noise adds more than [`SMALL_EXCESS`] to the noise of a frame in the corners but
    /// not in the middle: how much, and the remedies.
    pub fn read_noise_limited(
        &self,
        outing: &Outing,
        middle: &Settings,
    ) -> Option<ReadNoiseLimited> {
        let Settings { rates, iso, .. } = self.settings;
        let each_s = self.settings.each_s();
        let excess = rates.read_excess(each_s);
        let excess_middle = middle.rates.read_excess(each_s);
        if excess <= SMALL_EXCESS || excess_middle > SMALL_EXCESS {
            return None;
        }
        let quiet = |(mark, _): &(u32, f64)| {
            let faster = f64::from(*mark);
            let read_noise_e = outing.kit.body.read_noise_e(faster);
            let there = Rates {
                read_noise_e,
                ..rates
            };
            faster > iso && faster <= MOST_ISO && there.read_excess(each_s) <= SMALL_EXCESS
        };
        Some(ReadNoiseLimited {
            excess,
            excess_middle,
            iso: iso_scale().find(quiet).map(|(mark, _)| mark),
            frame_s: rates.long_enough_s(SMALL_EXCESS),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::exposure::exposure_level;
    use crate::outing::exposure::sequence::Sequence;
    use crate::outing::exposure::settings::shutter_below;

    /// At the ISO of the outing, with 3.7 e⁻/s of sky in the middle.
    fn settings(outing: &Outing, seconds: f64) -> Settings {
        let kit = &outing.kit;
        let iso = outing.iso.unwrap_or(1600.0);
        Settings {
            f_number: outing.f_number,
            series: Sequence::new(shutter_below(seconds), 10.0, &kit.body, kit.sensor),
            iso,
            exposure_level: exposure_level(4.0 * iso, iso),
            rates: Rates {
                signal_e_s: 0.9,
                sky_e_s: 3.7,
                dark_e_s: kit.body.dark_e_s(),
                read_noise_e: kit.body.read_noise_e(iso),
            },
            white_e: 1500.0,
        }
    }

    fn outing(stops: f64) -> Outing {
        let mut outing = Outing {
            iso: Some(3200.0),
            ..Outing::default()
        };
        outing.kit.lens.corner_falloff_stops = Some(stops);
        outing
    }

    /// Two stops are a quarter of the light: a quarter of the electrons, and, as read noise does
    /// not fall with them, less than half of the signal to noise.
    #[test]
    fn two_stops_are_a_quarter_of_the_light() {
        let outing = outing(2.0);
        let middle = settings(&outing, 8.0);
        let corner = Corner::new(&outing, &middle).expect("darker corners");
        assert!((corner.sky_e() / middle.sky_e() - 0.25).abs() < 1e-12);
        let less = corner.signal_to_noise(1.0) / middle.signal_to_noise(1.0);
        assert!((0.25..0.5).contains(&less), "{less}");
        // computed from the CCD equation
        let Rates {
            signal_e_s: signal,
            sky_e_s: sky,
            dark_e_s: dark,
            read_noise_e: read,
        } = middle.rates;
        let (n, t) = (f64::from(middle.series.frames), middle.each_s());
        let want = 0.25 * signal * t * n.sqrt()
            / ((0.25 * (signal + sky) + dark) * t + read * read).sqrt();
        assert!((corner.signal_to_noise(1.0) / want - 1.0).abs() < 1e-12);
    }

    #[test]
    fn even_corners_are_not_told() {
        let outing = outing(0.1);
        assert_eq!(Corner::new(&outing, &settings(&outing, 8.0)), None);
    }

    /// Read noise adds E where sky and dark current give R²/((1 + E)² − 1) electrons a frame: for
    /// 2.5 e⁻ and a tenth 29.8. The corners are reported between that and four times as much in the
    /// middle, and then a frame four times as long suffices.
    #[test]
    fn corners_are_told_of_where_reading_rules_them_alone() {
        let mut outing = outing(2.0);
        outing.kit.body.insert_read_noise(3200.0, 2.5);
        outing.kit.body.dark_e_s = Some(0.0);
        let message = |seconds| {
            let middle = settings(&outing, seconds);
            let corner = Corner::new(&outing, &middle).expect("darker corners");
            (middle, corner.read_noise_limited(&outing, &middle))
        };
        for seconds in [1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0] {
            let (middle, limited) = message(seconds);
            let want = (29.76..4.0 * 29.76).contains(&middle.sky_e());
            assert_eq!(limited.is_some(), want, "{} e⁻", middle.sky_e());
            if let Some(limited) = limited {
                assert!(
                    limited.excess > 0.1 && limited.excess_middle <= 0.1,
                    "{limited:?}"
                );
                let frame_s = limited.frame_s.expect("a frame");
                let sky_e = middle.rates.sky_e_s / 4.0 * frame_s;
                assert!((sky_e - 29.76).abs() < 0.01, "{sky_e} e⁻");
                assert_eq!(limited.iso, None, "no ISO reads quieter");
            }
        }
    }

    /// A body with a read noise of 6 e⁻ at ISO 400 and 1 e⁻ from 1600 on.
    #[test]
    fn a_quieter_iso_is_told() {
        let mut outing = outing(2.0);
        outing.iso = Some(400.0);
        outing.kit.body.insert_read_noise(400.0, 6.0);
        outing.kit.body.insert_read_noise(1600.0, 1.0);
        let middle = settings(&outing, 64.0);
        let corner = Corner::new(&outing, &middle).expect("darker corners");
        let limited = corner
            .read_noise_limited(&outing, &middle)
            .expect("limited");
        let iso = limited.iso.expect("a quieter ISO");
        assert!((400..=1600).contains(&iso), "{limited:?}");
        outing.iso = Some(f64::from(iso));
        let middle = settings(&outing, 64.0);
        let corner = Corner::new(&outing, &middle).expect("darker corners");
        assert_eq!(corner.read_noise_limited(&outing, &middle), None);
    }
}
