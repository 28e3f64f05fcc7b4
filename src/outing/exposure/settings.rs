//! Camera settings for a shutter time, and the light of each frame.

use crate::camera::dial::Shutter;
use crate::camera::f_number::exact_f_number;
use crate::light::detector::white_e;
use crate::light::exposure::{ExposureLevel, exposure_level, middle_iso, suggested_iso};
use crate::light::noise::{Frames, Rates};
use crate::light::photons::Pixel;
use crate::outing::exposure::sequence::Sequence;
use crate::outing::exposure::sky_brightness::SkyBrightness;
use crate::outing::plan::Outing;

/// Share of a frame's noise below which added read noise counts as small (common practice).
pub const SMALL_EXCESS: f64 = 0.1;

/// Camera settings and light of a series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// f-number.
    pub f_number: f64,
    /// The frames.
    pub series: Sequence,
    /// ISO, chosen or suggested.
    pub iso: f64,
    /// The sky's exposure level.
    pub exposure_level: ExposureLevel,
    /// Rates of a pixel.
    pub rates: Rates,
    /// White level at this ISO, e⁻.
    pub white_e: f64,
}

/// Headroom of subject and sky below white, where frame length is free: a stop (common practice:
/// stars have colour only below white).
const HEADROOM: f64 = 2.0;

impl Settings {
    /// Settings for a series of frames at an f-number under a sky.
    ///
    /// ISO is the outing's own, or [`suggested_iso`].
    pub fn new(outing: &Outing, series: Sequence, f_number: f64, sky: &SkyBrightness) -> Self {
        let (kit, each_s) = (&outing.kit, series.shutter.exact_s());
        let whole = sky.for_exposure();
        let pixel = pixel_of(outing, f_number);
        let middle = middle_iso(whole.luminance_cd_m2(), pixel.f_number, each_s);
        let iso = outing.iso.unwrap_or_else(|| suggested_iso(middle).into());
        Self {
            f_number,
            series,
            iso,
            exposure_level: exposure_level(middle, iso),
            rates: Rates {
                signal_e_s: pixel.electrons_s(sky.subject(outing)),
                sky_e_s: pixel.electrons_s(whole),
                dark_e_s: kit.body.dark_e_s(),
                read_noise_e: kit.body.read_noise_e(iso),
            },
            white_e: white_e(kit.body.full_well_e(kit.sensor), iso),
        }
    }

    /// Settings for frames that fill the outing's time, of a shutter setting or of the longest
    /// shorter one at which subject and sky stay a stop below white.
    pub fn longest_unsaturated(
        outing: &Outing,
        longest: Shutter,
        f_number: f64,
        sky: &SkyBrightness,
    ) -> Self {
        let (kit, mut shutter) = (&outing.kit, longest);
        loop {
            let series = Sequence::new(shutter, outing.stack_min, &kit.body, kit.sensor);
            let settings = Self::new(outing, series, f_number, sky);
            if settings.gathered_e() * HEADROOM <= settings.white_e {
                return settings;
            }
            let shorter = shutter.stepped(-1);
            if shorter == shutter {
                return settings;
            }
            shutter = shorter;
        }
    }

    /// Length of a frame, s.
    pub fn each_s(&self) -> f64 {
        self.series.shutter.exact_s()
    }

    /// Electrons of the sky in a pixel of one frame.
    pub fn sky_e(&self) -> f64 {
        self.rates.sky_e_s * self.each_s()
    }

    /// Stops from the sky to white, by electrons; never negative.
    pub fn below_white(&self) -> f64 {
        let ratio = self.white_e / self.sky_e();
        (ratio.ln() / std::f64::consts::LN_2).max(0.0)
    }

    /// Electrons of subject, sky and dark current in a pixel of one frame.
    fn gathered_e(&self) -> f64 {
        let Rates {
            signal_e_s,
            sky_e_s,
            dark_e_s,
            ..
        } = self.rates;
        (signal_e_s + sky_e_s + dark_e_s) * self.each_s()
    }

    /// Whether subject and sky are white in every frame.
    pub fn saturated(&self) -> bool {
        self.gathered_e() >= self.white_e
    }

    /// Signal-to-noise ratio of a pixel of the subject in the stack, with the fraction of frames
    /// kept; 0 where it is [`saturated`](Self::saturated).
    pub fn signal_to_noise(&self, kept: f64) -> f64 {
        if self.saturated() {
            return 0.0;
        }
        self.rates.signal_to_noise(Frames {
            count: f64::from(self.series.frames) * kept,
            each_s: self.each_s(),
        })
    }
}

/// A pixel of an outing's camera at a marked f-number.
pub fn pixel_of(outing: &Outing, f_number: f64) -> Pixel {
    let kit = &outing.kit;
    Pixel {
        pitch_um: kit.sensor.pitch_um(),
        f_number: exact_f_number(f_number).unwrap_or(f_number),
        transmitted: kit.body.transmitted(),
        quantum: kit.body.quantum(),
    }
}

/// The setting nearest below a time; the shortest where none is.
pub fn shutter_below(seconds: f64) -> Shutter {
    Shutter::at_most(seconds).unwrap_or_else(|| Shutter::Marked(0).stepped(i32::MIN))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::brightness::SurfaceBrightness;
    use crate::sky::altitude::ApparentAltitude;

    /// A uniform sky at the zenith, without extinction.
    fn sky(v: f64) -> SkyBrightness {
        SkyBrightness {
            altitude: ApparentAltitude(crate::angle::Angle::from_degrees(90.0)),
            dark: SurfaceBrightness::from_magnitude(v),
            whole: Some(SurfaceBrightness::from_magnitude(v)),
            moon_mag: 0.0,
            twilight_mag: 0.0,
            air_masses: 1.0,
            lost_mag: 0.0,
        }
    }

    fn settings(outing: &Outing, seconds: f64, f_number: f64) -> Settings {
        let kit = &outing.kit;
        let series = Sequence::new(shutter_below(seconds), 10.0, &kit.body, kit.sensor);
        Settings::new(outing, series, f_number, &sky(21.5))
    }

    /// 6 µm at f/2.8 under 21.5, a lens of 0.9 and a quantum efficiency of 0.5: 1.5252 e⁻/s,
    /// computed independently with f/2.8 as printed; its exact value is 1 % more.
    #[test]
    fn a_pixel_gathers_what_was_worked_out() {
        let got = settings(&Outing::default(), 20.0, 2.8);
        let exact = 2.0 * 2.0_f64.sqrt() / 2.8;
        let want = 1.5252 / (exact * exact);
        assert!((got.rates.sky_e_s / want - 1.0).abs() < 1e-3, "{got:?}");
        assert!((got.sky_e() / (want * 16.0) - 1.0).abs() < 1e-3, "{got:?}");
    }

    /// Common practice for a dark sky: ISO 1600 to 6400, the histogram's peak in its left third,
    /// far from white.
    #[test]
    fn the_first_kit_gets_usual_settings() {
        let got = settings(&Outing::default(), 8.0, 1.8);
        assert!((1600.0..=6400.0).contains(&got.iso), "{got:?}");
        assert!(
            (0.15..0.34).contains(&got.exposure_level.in_histogram),
            "{got:?}"
        );
        assert!(got.below_white() > 3.0, "{} stops", got.below_white());
    }

    #[test]
    fn a_chosen_iso_is_kept() {
        let outing = Outing {
            iso: Some(800.0),
            ..Outing::default()
        };
        let (chosen, suggested) = (
            settings(&outing, 8.0, 1.8),
            settings(&Outing::default(), 8.0, 1.8),
        );
        assert_eq!(chosen.iso, 800.0);
        assert!(chosen.exposure_level.stops < suggested.exposure_level.stops);
        assert!(chosen.white_e > suggested.white_e);
    }

    /// ISO 6400 chosen under a bright sky: two minutes are white, so frames are shortened; a white
    /// frame has no signal.
    #[test]
    fn white_tells_nothing_and_is_kept_away_from() {
        let outing = Outing {
            iso: Some(6400.0),
            ..Outing::default()
        };
        let two_minutes = shutter_below(120.0);
        let kit = &outing.kit;
        let series = Sequence::new(two_minutes, 10.0, &kit.body, kit.sensor);
        let white = Settings::new(&outing, series, 1.8, &sky(19.0));
        assert!(
            white.saturated() && white.signal_to_noise(1.0) == 0.0,
            "{white:?}"
        );
        let kept = Settings::longest_unsaturated(&outing, two_minutes, 1.8, &sky(19.0));
        assert!(
            !kept.saturated() && kept.signal_to_noise(1.0) > 0.0,
            "{kept:?}"
        );
        assert!(kept.gathered_e() * HEADROOM <= kept.white_e, "{kept:?}");
        let a_third_more = 2.0_f64.powf(1.0 / 3.0) * 1.05;
        assert!(
            kept.white_e / (kept.sky_e() * a_third_more) < 2.0,
            "no shorter than need be: {kept:?}"
        );
        let dark = Settings::longest_unsaturated(&Outing::default(), two_minutes, 1.8, &sky(21.5));
        assert_eq!(dark.series.shutter, two_minutes);
    }

    /// The distance from white by the meter's equation and by electrons agrees within a stop, the
    /// uncertainty of an unknown body.
    #[test]
    fn meter_and_electrons_agree() {
        let got = settings(&Outing::default(), 8.0, 1.8);
        let by_meter = -got.exposure_level.of_white.ln() / std::f64::consts::LN_2;
        let off = by_meter - got.below_white();
        assert!(
            off.abs() < 1.5,
            "{by_meter} and {} stops",
            got.below_white()
        );
    }
}
