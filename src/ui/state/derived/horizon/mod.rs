//! The horizon strip: the skyline all round, the core's path over it, and where core and Moon
//! stand at the minute looked at.
//!
//! Places are degrees: to the right of the strip's left end, and above the level horizon.

pub mod directions;
mod frame_outline;

use std::rc::Rc;

use chrono::NaiveDate;

use super::Derived;
use super::memo::Memo;
use super::night_band::NightBand;
use super::selected_night::SelectedNight;
use crate::angle::Angle;
use crate::outing::plan::Outing;
use crate::outing::plan::site::Site;
use crate::sky::almanac::SkyBody;
use crate::sky::observer::Horizontal;
use crate::sky::subject::Subject;
use crate::ui::state::State;
use crate::ui::state::routes::Screen;
use directions::{along_band, moon_lit_towards};
use frame_outline::outline_on_strip;

/// Altitude at the upper edge at the least, degrees.
const LEAST_TOP_DEG: f64 = 45.0;

/// Room above the highest point of the core's path, degrees.
const ROOM_DEG: f64 = 12.0;

/// Bearing step of the skyline, degrees.
const SKYLINE_STEP_DEG: f64 = 1.0;

/// Time between points of the core's path, days.
pub(super) const PATH_STEP_DAYS: f64 = 8.0 / 1440.0;

/// How far from the middle the camera may point before the strip turns with it, degrees.
const TURNS_AFTER_DEG: f64 = 40.0;

/// The strip turns by so many degrees at a time, so that it stands still while the sky is dragged.
const TURN_DEG: f64 = 10.0;

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
        let count = ((band.span.end - band.span.start) / PATH_STEP_DAYS).ceil() as usize;
        for step in 0..=count {
            let at = (band.span.start + step as f64 * PATH_STEP_DAYS).min(band.span.end);
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

impl Derived {
    /// The frame's outline on the strip; empty on screens that show no frame.
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
        let count = ((span.end - span.start) / PATH_STEP_DAYS).ceil() as usize;
        let mut before: Option<(f64, f64)> = None;
        for step in 0..=count {
            let at = (span.start + step as f64 * PATH_STEP_DAYS).min(span.end);
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
pub(super) mod tests {
    use super::*;
    use crate::camera::frame::Frame;

    pub(super) fn aimed(latitude_deg: f64, bearing_deg: f64) -> Outing {
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
}
