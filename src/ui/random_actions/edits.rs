//! Random edits of the document.

use super::draw::Draw;
use crate::angle::Angle;
use crate::camera::distortion::Distortion;
use crate::camera::focus::Focus;
use crate::camera::frame::Frame;
use crate::camera::lens::{Lens, Projection, StarWidth};
use crate::camera::photo::PhotoFacts;
use crate::camera::sensor::Sensor;
use crate::camera::sharpness::{Sharpness, Viewing};
use crate::land::ridge::Sighting;
use crate::land::survey::Surveyed;
use crate::light::tracking::TrackingRate;
use crate::outing::gazetteer::parse::Coordinates;
use crate::outing::plan::bounds;
use crate::outing::plan::camera_body::CameraClock;
use crate::outing::plan::kit::Kit;
use crate::outing::plan::limits::{DarknessLimit, MoonLimit};
use crate::outing::plan::site::{MOST_OFFSET_MIN, Site, Zone};
use crate::outing::plan::{KeepSharp, Orientation, Support, Weather};
use crate::outing::test_frame::offers::TakenFrame;
use crate::sky::subject::Subject;
use crate::ui::state::document::Edit;
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::state::document::framing::FramingEdit;
use crate::ui::state::document::kit::{BodyEdit, KitEdit};
use crate::ui::state::document::lists::ListsEdit;
use crate::ui::state::document::mount::MountEdit;
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::document::ridge::RidgeEdit;
use crate::ui::state::document::site::SiteEdit;

/// Any edit.
pub fn any(draw: &mut Draw) -> Edit {
    match draw.below(9) {
        0 => Edit::Kit(kit(draw)),
        1 => Edit::Site(site(draw)),
        2 => Edit::Ridge(ridge(draw)),
        3 => Edit::Exposure(exposure(draw)),
        4 => Edit::Framing(framing(draw)),
        5 => Edit::Night(night(draw)),
        6 => Edit::Mount(mount(draw)),
        7 => Edit::Lists(lists(draw)),
        _ => Edit::Weather(draw.flag().then(|| Weather {
            celsius: draw.within(bounds::CELSIUS),
            humidity_percent: draw.within(bounds::HUMIDITY),
        })),
    }
}

fn sensor(draw: &mut Draw) -> Sensor {
    Sensor {
        width_mm: draw.within(bounds::SENSOR_MM),
        height_mm: draw.within(bounds::SENSOR_MM),
        pixels_across: draw.within(bounds::SIDE_PX) as u32,
        pixels_down: draw.within(bounds::SIDE_PX) as u32,
    }
}

fn distortion(draw: &mut Draw) -> Distortion {
    let (k1, k2) = (draw.within(bounds::K1), draw.within(bounds::K2));
    bounds::distortion(k1, k2).unwrap_or(Distortion::NONE)
}

fn star_width(draw: &mut Draw) -> Option<StarWidth> {
    draw.flag().then(|| StarWidth {
        centre_px: draw.within(bounds::STAR_PX),
        corner_px: draw.within(bounds::STAR_PX),
    })
}

fn lens(draw: &mut Draw) -> Lens {
    Lens {
        focal_mm: draw.within(bounds::FOCAL_MM),
        f_number: draw.within(bounds::F_NUMBER),
        projection: draw.one(&Projection::ALL),
        distortion: distortion(draw),
        star_width: star_width(draw),
        corner_falloff_stops: draw.perhaps(bounds::FALLOFF_STOPS),
    }
}

/// What a file says of its camera, which may be anything a file can hold.
pub fn photo(draw: &mut Draw) -> PhotoFacts {
    let pixels = |draw: &mut Draw| draw.one(&[1, 100, 6000, u32::MAX]);
    PhotoFacts {
        pixels: draw.flag().then(|| (pixels(draw), pixels(draw))),
        size_mm: draw.flag().then(|| {
            (
                draw.within(bounds::SENSOR_MM),
                draw.within(bounds::SENSOR_MM),
            )
        }),
        focal_mm: draw.flag().then(|| draw.one(&[1e-9, 0.5, 20.0, 4e9])),
        f_number: draw.flag().then(|| draw.one(&[1e-9, 1.8, 4e9])),
    }
}

fn kit(draw: &mut Draw) -> KitEdit {
    match draw.below(13) {
        0 => KitEdit::Name(draw.name()),
        1 => KitEdit::Sensor(sensor(draw)),
        2 => KitEdit::FocalLength(draw.within(bounds::FOCAL_MM)),
        3 => KitEdit::StepFocalLength(draw.flag()),
        4 => KitEdit::WidestAperture(draw.within(bounds::F_NUMBER)),
        5 => KitEdit::Projection(draw.one(&Projection::ALL)),
        6 => KitEdit::Distortion(distortion(draw)),
        7 => KitEdit::StarWidth(star_width(draw)),
        8 => KitEdit::CornerFalloff(draw.perhaps(bounds::FALLOFF_STOPS)),
        9 => KitEdit::Lens(lens(draw)),
        10 => KitEdit::FromPhoto(photo(draw)),
        11 => KitEdit::Use(Box::new(Kit {
            name: draw.name().trim().chars().take(40).collect(),
            sensor: sensor(draw),
            lens: lens(draw),
            ..Kit::default()
        })),
        _ => KitEdit::Body(body(draw)),
    }
}

fn body(draw: &mut Draw) -> BodyEdit {
    match draw.below(9) {
        0 => BodyEdit::WriteTime(draw.perhaps(bounds::WRITE_S)),
        1 => BodyEdit::FileSize(draw.perhaps(bounds::FILE_MB)),
        2 => BodyEdit::Charge(draw.perhaps(bounds::CHARGE_MIN)),
        3 => BodyEdit::Transmission(draw.perhaps_share(bounds::TRANSMITTED)),
        4 => BodyEdit::ReadNoise(draw.within(bounds::ISO), draw.perhaps(bounds::READ_NOISE_E)),
        5 => BodyEdit::QuantumEfficiency(draw.perhaps_share(bounds::QUANTUM)),
        6 => BodyEdit::DarkCurrent(draw.perhaps(bounds::DARK_E_S)),
        7 => BodyEdit::FullWell(draw.perhaps(bounds::FULL_WELL_E)),
        _ => BodyEdit::Clock(draw.flag().then(|| CameraClock {
            ahead_s: draw.within(bounds::CLOCK_S),
            date: draw.night(),
        })),
    }
}

/// Coordinates as they are pasted or located.
pub fn coordinates(draw: &mut Draw) -> Coordinates {
    Coordinates {
        latitude: draw.angle(bounds::LATITUDE),
        longitude: draw.angle(bounds::LONGITUDE),
        height_m: draw.perhaps(bounds::SITE_HEIGHT_M),
    }
}

/// A site of the gazetteer. Its zone is a fixed one: names of zones are the browser's business.
pub fn town(draw: &mut Draw) -> Site {
    Site {
        name: draw.name().chars().take(40).collect(),
        latitude: draw.angle(bounds::LATITUDE),
        longitude: draw.angle(bounds::LONGITUDE),
        zone: zone(draw),
        ..Site::default()
    }
}

fn zone(draw: &mut Draw) -> Zone {
    let minutes = draw.one(&[-MOST_OFFSET_MIN, -210, 0, 60, 345, MOST_OFFSET_MIN]);
    Zone::Fixed(minutes)
}

fn site(draw: &mut Draw) -> SiteEdit {
    match draw.below(10) {
        0 => SiteEdit::Name(draw.name()),
        1 => SiteEdit::Latitude(draw.angle(bounds::LATITUDE)),
        2 => SiteEdit::Longitude(draw.angle(bounds::LONGITUDE)),
        3 => SiteEdit::Elevation(draw.within(bounds::SITE_HEIGHT_M)),
        4 => SiteEdit::Zone(zone(draw)),
        5 => SiteEdit::Pasted(coordinates(draw)),
        6 => SiteEdit::Located(coordinates(draw)),
        7 => SiteEdit::SkyBrightness(draw.within(bounds::SKY_BRIGHTNESS)),
        8 => SiteEdit::Extinction(draw.perhaps(bounds::EXTINCTION)),
        _ => SiteEdit::Use(Box::new(town(draw))),
    }
}

pub fn sighting(draw: &mut Draw) -> Sighting {
    let (bearing, height) = draw.place();
    Sighting { bearing, height }
}

/// A skyline as it is read from tables and tiles.
pub fn survey(draw: &mut Draw) -> Vec<Surveyed> {
    let count = draw.one(&[0, 1, 2, 30, 1440]);
    (0..count)
        .map(|place| Surveyed {
            bearing: Angle::from_degrees(360.0 * f64::from(place) / f64::from(count)),
            height: (draw.below(6) > 0).then(|| draw.angle(bounds::SIGHTED)),
        })
        .collect()
}

fn ridge(draw: &mut Draw) -> RidgeEdit {
    match draw.below(6) {
        0 => RidgeEdit::Level(draw.angle(bounds::RIDGE)),
        1 => RidgeEdit::Add(sighting(draw)),
        2 => RidgeEdit::Pull {
            from: draw.flag().then(|| draw.angle(bounds::BEARING)),
            to: sighting(draw),
            pull: draw.below(3) as u32,
        },
        3 => RidgeEdit::Remove(draw.below(5)),
        4 => RidgeEdit::Clear,
        _ => RidgeEdit::Survey(survey(draw)),
    }
}

fn viewing(draw: &mut Draw) -> Viewing {
    Viewing {
        width_cm: draw.within(bounds::PICTURE_CM),
        distance_cm: draw.within(bounds::EYE_CM),
    }
}

fn exposure(draw: &mut Draw) -> ExposureEdit {
    match draw.below(11) {
        0 => ExposureEdit::FNumber(draw.within(bounds::F_NUMBER)),
        1 => ExposureEdit::StepFNumber(draw.flag()),
        2 => ExposureEdit::Sharpness(match draw.below(5) {
            0 => Sharpness::EveryPixel,
            1 => Sharpness::CloseLook,
            2 => Sharpness::Print(viewing(draw)),
            3 => Sharpness::Screen(viewing(draw)),
            _ => Sharpness::Pixels(draw.within(bounds::TRAIL_PX)),
        }),
        3 => ExposureEdit::StepTrail(draw.flag()),
        4 => ExposureEdit::KeepSharp(match draw.below(4) {
            0 => KeepSharp::Core,
            1 => KeepSharp::WholeFrame,
            2 => KeepSharp::Centre,
            _ => KeepSharp::Declination(draw.angle(bounds::DECLINATION)),
        }),
        5 => ExposureEdit::Focus(match draw.below(3) {
            0 => Focus::Stars,
            1 => Focus::Hyperfocal,
            _ => Focus::At(draw.within(bounds::FOCUS_M)),
        }),
        6 => ExposureEdit::Iso(draw.perhaps(bounds::ISO)),
        7 => ExposureEdit::TotalTime(draw.within(bounds::STACK_MIN)),
        8 => ExposureEdit::StepTotalTime(draw.flag()),
        9 => ExposureEdit::Support(draw.one(&[Support::Tripod, Support::Tracker])),
        _ => ExposureEdit::SubjectBrightness(draw.within(bounds::SUBJECT_BRIGHTNESS)),
    }
}

fn frame(draw: &mut Draw) -> Frame {
    Frame {
        bearing: draw.angle(bounds::BEARING),
        tilt: draw.angle(bounds::TILT),
        roll: draw.angle(bounds::ROLL),
    }
}

fn framing(draw: &mut Draw) -> FramingEdit {
    let orientation = draw.one(&[Orientation::Landscape, Orientation::Portrait]);
    match draw.below(5) {
        0 => FramingEdit::Orientation(orientation),
        1 => FramingEdit::Point(draw.night(), draw.minute(), frame(draw)),
        2 => FramingEdit::Turn {
            at: (draw.night(), draw.minute()),
            right_deg: draw.measured(),
            up_deg: draw.measured(),
        },
        3 => FramingEdit::AsTaken(TakenFrame {
            instant: draw.instant(),
            orientation,
            frame: frame(draw),
        }),
        _ => FramingEdit::FollowCore,
    }
}

fn night(draw: &mut Draw) -> NightEdit {
    match draw.below(8) {
        0 => NightEdit::Date(draw.date()),
        1 => NightEdit::Tonight,
        2 => NightEdit::Minute(draw.night(), draw.one(&[0, 700, 1439, u16::MAX])),
        3 => NightEdit::Now(draw.instant()),
        4 => NightEdit::Subject(draw.one(&Subject::ALL)),
        5 => NightEdit::Darkness(draw.one(&[
            DarknessLimit::Down12,
            DarknessLimit::Down15,
            DarknessLimit::Down18,
        ])),
        6 => NightEdit::LeastHeight(draw.angle(bounds::LEAST_CORE)),
        _ => NightEdit::Moon(draw.one(&[MoonLimit::Any, MoonLimit::Harmless, MoonLimit::None])),
    }
}

fn mount(draw: &mut Draw) -> MountEdit {
    let arcmin = |draw: &mut Draw| Angle::from_degrees(draw.within(bounds::POLAR_ERROR) / 60.0);
    match draw.below(5) {
        0 => MountEdit::AzimuthError(arcmin(draw)),
        1 => MountEdit::AltitudeError(arcmin(draw)),
        2 => MountEdit::PeriodicError(Angle::from_degrees(draw.within(bounds::PERIODIC) / 3600.0)),
        3 => MountEdit::Period(draw.within(bounds::PERIOD_S)),
        _ => MountEdit::Rate(draw.one(&[TrackingRate::Sidereal, TrackingRate::Half])),
    }
}

fn lists(draw: &mut Draw) -> ListsEdit {
    match draw.below(10) {
        0 => ListsEdit::SaveKit,
        1 => ListsEdit::UseKit(draw.below(40)),
        2 => ListsEdit::RemoveKit(draw.one(&[0, 1, usize::MAX])),
        3 => ListsEdit::SaveSite,
        4 => ListsEdit::UseSite(draw.below(3)),
        5 => ListsEdit::RemoveSite(draw.one(&[0, 1, usize::MAX])),
        6 => ListsEdit::KeepNight(draw.date()),
        7 => ListsEdit::DropNight(draw.date()),
        8 => ListsEdit::Tick(draw.one(&[0, 63, 64, u32::MAX]), draw.flag()),
        _ => ListsEdit::ClearTicks(u64::MAX >> draw.below(64)),
    }
}
