//! Lists of stars as a camera would detect them, drawn from the catalogue: any lens, pointing and
//! moment, with false detections among them.

use tarnlight::angle::Angle;
use tarnlight::astrometry::catalogue::{CatalogueStar, catalogue};
use tarnlight::astrometry::horizon::Horizon;
use tarnlight::astrometry::picture::PicturePoint;
use tarnlight::astrometry::sky_camera::SkyCamera;
use tarnlight::astrometry::star_list::{DetectedStar, StarList};
use tarnlight::camera::distortion::Distortion;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::Projection;
use tarnlight::sky::moment::Moment;
use tarnlight::sky::observer::GeoPosition;

/// Random numbers: G. L. Steele and others' splitmix64 (from memory).
pub struct Random(pub u64);

impl Random {
    pub fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.next()
    }

    /// A normal deviate, by the sum of twelve.
    pub fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.next()).sum::<f64>() - 6.0
    }
}

/// What a frame is drawn with.
#[derive(Debug, Clone, Copy)]
pub struct Kind {
    pub focal_mm: f64,
    pub projection: Projection,
    /// Sensor's width and height, mm.
    pub sensor_mm: (f64, f64),
    /// Pixels across.
    pub across: usize,
    /// Magnitude at which half of the stars are detected.
    pub limit: f64,
    /// Share of all detections that are no stars.
    pub false_share: f64,
    /// How much brighter than the limit they are, magnitudes at most.
    pub false_depth: f64,
    /// Lamps and the like brighter than any star.
    pub lamps: usize,
    /// Error of a bright star's place, px.
    pub sigma_px: f64,
}

/// A frame and its truth.
pub struct Simulated {
    pub list: StarList,
    pub camera: SkyCamera,
    pub horizon: Horizon,
    pub marked_px: f64,
    /// Stars in the list that are stars.
    pub stars: usize,
}

/// Draws a frame.
pub fn simulate(kind: Kind, random: &mut Random) -> Simulated {
    let (width_mm, height_mm) = if random.next() < 0.3 {
        (kind.sensor_mm.1, kind.sensor_mm.0)
    } else {
        kind.sensor_mm
    };
    let pitch_mm = kind.sensor_mm.0 / kind.across as f64;
    let (width, height) = (
        (width_mm / pitch_mm).round() as usize,
        (height_mm / pitch_mm).round() as usize,
    );
    let site = GeoPosition {
        latitude: Angle::from_degrees(random.between(-55.0, 70.0)),
        longitude: Angle::from_degrees(random.between(-180.0, 180.0)),
        height_m: random.between(0.0, 3000.0),
    };
    let moment = Moment::from_days(random.between(7_000.0, 11_000.0));
    let horizon = Horizon::new(site, moment, 10.0);
    let frame = Frame {
        bearing: Angle::from_degrees(random.between(0.0, 360.0)),
        tilt: Angle::from_degrees(random.between(8.0, 75.0)),
        roll: Angle::from_degrees(random.between(-4.0, 4.0)),
    };
    let axes = frame.axes();
    let half_diagonal_px = (width as f64).hypot(height as f64) / 2.0;
    let focal_mm = kind.focal_mm * random.between(0.965, 1.035);
    let spread = if kind.projection == Projection::Rectilinear {
        1.0
    } else {
        0.1
    };
    let camera = SkyCamera {
        projection: kind.projection,
        focal_px: focal_mm / pitch_mm,
        distortion: Distortion {
            k1: spread * random.between(-0.05, 0.02),
            k2: spread * random.between(-0.005, 0.012),
        },
        half_diagonal_px,
        centre: PicturePoint {
            x_px: width as f64 / 2.0 + 0.0015 * half_diagonal_px * random.normal(),
            y_px: height as f64 / 2.0 + 0.0015 * half_diagonal_px * random.normal(),
        },
        axes: [axes.right, axes.up, axes.forward.times(-1.0)],
    };
    let stars: Vec<CatalogueStar> = catalogue(2000.0 + moment.days() / 365.25);
    let mut found = Vec::new();
    for star in horizon.seen(&stars) {
        let Some(at) = camera.image(star.direction) else {
            continue;
        };
        let inside = (0.0..width as f64).contains(&at.x_px)
            && (0.0..height as f64).contains(&at.y_px)
            && star.direction.z > 0.03;
        // half a magnitude of colour, and the corners a magnitude darker
        let corner = (at.distance_px(camera.centre) / half_diagonal_px).powi(2);
        let magnitude = star.magnitude + 0.25 * random.normal() + corner;
        if !inside || magnitude > kind.limit + 0.3 * random.normal() {
            continue;
        }
        let noise = kind.sigma_px * (1.0 + 4.0 * 10_f64.powf(0.4 * (magnitude - kind.limit)));
        let at = PicturePoint {
            x_px: at.x_px + noise * random.normal(),
            y_px: at.y_px + noise * random.normal(),
        };
        let saturated = magnitude < kind.limit - 4.0;
        found.push(detected(at, magnitude.max(kind.limit - 4.5), saturated));
    }
    let real = found.len();
    let others = (real as f64 * kind.false_share / (1.0 - kind.false_share)) as usize;
    for index in 0..others + kind.lamps {
        let at = PicturePoint {
            x_px: random.between(0.0, width as f64),
            y_px: random.between(0.0, height as f64),
        };
        let lamp = index < kind.lamps;
        let magnitude = if lamp {
            kind.limit - 5.0
        } else {
            kind.limit - kind.false_depth * random.next() * random.next()
        };
        found.push(detected(at, magnitude, lamp));
    }
    found.sort_by(|a, b| b.flux.total_cmp(&a.flux));
    Simulated {
        list: StarList {
            stars: found,
            noise: 0.002,
            width,
            height,
        },
        camera,
        horizon,
        marked_px: kind.focal_mm / pitch_mm,
        stars: real,
    }
}

fn detected(at: PicturePoint, magnitude: f64, saturated: bool) -> DetectedStar {
    DetectedStar {
        at,
        flux: 1e3 * 10_f64.powf(-0.4 * magnitude),
        peak: 0.1,
        saturated,
        long_px: 1.0,
        wide_px: 0.9,
        angle: Angle::ZERO,
    }
}
