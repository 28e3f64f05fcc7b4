//! Pictures of the night sky in tones: of a frame, of a strip of the horizon, of a night.
//!
//! All of them give the same tone to the same direction at the same moment: that of the dark sky,
//! twilight, moonlight and the Milky Way dimmed by the air, by one curve. As pictures are
//! processed, the Milky Way is drawn two and a half times as bright as it is, and the dark sky is as bright everywhere as
//! overhead: its own gradient towards the horizon is divided out. Altitudes are apparent.

mod picture_stars;
mod projection;
mod raster;
mod sky_light;
mod tone;

pub use picture_stars::{VisibleStar, in_projection};
pub use projection::{Projection, Slit, Strip};
pub use tone::tone;

use sky_light::SkyLight;

use crate::angle::Angle;
use crate::outing::night::site_sky::SiteSky;
use crate::sky::almanac::SkyBody;
use crate::sky::night::Night;
use crate::vector::Vector;

/// Largest width and height of a picture, pixels; larger ones are made this large.
pub const MAX_SIDE: usize = 2048;

/// Pixels from one computation of the light to the next, across and down, in a picture of a moment
/// and in one of a night; the Milky Way is looked up at every pixel.
const STILL_STEP: (usize, usize) = (8, 5);
const SLIT_STEP: (usize, usize) = (4, 5);

/// The tones of a picture of the sky.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SkyTones {
    /// Pixels from left to right.
    pub width: usize,
    /// Pixels from top to bottom.
    pub height: usize,
    /// Row by row from the top left: 0 the darkest tone, 255 the brightest.
    pub values: Vec<u8>,
}

/// A star in a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PictureStar {
    /// Fraction of the width, 0 to 1 from the left.
    pub x: f32,
    /// Fraction of the height, 0 to 1 from the top.
    pub y: f32,
    /// Magnitude after extinction.
    pub magnitude: f32,
}

/// The sky of a site over a night, to be pictured.
#[derive(Debug, Clone, Copy)]
pub struct SkyPicture<'a> {
    site_sky: &'a SiteSky,
    night: &'a Night<'a>,
}

impl<'a> SkyPicture<'a> {
    /// The sky of a site over one of its nights.
    pub const fn new(site_sky: &'a SiteSky, night: &'a Night<'a>) -> Self {
        Self { site_sky, night }
    }

    /// Tones of a projection, `at` days into the night, in a picture of a width and a height.
    ///
    /// The darkest tone where the lens has no image.
    pub fn tones(&self, at: f64, projection: &Projection, size: (usize, usize)) -> SkyTones {
        let sky = SkyLight::new(self.site_sky, self.night, at);
        raster::filled(size, (STILL_STEP, false), |x, y| {
            projection
                .direction_at((x, y))
                .map(|there| sky.towards(there))
        })
    }

    /// The stars down to a magnitude, as far as this sky lets them be seen, dimmed towards the
    /// horizon; bright ones first.
    ///
    /// There are none below the horizon, nor in bright twilight and by day, and none fainter than
    /// 5.0 in the catalogue.
    pub fn visible_stars(&self, at: f64, faintest: f64) -> Vec<VisibleStar> {
        let sky = SkyLight::new(self.site_sky, self.night, at);
        picture_stars::visible(self.site_sky, &sky, faintest)
    }

    /// Tones of a night as a slit picture: see [`Slit`].
    pub fn slit_tones(&self, slit: &Slit, size: (usize, usize)) -> SkyTones {
        // columns are asked for one after the other
        let mut now: Option<(f64, SkyLight<'_>, Angle)> = None;
        raster::filled(size, (SLIT_STEP, true), |x, y| {
            if now.as_ref().is_none_or(|(column, _, _)| *column != x) {
                let at = slit.time_at(x);
                let sky = SkyLight::new(self.site_sky, self.night, at);
                let core = self.night.topocentric(SkyBody::Subject, at).horizontal();
                now = Some((x, sky, core.bearing));
            }
            let (_, sky, bearing) = now.as_ref()?;
            Some(sky.towards(Vector::from_bearing(*bearing, slit.altitude_at(y))))
        })
    }

    /// Stars that pass the slit, each where and when it does.
    pub fn slit_stars(&self, slit: &Slit, faintest: f64) -> Vec<PictureStar> {
        picture_stars::in_slit(self.site_sky, self.night, slit, faintest)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::frame::Frame;
    use crate::camera::lens::{Lens, Projection as LensProjection};
    use crate::light::brightness::SurfaceBrightness;
    use crate::outing::plan::{Orientation, Outing};
    use crate::sky::celestial_to_horizontal::refract;
    use crate::sky::galaxy::from_galactic;
    use crate::sky::spans::Span;

    /// 00:06 by summer time at 46.5° N, days since noon; new Moon is on 14 July 2026 (almanacs, from memory).
    const AT: f64 = 0.4483;

    fn outing() -> Outing {
        let degrees = Angle::from_degrees;
        let mut outing = Outing {
            orientation: Orientation::Portrait,
            frame: Some(Frame {
                bearing: degrees(170.0),
                tilt: degrees(32.0),
                roll: degrees(0.0),
            }),
            ..Outing::default()
        };
        outing.site.latitude = degrees(46.5);
        outing.site.longitude = degrees(9.9);
        outing.site.height_m = 2100.0;
        outing
    }

    fn with<T>(day: u32, ask: impl FnOnce(SkyPicture<'_>, &Night<'_>) -> T) -> T {
        let date = chrono::NaiveDate::from_ymd_opt(2026, 7, day).expect("a date");
        let site_sky = SiteSky::over(&outing().site, outing().subject, date, 1);
        let night = site_sky.night(date);
        ask(SkyPicture::new(&site_sky, &night), &night)
    }

    fn strip() -> Strip {
        let degrees = Angle::from_degrees;
        Strip {
            from: degrees(95.0),
            to: degrees(245.0),
            low: degrees(0.0),
            high: degrees(45.0),
        }
    }

    fn slit() -> Slit {
        Slit {
            span: Span {
                start: AT - 0.05,
                end: AT + 0.05,
            },
            low: Angle::ZERO,
            high: Angle::from_degrees(45.0),
        }
    }

    fn stars_in(
        picture: &SkyPicture<'_>,
        at: f64,
        (projection, faintest): (&Projection, f64),
    ) -> Vec<PictureStar> {
        in_projection(&picture.visible_stars(at, faintest), projection, faintest)
    }

    fn tone_at(tones: &SkyTones, (x, y): (f64, f64)) -> f64 {
        let pixel = |part: f64, pixels: usize| ((part * pixels as f64) as usize).min(pixels - 1);
        let place = pixel(y, tones.height) * tones.width + pixel(x, tones.width);
        tones.values[place].into()
    }

    /// Where the core's bearing crosses altitudes from 8° to 40° all three pictures show the same light,
    /// but for what it changes across a pixel: 0.067 mag, where the curve of tones is steepest.
    #[test]
    fn pictures_agree() {
        let of = |tenth: i32| {
            let sky = SurfaceBrightness::from_magnitude(f64::from(tenth) / 10.0);
            f64::from(tone(sky.nanolamberts() as f32))
        };
        let steps = (190..219).map(|tenth| of(tenth) - of(tenth + 1));
        let most_apart = 0.067 * 10.0 * steps.fold(0.0, f64::max);
        with(9, |picture, night| {
            let frame = Projection::Frame(outing().view());
            let tones = picture.tones(AT, &frame, (360, 540));
            let strips = picture.tones(AT, &Projection::Strip(strip()), (900, 270));
            let slits = picture.slit_tones(&slit(), (401, 270));
            let core = night.topocentric(SkyBody::Subject, AT).horizontal();
            for altitude in 8..40 {
                let altitude = Angle::from_degrees(f64::from(altitude));
                let there = Vector::from_bearing(core.bearing, altitude);
                let place = |projection: Projection| projection.place_of(there).expect("in it");
                let got = [
                    tone_at(&tones, place(frame)),
                    tone_at(&strips, place(Projection::Strip(strip()))),
                    tone_at(&slits, (0.5, slit().height_of(altitude.radians()))),
                ];
                let most = got.into_iter().fold(0.0, f64::max);
                let least = got.into_iter().fold(255.0, f64::min);
                assert!(most - least < most_apart, "{altitude:?}: {got:?}");
            }
        });
    }

    /// The great cloud in Sagittarius, about longitude 2°, latitude −3° (any atlas, from memory),
    /// is the brightest place of the frame that the core is in.
    #[test]
    fn the_brightest_place_is_the_cloud_by_the_core() {
        with(9, |picture, night| {
            let frame = Projection::Frame(outing().view());
            let tones = picture.tones(AT, &frame, (180, 270));
            let most = tones.values.iter().max().expect("pixels");
            let brightest = tones
                .values
                .iter()
                .position(|tone| tone == most)
                .expect("one");
            let place = (
                ((brightest % 180) as f64 + 0.5) / 180.0,
                ((brightest / 180) as f64 + 0.5) / 270.0,
            );
            let found = frame.direction_at(place).expect("in the picture");
            let [longitude, latitude] = [2.0, -3.0].map(Angle::from_degrees);
            let moment = night.start().plus_days(AT);
            let sky = night.observer().celestial_to_horizontal(moment);
            let want = sky.apply(from_galactic(longitude, latitude));
            let miss = refract(picture.site_sky.air(), want).angle_to(found);
            assert!(miss.degrees() < 4.0, "{miss:?}");
            assert!(*most > 120, "{most}");
            let darkest = *tones.values.iter().min().expect("pixels");
            assert!(darkest < 40, "{darkest}");
        });
    }

    /// Full Moon on 29 July 2026 (almanacs, from memory): the sky pales, the band drowns.
    #[test]
    fn a_full_moon_drowns_the_band() {
        let spread = |day: u32| {
            with(day, |picture, _| {
                let frame = Projection::Frame(outing().view());
                let mut tones = picture.tones(AT, &frame, (45, 60)).values;
                tones.sort_unstable();
                (tones[270], tones[2430] - tones[270])
            })
        };
        let (dark, moonlit) = (spread(9), spread(28));
        assert!(dark.0 < 60 && moonlit.0 > 150, "{dark:?}, {moonlit:?}");
        assert!(moonlit.1 * 2 < dark.1, "{dark:?}, {moonlit:?}");
    }

    /// By day everything is as bright as can be; no star shows.
    #[test]
    fn by_day_there_is_light_only() {
        with(9, |picture, _| {
            let frame = Projection::Frame(outing().view());
            let tones = picture.tones(0.05, &frame, (20, 30));
            assert!(tones.values.iter().all(|tone| *tone == 255));
            assert_eq!(stars_in(&picture, 0.05, (&frame, 6.5)), []);
        });
    }

    #[test]
    fn any_size_gives_a_picture() {
        with(9, |picture, _| {
            let frame = Projection::Frame(outing().view());
            for size in [
                (0, 0),
                (0, 9),
                (9, 0),
                (1, 1),
                (usize::MAX, 1),
                (3, usize::MAX),
            ] {
                for tones in [
                    picture.tones(AT, &frame, size),
                    picture.slit_tones(&slit(), size),
                ] {
                    let want = (size.0.min(MAX_SIDE), size.1.min(MAX_SIDE));
                    assert_eq!((tones.width, tones.height), want);
                    assert_eq!(tones.values.len(), want.0 * want.1);
                }
            }
            let twice = [(); 2].map(|()| picture.tones(AT, &frame, (90, 135)));
            assert_eq!(twice[0], twice[1]);
        });
    }

    /// Beyond the circle that a fisheye fills there is nothing, also within a step of its edge.
    #[test]
    fn a_fisheye_has_dark_corners() {
        with(28, |picture, _| {
            let mut outing = outing();
            outing.kit.lens = Lens {
                projection: LensProjection::Equidistant,
                focal_mm: 4.0,
                ..outing.kit.lens
            };
            let view = outing.view();
            let frame = Projection::Frame(view);
            let tones = picture.tones(AT, &frame, (60, 90));
            for y in 0..90 {
                for x in 0..60 {
                    let place = ((f64::from(x) + 0.5) / 60.0, (f64::from(y) + 0.5) / 90.0);
                    let has_image = frame.direction_at(place).is_some();
                    assert_eq!(tone_at(&tones, place) > 0.0, has_image, "{place:?}");
                }
            }
        });
    }

    /// Antares, ICRS 16h29m24.5s −26°25′55″ (the Hipparcos catalogue), is the brightest star of the
    /// frame, and dimmed by the air.
    #[test]
    fn stars_stand_in_their_places() {
        with(9, |picture, night| {
            let frame = Projection::Frame(outing().view());
            let stars = stars_in(&picture, AT, (&frame, 6.5));
            let [right_ascension, declination] = [247.352, -26.432].map(Angle::from_degrees);
            let antares = Vector::from_spherical(right_ascension, declination);
            let moment = night.start().plus_days(AT);
            let sky = night.observer().celestial_to_horizontal(moment);
            let there = refract(picture.site_sky.air(), sky.apply(antares));
            let want = frame.place_of(there).expect("in the frame");
            let near = |star: &&PictureStar| {
                (f64::from(star.x) - want.0).hypot(f64::from(star.y) - want.1) < 2e-3
            };
            let star = stars.iter().find(near).expect("Antares");
            assert!((1.1..2.2).contains(&star.magnitude), "{star:?}");
            assert!((100..250).contains(&stars.len()), "{}", stars.len());
            assert!(stars_in(&picture, AT, (&frame, 4.0)).len() < stars.len() / 2);
        });
    }

    /// A star in the slit picture is at the core's bearing at that minute.
    #[test]
    fn stars_pass_the_slit_when_it_looks_at_them() {
        with(9, |picture, night| {
            let mut slit = slit();
            slit.span = Span {
                start: 0.4,
                end: 0.6,
            };
            let passing = picture.slit_stars(&slit, 5.0);
            assert!(passing.len() > 5, "{}", passing.len());
            for star in passing {
                let at = slit.time_at(star.x.into());
                let core = night.topocentric(SkyBody::Subject, at).horizontal();
                let there = Vector::from_bearing(core.bearing, slit.altitude_at(star.y.into()));
                let strip = Strip {
                    from: Angle::from_degrees(core.bearing.degrees() - 2.0),
                    to: Angle::from_degrees(core.bearing.degrees() + 2.0),
                    ..strip()
                };
                let still = stars_in(&picture, at, (&Projection::Strip(strip), 6.0));
                let away = still.iter().map(|other| {
                    let place = (other.x.into(), other.y.into());
                    let other = Projection::Strip(strip).direction_at(place);
                    other.expect("a direction").angle_to(there).degrees()
                });
                let nearest = away.fold(f64::INFINITY, f64::min);
                assert!(nearest < 0.2, "{star:?}: {nearest}°");
            }
        });
    }
}
