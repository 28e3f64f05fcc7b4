//! The longest exposure of each frame of a panorama.
//!
//! The frames of a panorama cover parts of the sky that drift at different speeds: at the celestial
//! equator stars move a seventh faster than at the core. All frames have one exposure, so that they
//! join, and the frame that allows the least decides it.

use crate::angle::Angle;
use crate::camera::clean_time::{CleanTime, centre_clean_time};
use crate::camera::dial::{DialTime, Shutter};
use crate::camera::fastest::Search;
use crate::camera::frame::Frame;
use crate::camera::view::{SensorPoint, View};
use crate::outing::framing::panorama::PanoramaPlan;
use crate::outing::plan::{KeepSharp, Outing};

/// Where a frame must stay sharp.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SharpAt {
    /// At the core, in a frame that contains it.
    Core,
    /// In the middle of its sky.
    Middle,
    /// At its fastest place.
    Worst,
    /// At a given declination, wherever it points.
    Declination,
}

/// The longest exposure of one frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrameLimit {
    /// Its number in the order of shooting, from 1.
    pub number: u32,
    /// Where it points.
    pub frame: Frame,
    /// The longest exposure within the trail allowed.
    pub longest: CleanTime,
    /// What decides it.
    pub at: SharpAt,
}

impl FrameLimit {
    /// Seconds, infinite without a limit.
    fn seconds(&self) -> f64 {
        self.longest.seconds().unwrap_or(f64::INFINITY)
    }

    /// The dial setting for it, the longest or shortest where there is none.
    pub fn shutter(&self) -> Shutter {
        DialTime::new(self.longest).setting()
    }
}

/// The longest exposure of every frame of a plan that contains sky, in the order of shooting.
///
/// What must stay sharp is the outing's: for the core it is the core where that is in the frame,
/// else the middle of the frame's sky; for the whole frame each one's fastest place above the
/// horizon. `core` is the core's true bearing and altitude.
pub fn frame_limits<'a>(
    outing: &'a Outing,
    plan: &'a PanoramaPlan,
    core: (Angle, Angle),
) -> impl Iterator<Item = FrameLimit> + 'a {
    let allowed_um = outing.allowed_px() * outing.kit.sensor.pitch_um();
    let one = move |(place, frame): (usize, Frame)| {
        let view = outing.view_of(frame);
        let (at, point) = sharp_at(&view, outing.keep_sharp, core)?;
        let longest = match outing.keep_sharp {
            KeepSharp::Declination(declination) => {
                centre_clean_time(view.lens.focal_mm, declination, allowed_um)
            }
            _ => view.clean_time_at(point, allowed_um)?,
        };
        Some(FrameLimit {
            number: place as u32 + 1,
            frame,
            longest,
            at,
        })
    };
    plan.frames().enumerate().filter_map(one)
}

/// The frame that allows the least; `None` where no frame contains sky. Of equal ones, the first.
pub fn limiting_frame(
    outing: &Outing,
    plan: &PanoramaPlan,
    core: (Angle, Angle),
) -> Option<FrameLimit> {
    let shorter = |one: FrameLimit, other: FrameLimit| {
        if other.seconds() < one.seconds() * (1.0 - 1e-9) {
            other
        } else {
            one
        }
    };
    frame_limits(outing, plan, core).reduce(shorter)
}

/// What must stay sharp in a frame, and its image point; `None` without sky in the frame.
fn sharp_at(
    view: &View,
    keep_sharp: KeepSharp,
    (bearing, altitude): (Angle, Angle),
) -> Option<(SharpAt, SensorPoint)> {
    let middle = middle_of_sky(view)?;
    let core = || {
        let up = altitude > Angle::ZERO;
        let place = view.place_of(bearing, altitude).filter(|_| up)?;
        Some((SharpAt::Core, place))
    };
    Some(match keep_sharp {
        KeepSharp::Declination(_) => (SharpAt::Declination, middle),
        KeepSharp::WholeFrame => (SharpAt::Worst, view.fastest(Search::AboveHorizon)?.point),
        KeepSharp::Centre => (SharpAt::Middle, middle),
        KeepSharp::Core => core().unwrap_or((SharpAt::Middle, middle)),
    })
}

/// The middle of the frame, or, where that is ground, of the sky above it on the frame's vertical
/// middle line.
fn middle_of_sky(view: &View) -> Option<SensorPoint> {
    const PARTS: u32 = 8;
    const HALVINGS: u32 = 30;
    let at = |y_mm: f64| SensorPoint { x_mm: 0.0, y_mm };
    let up = |y_mm: f64| {
        let altitude = view.altitude_at(at(y_mm));
        altitude.is_some_and(|altitude| altitude > Angle::ZERO)
    };
    if up(0.0) {
        return Some(SensorPoint::CENTRE);
    }
    // a fisheye may have no image at the frame's upper edge
    let part = |part: u32| view.sensor.height_mm / 2.0 * f64::from(part) / f64::from(PARTS);
    let top = (1..=PARTS).rev().map(part).find(|y_mm| up(*y_mm))?;
    let (mut low, mut high) = (0.0, top);
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if up(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(at((high + top) / 2.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::drift::centre_speed_um_s;
    use crate::outing::framing::panorama::area::Area;
    use crate::outing::framing::panorama::click_stops::ClickStops;
    use crate::outing::framing::panorama::{OVERLAP, PanoramaSettings};
    use crate::outing::plan::Orientation;

    const FOCAL_MM: f64 = 50.0;

    fn angle(degrees: f64) -> Angle {
        Angle::from_degrees(degrees)
    }

    /// 50 mm upright at 36° N, keeping something sharp.
    fn outing(keep_sharp: KeepSharp) -> Outing {
        let mut outing = Outing {
            orientation: Orientation::Portrait,
            keep_sharp,
            ..Outing::default()
        };
        outing.kit.lens.focal_mm = FOCAL_MM;
        outing
    }

    fn plan(outing: &Outing, left: f64, width: f64, (low, high): (f64, f64)) -> PanoramaPlan {
        let view = outing.view();
        let wanted = PanoramaSettings {
            sensor: view.sensor,
            lens: view.lens,
            area: Area {
                left: angle(left),
                width: angle(width),
                low: angle(low),
                high: angle(high),
            },
            overlap: OVERLAP,
            clicks: ClickStops::Free,
            exposure_s: 8.0,
            pause_s: 2.0,
        };
        wanted.plan().expect("a plan")
    }

    /// The core due south at its highest over 36° N.
    const CORE: (f64, f64) = (180.0, 25.0);

    /// A row from south to east crosses the celestial equator, which rises due east: each
    /// frame allows what the formula for the frame's middle gives, allowed/(1000 ω f cos δ)
    /// with sin δ = sin φ sin h + cos φ cos h cos A of where it points, and the frame nearest the
    /// equator decides.
    #[test]
    fn each_frame_has_the_time_of_its_own_sky() {
        let outing = outing(KeepSharp::Centre);
        let plan = plan(&outing, 80.0, 130.0, (2.0, 30.0));
        let phi = outing.site.latitude;
        let allowed_um = outing.allowed_px() * outing.kit.sensor.pitch_um();
        let core = (angle(CORE.0), angle(CORE.1));
        let mut smallest = (f64::INFINITY, 0);
        let limits: Vec<FrameLimit> = frame_limits(&outing, &plan, core).collect();
        assert_eq!(limits.len() as u32, plan.count());
        assert!(limits.len() > 3, "{plan:?}");
        for limit in &limits {
            let (h, a) = (limit.frame.tilt, limit.frame.bearing);
            assert!(h > Angle::ZERO, "the middle is sky");
            let sin = phi.sin() * h.sin() + phi.cos() * h.cos() * a.cos();
            let declination = Angle::from_radians(sin.asin());
            let want = allowed_um / centre_speed_um_s(FOCAL_MM, declination);
            let got = limit.longest.seconds().expect("a limit");
            assert!((got / want - 1.0).abs() < 1e-4, "{limit:?}: want {want} s");
            let from_equator = declination.degrees().abs();
            if from_equator < smallest.0 {
                smallest = (from_equator, limit.number);
            }
        }
        let limiting = limiting_frame(&outing, &plan, core).expect("sky");
        assert_eq!(limiting.number, smallest.1);
        // computed by hand: 12 µm at 50 mm on the equator are 3.291 s, 3.763 s at the core
        let seconds = limiting.longest.seconds().expect("a limit");
        assert!((3.29..3.36).contains(&seconds), "{seconds} s");
        assert_eq!(limiting.shutter().mark(), "3.2");
    }

    /// For the core the frame that contains it is limited there, the others by their middles; for
    /// the whole frame every one allows less, and for a declination all allow the same.
    #[test]
    fn what_must_stay_sharp_is_the_outings() {
        let core = (angle(CORE.0), angle(CORE.1));
        let limits = |keep_sharp| -> Vec<FrameLimit> {
            let outing = outing(keep_sharp);
            let plan = plan(&outing, 80.0, 130.0, (2.0, 30.0));
            frame_limits(&outing, &plan, core).collect()
        };
        let by_core = limits(KeepSharp::Core);
        let holding: Vec<&FrameLimit> =
            by_core.iter().filter(|it| it.at == SharpAt::Core).collect();
        assert!((1..by_core.len()).contains(&holding.len()), "{by_core:?}");
        let worst = limits(KeepSharp::WholeFrame);
        for (middle, worst) in limits(KeepSharp::Centre).iter().zip(&worst) {
            assert!(worst.seconds() < middle.seconds(), "{middle:?}, {worst:?}");
            assert_eq!(worst.at, SharpAt::Worst);
        }
        let alike = limits(KeepSharp::Declination(angle(-29.0078)));
        for limit in alike {
            assert!((limit.seconds() - 3.763).abs() < 1e-3, "{limit:?}");
        }
    }

    /// Rows of ground have no limit, and a row whose middles are ground is limited by the sky above
    /// them.
    #[test]
    fn ground_has_no_time() {
        let outing = outing(KeepSharp::Core);
        let core = (angle(CORE.0), angle(CORE.1));
        let below = plan(&outing, 120.0, 100.0, (-89.0, -50.0));
        assert_eq!(frame_limits(&outing, &below, core).count(), 0);
        assert_eq!(limiting_frame(&outing, &below, core), None);
        let foot = plan(&outing, 120.0, 100.0, (-40.0, 10.0));
        let limits: Vec<FrameLimit> = frame_limits(&outing, &foot, core).collect();
        assert!(!limits.is_empty());
        for limit in limits.iter().filter(|it| it.frame.tilt < Angle::ZERO) {
            let view = outing.view_of(limit.frame);
            let point = middle_of_sky(&view).expect("sky");
            let altitude = view.altitude_at(point).expect("a picture");
            assert!(altitude > Angle::ZERO, "{altitude:?}");
            assert!(limit.seconds() < 15.0, "{limit:?}");
        }
    }
}
