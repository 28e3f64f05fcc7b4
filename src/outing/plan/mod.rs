//! The outing itself: every input in one plain value.

pub mod bounds;
pub mod camera_body;
pub mod default_frame;
pub mod kit;
pub mod limits;
pub mod pointing;
pub mod site;

use chrono::NaiveDate;

use crate::angle::Angle;
use crate::camera::focus::Focus;
use crate::camera::frame::Frame;
use crate::camera::lens::Lens;
use crate::camera::sensor::Sensor;
use crate::camera::sharpness::Sharpness;
use crate::camera::view::View;
use crate::light::tracking::Mount;
use crate::outing::plan::kit::Kit;
use crate::outing::plan::limits::Limits;
use crate::outing::plan::pointing::Pointing;
use crate::outing::plan::site::Site;
use crate::sky::subject::Subject;

/// The place in the frame that must stay sharp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum KeepSharp {
    /// The subject, by default the core, where it is in the frame.
    Core,
    /// Every star above the horizon: the worst place in the frame.
    WholeFrame,
    /// The middle of the frame.
    Centre,
    /// A star of this declination, as if in the middle.
    Declination(Angle),
}

/// How the camera is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Orientation {
    /// Long side level.
    Landscape,
    /// Long side upright.
    Portrait,
}

/// The support of the camera.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Support {
    /// A fixed tripod.
    Tripod,
    /// A star tracker.
    Tracker,
}

/// Temperature and humidity at the site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weather {
    /// Temperature, °C.
    pub celsius: f64,
    /// Relative humidity, %.
    pub humidity_percent: f64,
}

/// Default surface brightness of the subject by itself, V magnitudes per square arcsecond: the
/// faint dust about the core and the outskirts of nebulae, two magnitudes below the core's
/// brightest clouds (from memory: 22 to 24). The same for every [`Subject`]: the winter band and
/// the outskirts of the Large Magellanic Cloud are about as bright (from memory).
pub const SUBJECT_BRIGHTNESS: f64 = 23.0;

/// Default total time, minutes.
pub const STACK_MIN: f64 = 10.0;

/// Minutes of a night, noon to noon.
pub const NIGHT_MIN: u16 = 1440;

/// Everything the photographer has chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Outing {
    /// The site.
    pub site: Site,
    /// What the night is planned about.
    pub subject: Subject,
    /// The limits of a shot window.
    pub limits: Limits,
    /// The date of the noon at which the night begins; `None` = tonight.
    pub night: Option<NaiveDate>,
    /// The selected minute, counted from that noon; `None` = the best one.
    pub minute: Option<u16>,
    /// Body and lens in use.
    pub kit: Kit,
    /// f-number in use.
    pub f_number: f64,
    /// The sharpness wanted.
    pub sharpness: Sharpness,
    /// Where stars must stay sharp.
    pub keep_sharp: KeepSharp,
    /// How the camera is held.
    pub orientation: Orientation,
    /// Where the camera points; `None` = the frame follows the subject, see
    /// [`default_frame`](default_frame::default_frame).
    pub frame: Option<Frame>,
    /// Where the lens is focused.
    pub focus: Focus,
    /// The support of the camera.
    pub support: Support,
    /// The tracker and its errors.
    pub mount: Mount,
    /// ISO; `None` = the suggested one.
    pub iso: Option<f64>,
    /// Total time on the sky, minutes.
    pub stack_min: f64,
    /// Surface brightness of the subject without extinction, V magnitudes per square arcsecond.
    pub subject_brightness: f64,
    /// Temperature and humidity, if typed.
    pub weather: Option<Weather>,
}

impl Default for Outing {
    /// The default outing: the default kit wide open at 36° N, two pixels at the core.
    fn default() -> Self {
        let kit = Kit::default();
        Self {
            site: Site::default(),
            subject: Subject::default(),
            limits: Limits::default(),
            night: None,
            minute: None,
            f_number: kit.lens.f_number,
            kit,
            sharpness: Sharpness::CloseLook,
            keep_sharp: KeepSharp::Core,
            orientation: Orientation::Landscape,
            frame: None,
            focus: Focus::Stars,
            support: Support::Tripod,
            mount: Mount::default(),
            iso: None,
            stack_min: STACK_MIN,
            subject_brightness: SUBJECT_BRIGHTNESS,
            weather: None,
        }
    }
}

impl Outing {
    /// The lens at the f-number in use.
    pub fn lens(&self) -> Lens {
        Lens {
            f_number: self.f_number,
            ..self.kit.lens
        }
    }

    /// Where the camera points.
    pub fn pointing(&self) -> Pointing {
        Pointing::new(self)
    }

    /// The frame that is proposed for a minute of a night, whatever frame was chosen.
    pub fn proposed_frame(&self, (date, minute): (NaiveDate, u16)) -> Frame {
        let unframed = Self {
            night: Some(date),
            minute: Some(minute),
            frame: None,
            ..self.clone()
        };
        unframed.pointing().frame
    }

    /// The view through the lens.
    pub fn view(&self) -> View {
        self.view_of(self.pointing().frame)
    }

    /// The view for another frame.
    pub fn view_of(&self, frame: Frame) -> View {
        View::new(self.held_sensor(), self.lens(), frame, self.site.latitude)
    }

    /// The sensor as the camera is held.
    pub fn held_sensor(&self) -> Sensor {
        match self.orientation {
            Orientation::Landscape => self.kit.sensor,
            Orientation::Portrait => self.kit.sensor.turned(),
        }
    }

    /// The trail allowed, pixels.
    pub fn allowed_px(&self) -> f64 {
        let sensor = self.kit.sensor;
        self.sharpness
            .pixels(sensor.pixels_across.max(sensor.pixels_down))
    }
}
