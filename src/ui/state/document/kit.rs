//! Edits of the kit in use.

use crate::camera::distortion::Distortion;
use crate::camera::lens::{Lens, Projection, StarWidth};
use crate::camera::photo::PhotoFacts;
use crate::camera::sensor::Sensor;
use crate::outing::plan::Outing;
use crate::outing::plan::camera_body::CameraClock;
use crate::outing::plan::kit::{Kit, next_focal_mm};
use crate::outing::share::query::LONGEST_NAME;
use crate::ui::text::photo::kit_from_photo;

/// An edit of the kit in use.
#[derive(Debug, Clone)]
pub enum KitEdit {
    /// What the owner calls it.
    Name(String),
    /// Size and pixels of the sensor.
    Sensor(Sensor),
    /// True focal length, mm.
    FocalLength(f64),
    /// One usual focal length up, else down.
    StepFocalLength(bool),
    /// The widest f-number; also the one in use from now on.
    WidestAperture(f64),
    /// How the lens maps the sky.
    Projection(Projection),
    /// Both distortion coefficients.
    Distortion(Distortion),
    /// Width of a star that stands still, in the middle and in the corner; `None` = not known.
    StarWidth(Option<StarWidth>),
    /// Light lost in the corners, stops; `None` = not known.
    CornerFalloff(Option<f64>),
    /// The lens, as a frame shows it.
    Lens(Lens),
    /// What a photo says of the camera.
    FromPhoto(PhotoFacts),
    /// What is known of the body.
    Body(BodyEdit),
    /// A saved kit.
    Use(Box<Kit>),
}

/// An edit of what is known of the body; `None` = not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BodyEdit {
    /// Time between exposures, s.
    WriteTime(Option<f64>),
    /// Size of a file, MB.
    FileSize(Option<f64>),
    /// Minutes of exposures on a charge.
    Charge(Option<f64>),
    /// Share of the light that comes through the lens, 0 to 1.
    Transmission(Option<f64>),
    /// Read noise at an ISO, electrons.
    ReadNoise(f64, Option<f64>),
    /// Electrons for each photon, 0 to 1.
    QuantumEfficiency(Option<f64>),
    /// Dark current, electrons a second.
    DarkCurrent(Option<f64>),
    /// Full well, electrons.
    FullWell(Option<f64>),
    /// How the camera's clock stands.
    Clock(Option<CameraClock>),
}

impl KitEdit {
    /// Applies the edit.
    pub(in crate::ui) fn apply(self, outing: &mut Outing) {
        let kit = &mut outing.kit;
        match self {
            Self::Name(name) => kit.name = name.trim().chars().take(LONGEST_NAME).collect(),
            Self::Sensor(sensor) => *kit = kit.with_sensor(sensor),
            Self::FocalLength(focal_mm) => kit.lens = kit.lens.with_focal_mm(focal_mm),
            Self::StepFocalLength(up) => {
                let focal_mm = next_focal_mm(kit.lens.focal_mm, up);
                kit.lens = kit.lens.with_focal_mm(focal_mm);
            }
            Self::WidestAperture(f_number) => {
                kit.lens.f_number = f_number;
                outing.f_number = f_number;
            }
            Self::Projection(projection) => kit.lens.projection = projection,
            Self::Distortion(distortion) => kit.lens.distortion = distortion,
            Self::StarWidth(width) => kit.lens.star_width = width,
            Self::CornerFalloff(stops) => kit.lens.corner_falloff_stops = stops,
            Self::Lens(lens) => kit.lens = lens,
            Self::FromPhoto(facts) => {
                let (kit, _) = kit_from_photo(&outing.kit, facts);
                Self::Use(Box::new(kit)).apply(outing);
            }
            Self::Body(edit) => edit.apply(kit),
            Self::Use(kit) => {
                outing.f_number = kit.lens.f_number;
                outing.kit = *kit;
            }
        }
    }
}

impl BodyEdit {
    fn apply(self, kit: &mut Kit) {
        let body = &mut kit.body;
        match self {
            Self::WriteTime(seconds) => body.write_s = seconds,
            Self::FileSize(megabytes) => body.file_mb = megabytes,
            Self::Charge(minutes) => body.charge_min = minutes,
            Self::Transmission(share) => body.transmitted = share,
            Self::ReadNoise(iso, electrons) => {
                body.read_noise.retain(|(known, _)| *known != iso);
                if let Some(electrons) = electrons {
                    body.insert_read_noise(iso, electrons);
                }
            }
            Self::QuantumEfficiency(share) => body.quantum = share,
            Self::DarkCurrent(electrons_s) => body.dark_e_s = electrons_s,
            Self::FullWell(electrons) => body.full_well_e = electrons,
            Self::Clock(clock) => body.clock = clock,
        }
    }
}
