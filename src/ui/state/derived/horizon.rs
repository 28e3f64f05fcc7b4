//! The horizon strip: the skyline all round, the core's path over it, and where core and Moon
//! stand at the minute looked at.
//!
//! Places are degrees: to the right of the strip's left end, and above the level horizon.

use std::rc::Rc;

use chrono::NaiveDate;

use super::Derived;
use super::memo::Memo;
use super::night_band::NightBand;
use super::selected_night::{SelectedNight, days_of};
use crate::angle::Angle;
use crate::camera::view::View;
use crate::outing::framing::panorama::outline::outline;
use crate::outing::plan::Outing;
use crate::outing::plan::site::Site;
use crate::sky::almanac::SkyBody;
use crate::sky::celestial_to_horizontal::horizontal;
use crate::sky::galaxy::{from_galactic, to_galactic};
use crate::sky::observer::Horizontal;
use crate::sky::subject::Subject;
use crate::ui::state::State;
use crate::ui::state::routes::Screen;

/// Altitude at the upper edge at the least, degrees.
const LEAST_TOP_DEG: f64 = 45.0;

/// Room above the highest point of the core's path, degrees.
const ROOM_DEG: f64 = 12.0;

/// Bearing step of the skyline, degrees.
const SKYLINE_STEP_DEG: f64 = 1.0;

/// Time between points of the core's path, days.
const PATH_STEP: f64 = 8.0 / 1440.0;

/// How far from the middle the camera may point before the strip turns with it, degrees.
const TURNS_AFTER_DEG: f64 = 40.0;

/// The strip turns by so many degrees at a time, so that it stands still while the sky is dragged.
const TURN_DEG: f64 = 10.0;

/// Above the upper edge of any strip, degrees.
const ZENITH_DEG: f64 = 90.0;

/// A place: degrees from the left end, and of altitude.
pub type StripPlace = (f64, f64);

/// What a [`Horizon`] depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct HorizonInputs {
    site: Site,
    subject: Subject,
    date: NaiveDate,
    left_deg: f64,
    span_deg: f64,
    windows: Vec<(f64, f64)>,
}

/// The part that does not change with the minute.
#[derive(Debug, Clone, PartialEq)]
pub struct Horizon {
    /// Bearing at the left end, degrees.
    pub left_deg: f64,
    /// Bearings from end to end, degrees.
    pub span_deg: f64,
    /// Altitude at the upper edge, degrees.
    pub top_deg: f64,
    /// Altitude of the skyline each degree from the left end.
    pub skyline: Vec<StripPlace>,
    /// The core's path over the skyline, in pieces.
    pub path: Vec<Vec<StripPlace>>,
    /// Its parts in a shot window.
    pub windows: Vec<Vec<StripPlace>>,
}

/// Where core and Moon stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HorizonBodies {
    /// The core, where it is above the skyline.
    pub core: Option<StripPlace>,
    /// Direction of the band at the core: to the right and up.
    pub along_band: (f64, f64),
    /// The Moon, where it is above the level horizon.
    pub moon: Option<MoonOnStrip>,
}

/// The Moon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoonOnStrip {
    /// Where it stands.
    pub place: StripPlace,
    /// Illuminated fraction.
    pub lit: f64,
    /// Direction of the Sun as seen from it: to the right and up.
    pub lit_towards: (f64, f64),
}

impl Horizon {
    /// A bearing as degrees from the left end, 0 to under 360.
    pub fn across(&self, bearing: Angle) -> f64 {
        (bearing.degrees() - self.left_deg).rem_euclid(360.0)
    }

    fn new(inputs: &HorizonInputs, selected: &SelectedNight, band: &NightBand) -> Self {
        let night = &selected.night;
        let sky = night.site_sky.night(night.date);
        let mut horizon = Self {
            left_deg: inputs.left_deg,
            span_deg: inputs.span_deg,
            top_deg: LEAST_TOP_DEG,
            skyline: Vec::new(),
            path: Vec::new(),
            windows: Vec::new(),
        };
        let steps = (inputs.span_deg / SKYLINE_STEP_DEG).ceil() as usize;
        let ridge = night.site_sky.ridge();
        horizon.skyline = (0..=steps)
            .map(|step| {
                let across = (step as f64 * SKYLINE_STEP_DEG).min(inputs.span_deg);
                let bearing = Angle::from_degrees((inputs.left_deg + across).rem_euclid(360.0));
                (across, ridge.height(bearing).degrees())
            })
            .collect();
        let in_window = |at: f64| {
            let within = |(from, to): &(f64, f64)| (*from..=*to).contains(&at);
            inputs.windows.iter().any(within)
        };
        let mut last: Option<(StripPlace, bool)> = None;
        let count = ((band.span.end - band.span.start) / PATH_STEP).ceil() as usize;
        for step in 0..=count {
            let at = (band.span.start + step as f64 * PATH_STEP).min(band.span.end);
            let core = sky.topocentric(SkyBody::Subject, at).horizontal();
            let altitude_deg = night.site_sky.apparent_altitude(core).0.degrees();
            let place = (horizon.across(core.bearing), altitude_deg);
            let clear =
                altitude_deg > ridge.height(core.bearing).degrees() && place.0 <= inputs.span_deg;
            if !clear {
                last = None;
                continue;
            }
            horizon.top_deg = horizon.top_deg.max((altitude_deg + ROOM_DEG).min(90.0));
            // across the ends of the strip a path begins anew
            let near = last.is_some_and(|(before, _)| (before.0 - place.0).abs() < 90.0);
            let lit = in_window(at);
            if !near {
                horizon.path.push(Vec::new());
            }
            push(&mut horizon.path, place);
            if lit {
                if !near || !last.is_some_and(|(_, was_lit)| was_lit) {
                    horizon.windows.push(Vec::new());
                }
                push(&mut horizon.windows, place);
            }
            last = Some((place, lit));
        }
        horizon
    }

    fn bodies(&self, selected: &SelectedNight) -> HorizonBodies {
        let night = &selected.night;
        let reading = &selected.reading;
        let place = |body: Horizontal| {
            let altitude_deg = night.site_sky.apparent_altitude(body).0.degrees();
            (self.across(body.bearing), altitude_deg)
        };
        let shown = |place: StripPlace, above_deg: f64| {
            (place.0 <= self.span_deg && place.1 > above_deg).then_some(place)
        };
        let over = night
            .site_sky
            .ridge()
            .height(reading.core.bearing)
            .degrees();
        let moon = shown(place(reading.moon), 0.0);
        HorizonBodies {
            core: shown(place(reading.core), over),
            along_band: along_band(selected),
            moon: moon.map(|place| MoonOnStrip {
                place,
                lit: reading.lit,
                lit_towards: moon_lit_towards(selected),
            }),
        }
    }
}

fn push(pieces: &mut [Vec<StripPlace>], place: StripPlace) {
    if let Some(piece) = pieces.last_mut() {
        piece.push(place);
    }
}

/// Direction on the sky from one body to another: to the right and up, of length 1.
pub fn towards(from: Horizontal, to: Horizontal) -> (f64, f64) {
    let turn = Angle::from_degrees(to.bearing.degrees() - from.bearing.degrees());
    let (here, there) = (from.altitude.0, to.altitude.0);
    let right = there.cos() * turn.sin();
    let up = there.sin() * here.cos() - there.cos() * here.sin() * turn.cos();
    let length = right.hypot(up).max(1e-9);
    (right / length, up / length)
}

/// Direction of the Moon's lit side at the minute looked at: to the right and up, of length 1.
pub fn moon_lit_towards(selected: &SelectedNight) -> (f64, f64) {
    towards(selected.reading.moon, selected.reading.sun)
}

/// Direction of the galactic equator at the core: to the right and up, of length 1.
pub fn along_band(selected: &SelectedNight) -> (f64, f64) {
    let (core, ahead) = core_and_ahead(selected);
    towards(core, ahead)
}

/// The core at the minute looked at, and a place three degrees along the galactic equator from it.
pub(super) fn core_and_ahead(selected: &SelectedNight) -> (Horizontal, Horizontal) {
    const STEP_DEG: f64 = 3.0;
    let night = &selected.night;
    let sky = night.site_sky.night(night.date);
    let moment = sky.start().plus_days(days_of(selected.minute));
    let turned = sky.observer().celestial_to_horizontal(moment);
    let core = selected.night.subject.direction();
    let (longitude, latitude) = to_galactic(core);
    let ahead = from_galactic(
        Angle::from_degrees(longitude.degrees() + STEP_DEG),
        latitude,
    );
    (
        horizontal(turned.apply(core)),
        horizontal(turned.apply(ahead)),
    )
}

/// The outline of a frame on a strip, in closed pieces: [`outline`]'s, and over the zenith along
/// the strip's upper side.
fn outline_on_strip(horizon: &Horizon, view: &View) -> Vec<Vec<StripPlace>> {
    let mut pieces = Vec::new();
    for piece in outline(view) {
        let Some((first, last)) = piece.first().zip(piece.last()) else {
            continue;
        };
        let turned_deg = last.0.degrees() - first.0.degrees();
        let middle_deg = piece.iter().map(|at| at.0.degrees()).sum::<f64>() / piece.len() as f64;
        // the piece about the strip's middle, and its neighbours a turn away, which reach over the
        // ends of a strip that shows all bearings
        let off_deg = middle_deg - horizon.left_deg - horizon.span_deg / 2.0;
        let shift_deg = -360.0 * (off_deg / 360.0).round() - horizon.left_deg;
        for turn_deg in [-360.0, 0.0, 360.0] {
            let place = |(bearing, altitude): &(Angle, Angle)| {
                (bearing.degrees() + shift_deg + turn_deg, altitude.degrees())
            };
            let mut places: Vec<StripPlace> = piece.iter().map(place).collect();
            let seen = places
                .iter()
                .any(|at| (0.0..=horizon.span_deg).contains(&at.0));
            if turned_deg.abs() > 180.0 {
                let ends = [places[places.len() - 1].0, places[0].0];
                places.extend(ends.map(|across| (across, ZENITH_DEG)));
            }
            if seen {
                pieces.push(places);
            }
        }
    }
    pieces
}

impl Derived {
    /// The frame's outline on the strip, see [`outline`]; empty on screens that show no frame.
    pub fn frame_outline(&self, state: &State, horizon: &Horizon) -> Vec<Vec<StripPlace>> {
        let shown = match state.routes.screen {
            Screen::Framing => true,
            Screen::Night => state.layout.is_desk(),
            _ => false,
        };
        if shown {
            outline_on_strip(horizon, &self.answer(state).view)
        } else {
            Vec::new()
        }
    }

    /// The horizon strip, and what stands on it at the minute looked at.
    pub fn horizon(&self, state: &State) -> (Rc<Horizon>, HorizonBodies) {
        let span_deg = state.layout.strip_span_deg();
        let left_deg = left_deg(state.outing(), span_deg);
        self.horizon_of(state, &self.horizon, (left_deg, span_deg))
    }

    /// The horizon of a sheet, over other bearings: from one, so many degrees to the right.
    pub fn sheet_horizon(
        &self,
        state: &State,
        left: Angle,
        span_deg: f64,
    ) -> (Rc<Horizon>, HorizonBodies) {
        self.horizon_of(state, &self.sheet_horizon, (left.degrees(), span_deg))
    }

    fn horizon_of(
        &self,
        state: &State,
        memo: &Memo<HorizonInputs, Horizon>,
        (left_deg, span_deg): (f64, f64),
    ) -> (Rc<Horizon>, HorizonBodies) {
        let selected = self.night(state);
        let outing = state.outing();
        let windows = &selected.night.evening.usable.windows;
        let inputs = HorizonInputs {
            site: outing.site.clone(),
            subject: outing.subject,
            date: selected.night.date,
            left_deg,
            span_deg,
            windows: windows
                .iter()
                .map(|window| (window.span.start, window.span.end))
                .collect(),
        };
        let horizon = memo.get(inputs, |inputs| {
            Horizon::new(inputs, &selected, &self.night_band(state))
        });
        let bodies = horizon.bodies(&selected);
        (horizon, bodies)
    }

    /// When the subject passes a bearing in the night, above the skyline there, days since noon;
    /// `None` where it does not. To half a minute, which is how far the line between two moments
    /// the path’s step apart is off where it turns fastest below 80° of altitude.
    pub fn subject_passes(&self, state: &State, bearing: Angle) -> Option<f64> {
        let selected = self.night(state);
        let (night, span) = (&selected.night, self.night_band(state).span);
        let sky = night.site_sky.night(night.date);
        let off_deg = |at: f64| {
            let subject = sky.topocentric(SkyBody::Subject, at).horizontal();
            (subject.bearing.degrees() - bearing.degrees() + 180.0).rem_euclid(360.0) - 180.0
        };
        let count = ((span.end - span.start) / PATH_STEP).ceil() as usize;
        let mut before: Option<(f64, f64)> = None;
        for step in 0..=count {
            let at = (span.start + step as f64 * PATH_STEP).min(span.end);
            let off = off_deg(at);
            let last = before.replace((at, off));
            // the jump behind the observer is no passage
            let passed = last
                .filter(|(_, last)| last.signum() != off.signum())
                .filter(|(_, last)| (last - off).abs() < 90.0);
            if let Some((last_at, last)) = passed {
                let at = last_at + (at - last_at) * last / (last - off);
                let subject = sky.topocentric(SkyBody::Subject, at).horizontal();
                let altitude = night.site_sky.apparent_altitude(subject).0;
                if altitude > night.site_sky.ridge().height(bearing) {
                    return Some(at);
                }
            }
        }
        None
    }
}

/// Bearing at the left end: the middle is the meridian that the core crosses, turned as far as the
/// camera needs to be in sight.
fn left_deg(outing: &Outing, span_deg: f64) -> f64 {
    let pointing = outing.pointing();
    // on the meridian the camera looks north or south
    let meridian_deg = pointing.highest.bearing.degrees();
    let aim = pointing.frame.bearing;
    if span_deg >= 360.0 {
        return (meridian_deg - 180.0_f64).rem_euclid(360.0);
    }
    let off_deg = (aim.degrees() - meridian_deg + 180.0).rem_euclid(360.0) - 180.0;
    let beyond_deg = off_deg - off_deg.clamp(-TURNS_AFTER_DEG, TURNS_AFTER_DEG);
    let turn_deg = (beyond_deg.abs() / TURN_DEG - 1e-9).ceil() * TURN_DEG * beyond_deg.signum();
    (meridian_deg + turn_deg - span_deg / 2.0).rem_euclid(360.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::frame::Frame;

    fn aimed(latitude_deg: f64, bearing_deg: f64) -> Outing {
        let mut outing = Outing {
            frame: Some(Frame {
                bearing: Angle::from_degrees(bearing_deg),
                tilt: Angle::from_degrees(20.0),
                roll: Angle::ZERO,
            }),
            ..Outing::default()
        };
        outing.site.latitude = Angle::from_degrees(latitude_deg);
        outing
    }

    #[test]
    fn the_strip_turns_when_the_camera_would_leave_it() {
        for (aim_deg, middle_deg) in [
            (170.0, 180.0),
            (220.0, 180.0),
            (250.0, 210.0),
            (90.0, 130.0),
        ] {
            let left = left_deg(&aimed(46.5, aim_deg), 150.0);
            let middle = (left + 75.0).rem_euclid(360.0);
            assert!((middle - middle_deg).abs() < 1e-9, "{aim_deg}: {middle}");
        }
        let south = left_deg(&aimed(-40.0, 0.0), 150.0);
        assert!((south - 285.0).abs() < 1e-9, "{south}");
    }

    fn strip(left_deg: f64, span_deg: f64) -> Horizon {
        Horizon {
            left_deg,
            span_deg,
            top_deg: 45.0,
            skyline: Vec::new(),
            path: Vec::new(),
            windows: Vec::new(),
        }
    }

    /// 20 mm level on 36 mm towards 190°: by hand a side of the frame at the horizon is
    /// atan(18/20) = 41.987° from the middle, so 43.0° and 127.0° from a left end at 105°. On a
    /// strip of all bearings that begins at 180°, it lies over both ends.
    #[test]
    fn the_frame_is_cut_out_where_it_looks() {
        let mut outing = aimed(46.5, 190.0);
        outing.frame = outing.frame.map(|frame| Frame {
            tilt: Angle::ZERO,
            ..frame
        });
        let across = |horizon: &Horizon| -> Vec<(f64, f64)> {
            let pieces = outline_on_strip(horizon, &outing.view());
            let ends = |piece: &Vec<StripPlace>| {
                let across = piece.iter().map(|place| place.0);
                (
                    across.clone().fold(f64::MAX, f64::min),
                    across.fold(f64::MIN, f64::max),
                )
            };
            pieces.iter().map(ends).collect()
        };
        let phone = across(&strip(105.0, 150.0));
        let [(left, right)] = phone[..] else {
            panic!("{phone:?}");
        };
        // the corners are above and below level, the middle of a side is widest
        assert!((left - 43.013).abs() < 0.01, "{left}");
        assert!((right - 126.987).abs() < 0.01, "{right}");
        let desk = across(&strip(180.0, 360.0));
        assert_eq!(desk.len(), 2, "{desk:?}");
        assert!(
            desk.iter().any(|ends| (ends.0 + 31.987).abs() < 0.01),
            "{desk:?}"
        );
        assert!(
            desk.iter().any(|ends| (ends.0 - 328.013).abs() < 0.01),
            "{desk:?}"
        );
    }

    /// Over the zenith the outline goes once around and is closed along the top.
    #[test]
    fn over_the_zenith_it_is_closed_along_the_top() {
        let mut outing = aimed(46.5, 190.0);
        outing.frame = outing.frame.map(|frame| Frame {
            tilt: Angle::from_degrees(80.0),
            ..frame
        });
        let pieces = outline_on_strip(&strip(0.0, 360.0), &outing.view());
        for piece in &pieces {
            let top = piece.iter().filter(|place| place.1 == ZENITH_DEG).count();
            assert_eq!(top, 2, "{piece:?}");
        }
        assert!(!pieces.is_empty());
    }

    /// At the equinox points of a sphere: due east of a body on the horizon lies to its right when
    /// one looks south, and a body straight above it lies up.
    #[test]
    fn directions_on_the_sky_are_those_of_the_eye() {
        use crate::sky::altitude::TrueAltitude;
        let body = |bearing_deg: f64, altitude_deg: f64| Horizontal {
            bearing: Angle::from_degrees(bearing_deg),
            altitude: TrueAltitude(Angle::from_degrees(altitude_deg)),
            distance_au: 1.0,
        };
        let west = towards(body(180.0, 0.0), body(190.0, 0.0));
        assert!((west.0 - 1.0).abs() < 1e-9 && west.1.abs() < 1e-9);
        let above = towards(body(10.0, 20.0), body(10.0, 50.0));
        assert!(above.0.abs() < 1e-9 && (above.1 - 1.0).abs() < 1e-9);
    }
}
