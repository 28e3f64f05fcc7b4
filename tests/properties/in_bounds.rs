//! Whether every number of an outing lies in its bounds. Structures are taken apart whole, so that a
//! new field is not forgotten.

use chrono::Datelike;
use proptest::prelude::*;
use tarnlight::camera::focus::Focus;
use tarnlight::camera::sharpness::Sharpness;
use tarnlight::light::tracking::Mount;
use tarnlight::outing::plan::bounds::{self, Bounds};
use tarnlight::outing::plan::camera_body::MOST_NOISES;
use tarnlight::outing::plan::kit::Kit;
use tarnlight::outing::plan::site::Site;
use tarnlight::outing::plan::{KeepSharp, NIGHT_MIN, Outing};
use tarnlight::outing::share::query;
use tarnlight::sky::moment::YEARS;

/// Numbers, each with its bounds.
type Numbers = Vec<(Bounds, f64)>;

/// Every number of an outing that was read lies in its bounds.
pub fn assert_in_bounds(outing: &Outing) -> Result<(), TestCaseError> {
    let Outing {
        site,
        subject: _,
        limits,
        night,
        minute,
        kit,
        f_number,
        sharpness,
        keep_sharp,
        orientation: _,
        frame,
        focus,
        support: _,
        mount,
        iso,
        stack_min,
        subject_brightness,
        weather,
    } = outing;
    let mut numbers = vec![
        (bounds::LEAST_CORE, limits.least_core.degrees()),
        (bounds::SUBJECT_BRIGHTNESS, *subject_brightness),
        (bounds::STACK_MIN, *stack_min),
        (bounds::F_NUMBER, *f_number),
    ];
    numbers.extend(iso.map(|iso| (bounds::ISO, iso)));
    numbers.extend(site_numbers(site));
    numbers.extend(kit_numbers(kit));
    numbers.extend(mount_numbers(mount));
    numbers.extend(sharpness_numbers(*sharpness));
    if let KeepSharp::Declination(declination) = *keep_sharp {
        numbers.push((bounds::DECLINATION, declination.degrees()));
    }
    if let Focus::At(metres) = *focus {
        numbers.push((bounds::FOCUS_M, metres));
    }
    if let Some(frame) = *frame {
        numbers.extend([
            (bounds::BEARING, frame.bearing.degrees()),
            (bounds::TILT, frame.tilt.degrees()),
            (bounds::ROLL, frame.roll.degrees()),
        ]);
    }
    if let Some(weather) = *weather {
        numbers.extend([
            (bounds::CELSIUS, weather.celsius),
            (bounds::HUMIDITY, weather.humidity_percent),
        ]);
    }
    for (bounds, number) in numbers {
        prop_assert_eq!(bounds.check(number), Ok(number));
    }
    let distortion = kit.lens.distortion;
    prop_assert!(distortion.reaches_corner(), "{:?}", distortion);
    prop_assert!(kit.body.read_noise.len() <= MOST_NOISES);
    prop_assert!(minute.is_none_or(|minute| minute < NIGHT_MIN));
    prop_assert!(night.is_none_or(|night| YEARS.contains(&night.year())));
    for name in [&kit.name, &site.name] {
        prop_assert!(name.chars().count() <= query::LONGEST_NAME);
    }
    Ok(())
}

fn site_numbers(site: &Site) -> Numbers {
    let Site {
        name: _,
        latitude,
        longitude,
        height_m,
        zone: _,
        ridge,
        sky_brightness,
        extinction_mag,
    } = site;
    let mut numbers = vec![
        (bounds::LATITUDE, latitude.degrees()),
        (bounds::LONGITUDE, longitude.degrees()),
        (bounds::SITE_HEIGHT_M, *height_m),
        (bounds::RIDGE, ridge.all_round().degrees()),
        (bounds::SKY_BRIGHTNESS, *sky_brightness),
    ];
    numbers.extend(extinction_mag.map(|magnitudes| (bounds::EXTINCTION, magnitudes)));
    for sighting in ridge.sightings() {
        numbers.extend([
            (bounds::BEARING, sighting.bearing.degrees()),
            (bounds::SIGHTED, sighting.height.degrees()),
        ]);
    }
    numbers
}

fn kit_numbers(kit: &Kit) -> Numbers {
    let Kit {
        name: _,
        sensor,
        lens,
        body,
    } = kit;
    let mut numbers = vec![
        (bounds::F_NUMBER, lens.f_number),
        (bounds::FOCAL_MM, lens.focal_mm),
        (bounds::K1, lens.distortion.k1),
        (bounds::K2, lens.distortion.k2),
        (bounds::SENSOR_MM, sensor.width_mm),
        (bounds::SENSOR_MM, sensor.height_mm),
        (bounds::SIDE_PX, f64::from(sensor.pixels_across)),
        (bounds::SIDE_PX, f64::from(sensor.pixels_down)),
    ];
    if let Some(width) = lens.star_width {
        numbers.extend([width.centre_px, width.corner_px].map(|px| (bounds::STAR_PX, px)));
    }
    let percent = |share: f64| share * 100.0;
    let known = [
        (bounds::FALLOFF_STOPS, lens.corner_falloff_stops),
        (bounds::QUANTUM, body.quantum.map(percent)),
        (bounds::TRANSMITTED, body.transmitted.map(percent)),
        (bounds::DARK_E_S, body.dark_e_s),
        (bounds::FULL_WELL_E, body.full_well_e),
        (bounds::FILE_MB, body.file_mb),
        (bounds::WRITE_S, body.write_s),
        (bounds::CHARGE_MIN, body.charge_min),
        (bounds::CLOCK_S, body.clock.map(|clock| clock.ahead_s)),
    ];
    for (bounds, known) in known {
        numbers.extend(known.map(|number| (bounds, number)));
    }
    for (iso, noise_e) in &body.read_noise {
        numbers.extend([(bounds::ISO, *iso), (bounds::READ_NOISE_E, *noise_e)]);
    }
    numbers
}

fn mount_numbers(mount: &Mount) -> Numbers {
    let Mount {
        azimuth_error,
        altitude_error,
        periodic,
        period_s,
        rate: _,
    } = mount;
    vec![
        (bounds::POLAR_ERROR, azimuth_error.degrees() * 60.0),
        (bounds::POLAR_ERROR, altitude_error.degrees() * 60.0),
        (bounds::PERIODIC, periodic.degrees() * 3600.0),
        (bounds::PERIOD_S, *period_s),
    ]
}

fn sharpness_numbers(sharpness: Sharpness) -> Numbers {
    match sharpness {
        Sharpness::Print(viewed) | Sharpness::Screen(viewed) => vec![
            (bounds::PICTURE_CM, viewed.width_cm),
            (bounds::EYE_CM, viewed.distance_cm),
        ],
        Sharpness::Pixels(pixels) => vec![(bounds::TRAIL_PX, pixels)],
        Sharpness::EveryPixel | Sharpness::CloseLook => Vec::new(),
    }
}
