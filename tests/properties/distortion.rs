//! What holds of the frame behind any distortion.

use proptest::prelude::*;
use tarnlight::angle::Angle;
use tarnlight::camera::fastest::Search;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::{FIELD_LIMIT, Lens};
use tarnlight::camera::sensor::FORMATS;
use tarnlight::camera::view::{SensorPoint, View};

use crate::drawn::{cases, distortion, projection};

prop_compose! {
    /// A full-frame camera behind any distortion, pointed anywhere from anywhere.
    fn any_view()(
        ln_focal in 8_f64.ln()..200_f64.ln(),
        projection in projection(),
        pair in distortion(),
        bearing in 0.0..360.0,
        tilt in -20.0..=90.0,
        roll in -180.0..180.0,
        latitude in -90.0..=90.0,
    ) -> View {
        let lens = Lens { focal_mm: ln_focal.exp(), projection, distortion: pair, ..Lens::default() };
        let [bearing, tilt, roll] = [bearing, tilt, roll].map(Angle::from_degrees);
        let frame = Frame { bearing, tilt, roll };
        View::new(FORMATS[1].sensor(24.0), lens, frame, Angle::from_degrees(latitude))
    }
}

proptest! {
    #![proptest_config(cases(100))]

    /// No place of a grid that shows sky is faster than the one called fastest, which is in the
    /// frame and as fast as computed.
    #[test]
    fn the_worst_place_is_the_worst_of_a_grid(view in any_view()) {
        for search in [Search::AboveHorizon, Search::WholeFrame] {
            let found = view.fastest(search);
            if let Some(found) = found {
                let point = found.point;
                prop_assert!(point.x_mm.abs() <= 18.0 + 1e-9 && point.y_mm.abs() <= 12.0 + 1e-9);
                prop_assert_eq!(view.speed_at(point), Some(found.speed_um_s));
            }
            let fastest = found.map_or(0.0, |found| found.speed_um_s);
            for column in -60..=60 {
                for row in -40..=40 {
                    let point = SensorPoint {
                        x_mm: 18.0 * f64::from(column) / 60.0,
                        y_mm: 12.0 * f64::from(row) / 40.0,
                    };
                    let in_field = view
                        .off_axis_at(point)
                        .is_some_and(|theta| theta.radians() <= FIELD_LIMIT.radians());
                    let shown = search == Search::WholeFrame
                        || view.altitude_at(point).is_some_and(|above| above >= Angle::ZERO);
                    if in_field && shown {
                        let speed = view.speed_at(point).expect("an image");
                        prop_assert!(speed <= fastest * 1.001, "{} at {:?}", speed, point);
                    }
                }
            }
        }
    }

    /// No star of a grid is nearer to the celestial equator than the one called nearest, but for
    /// the spaces between the places tried along the outline.
    #[test]
    fn the_smallest_declination_is_that_of_a_grid(view in any_view()) {
        let got = view.smallest_declination().degrees();
        for column in -30..=30 {
            for row in -20..=20 {
                let point = SensorPoint {
                    x_mm: 18.0 * f64::from(column) / 30.0,
                    y_mm: 12.0 * f64::from(row) / 20.0,
                };
                let in_field = view
                    .off_axis_at(point)
                    .is_some_and(|theta| theta.radians() <= FIELD_LIMIT.radians());
                let here = view.declination_at(point).map_or(90.0, |dec| dec.degrees().abs());
                prop_assert!(!in_field || got <= here + 0.05, "{} at {:?}: {}", got, point, here);
            }
        }
    }

    /// A place of the frame and the direction it shows belong to each other.
    #[test]
    fn directions_and_places_are_inverse(
        view in any_view(), across in -1.0..=1.0, up in -1.0..=1.0,
    ) {
        let point = SensorPoint { x_mm: 18.0 * across, y_mm: 12.0 * up };
        let near = |angle: Angle| angle.degrees() < 120.0;
        prop_assume!(view.off_axis_at(point).is_some_and(near));
        let seen = view.direction_at(point).expect("an image");
        let back = view.image_of(seen).expect("an image");
        let miss = (back.x_mm - point.x_mm).hypot(back.y_mm - point.y_mm);
        prop_assert!(miss < 1e-9, "{:?}: {} mm", view.lens, miss);
        prop_assert!((seen.dot(seen) - 1.0).abs() < 1e-12, "{:?}", seen);
    }
}
