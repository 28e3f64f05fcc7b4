//! A question about a night: a site, a date, ridge heights, instants.

use std::fmt::Write;

use chrono::{DateTime, Datelike, Offset, SecondsFormat, TimeZone, Utc};
use chrono_tz::Tz;
use serde_json::{Value, json};
use tarnlight::angle::Angle;
use tarnlight::land::ridge::{LEAST_DEG, MOST_DEG, RidgeLine, Sighting};
use tarnlight::outing::night::horizon_crossings::over_ridge;
use tarnlight::sky::almanac::{Almanac, SkyBody};
use tarnlight::sky::altitude::{Air, ApparentAltitude, TrueAltitude};
use tarnlight::sky::moment::{Moment, YEARS};
use tarnlight::sky::night::{Course, Night, SunAltitudeLimit, Visibility, grazes, noon};
use tarnlight::sky::observer::{GeoPosition, Observer};
use tarnlight::sky::positions::AU_KM;
use tarnlight::sky::sidereal;
use tarnlight::sky::spans::Spans;

use super::question::{Bad, angle, angle_or, at, bad, date, instant, list, number_or, word};
use super::windows;

/// Below this true altitude, degrees, no apparent one is told.
const NO_APPARENT_BELOW_DEG: f64 = -1.0;

/// Time on either side over which a rate is taken, days.
const RATE_REACH: f64 = 30.0 / 86_400.0;

/// A night and what its answers are told in.
struct Asked<'a> {
    night: Night<'a>,
    zone: Option<Tz>,
}

/// Answers it.
pub fn answer(question: &Value) -> Result<Value, Bad> {
    let site = site(question)?;
    let zone = match at(question, "site.tz") {
        None | Some(Value::Null) => None,
        Some(_) => {
            let name = word(question, "site.tz")?;
            let zone = name.parse::<Tz>();
            Some(zone.map_err(|_| bad("site.tz", "is not a zone of the time zone database"))?)
        }
    };
    let dut1_s = number_or(question, "time.dut1_s", (-1.0, 1.0), 0.0)?;
    let day = date(question, "night.date_lmt")?;
    if !YEARS.contains(&day.year()) {
        let message = format!("must be from {} to {}", YEARS.start(), YEARS.end());
        return Err(bad("night.date_lmt", message));
    }
    let ridges = ridges(question)?;
    let line = ridge_line(question)?;
    let level = ridge_level(question)?;
    let limits = windows::limits(question)?;
    let instants = instants(question)?;

    let start = noon(day, site.longitude);
    let almanac = Almanac::over(start.plus_days(-1.0), 3.0);
    let observer = Observer::with_dut1(site, dut1_s);
    let asked = Asked {
        night: Night::from(&almanac, observer, start),
        zone,
    };
    let mut moments = Vec::new();
    for moment in instants {
        // an instant far from the night has an almanac of its own
        let around = Almanac::over(moment.plus_days(-1.0), 2.0);
        let night = Night::from(&around, observer, moment.plus_days(-0.25));
        moments.push(asked.instant(&night, moment, site, dut1_s));
    }
    let mut message = asked.events(&ridges);
    message["windows"] = asked.windows(&ridges);
    let skyline = line.clone().unwrap_or(RidgeLine::level(level));
    let there = windows::site_with_sky(question, site, skyline)?;
    let (shot_windows, no_window) = windows::windows(&there, observer, day, &limits);
    message["shot_windows"] = shot_windows;
    message["no_window"] = no_window;
    if let Some(line) = line {
        message["ridge_line"] = asked.over_line(&line);
    }
    message["instants"] = Value::Array(moments);
    message["night"] = json!({
        "start_utc": written(start),
        "end_utc": written(start.plus_days(1.0)),
    });
    message["time"] = json!({
        "tt_minus_utc_s": start.terrestrial_ahead_s(),
        "dut1_s": dut1_s,
    });
    Ok(message)
}

/// The site a question is about.
pub fn site(question: &Value) -> Result<GeoPosition, Bad> {
    Ok(GeoPosition {
        latitude: angle(question, "site.lat_deg", -90.0, 90.0)?,
        longitude: angle(question, "site.lon_deg", -180.0, 360.0)?,
        height_m: number_or(question, "site.elev_m", (-500.0, 9000.0), 0.0)?,
    })
}

/// Height as seen through usual air, where that is told.
pub fn apparent_deg(altitude: TrueAltitude) -> Option<f64> {
    let seen = Air::STANDARD.seen(altitude).0.degrees();
    (altitude.0.degrees() > NO_APPARENT_BELOW_DEG).then_some(seen)
}

/// Ridge heights: `ridge_alt_deg` as plain numbers, or in the blocks
/// `core.ridge` of the reference.
fn ridges(question: &Value) -> Result<Vec<f64>, Bad> {
    let mut heights = Vec::new();
    let mut keep = |value: &Value, field: String| match value.as_f64() {
        Some(height) if (-5.0..=90.0).contains(&height) => {
            heights.push(height);
            Ok(())
        }
        Some(_) => Err(bad(&field, "must be from -5 to 90")),
        None => Err(bad(&field, "must be a number")),
    };
    for (place, value) in list(question, "ridge_alt_deg")?.iter().enumerate() {
        keep(value, format!("ridge_alt_deg.{place}"))?;
    }
    for (place, row) in list(question, "core.ridge")?.iter().enumerate() {
        keep(&row["alt_deg"], format!("core.ridge.{place}.alt_deg"))?;
    }
    Ok(heights)
}

/// The height of the skyline where nothing was sighted.
fn ridge_level(question: &Value) -> Result<Angle, Bad> {
    angle_or(question, "ridge_level_deg", (LEAST_DEG, MOST_DEG), 0.0)
}

/// A ridge line: rows of bearing and apparent height, as pairs or as objects
/// with `az_deg` and `alt_deg`; `ridge_level_deg` where nothing was sighted.
fn ridge_line(question: &Value) -> Result<Option<RidgeLine>, Bad> {
    let rows = list(question, "ridge_line")?;
    if rows.is_empty() {
        return Ok(None);
    }
    let mut line = RidgeLine::level(ridge_level(question)?);
    for (place, row) in rows.iter().enumerate() {
        let part = |index: usize, name: &str, least: f64, most: f64| {
            let field = format!("ridge_line.{place}.{name}");
            let value = row.get(index).or_else(|| row.get(name));
            let number = value.and_then(Value::as_f64);
            let number = number.ok_or_else(|| bad(&field, "must be a number"))?;
            if !(least..=most).contains(&number) {
                return Err(bad(&field, format!("must be from {least} to {most}")));
            }
            Ok(Angle::from_degrees(number))
        };
        line.take(Sighting {
            bearing: part(0, "az_deg", -180.0, 360.0)?,
            height: part(1, "alt_deg", LEAST_DEG, MOST_DEG)?,
        });
    }
    Ok(Some(line))
}

/// Instants: plain texts, or objects with `utc`.
fn instants(question: &Value) -> Result<Vec<Moment>, Bad> {
    let mut moments = Vec::new();
    for (place, row) in list(question, "instants")?.iter().enumerate() {
        let field = format!("instants.{place}");
        let text = row.as_str().or_else(|| row["utc"].as_str());
        let text = text.ok_or_else(|| bad(&field, "must be an instant, or have one in utc"))?;
        let instant = instant(text, &field)?;
        if !YEARS.contains(&instant.year()) {
            let message = format!("must be from {} to {}", YEARS.start(), YEARS.end());
            return Err(bad(&field, message));
        }
        moments.push(Moment::from_utc(instant));
    }
    Ok(moments)
}

/// An instant to a tenth of a second.
fn written(moment: Moment) -> String {
    let tenths = (moment.instant().timestamp_millis() + 50).div_euclid(100);
    let whole = DateTime::from_timestamp(tenths.div_euclid(10), 0).unwrap_or_default();
    let text = whole.to_rfc3339_opts(SecondsFormat::Secs, true);
    let tenth = tenths.rem_euclid(10);
    format!("{}.{tenth}Z", text.trim_end_matches('Z'))
}

fn sun_words(line: SunAltitudeLimit) -> (&'static str, &'static str, [&'static str; 2]) {
    match line {
        SunAltitudeLimit::Horizon => (
            "rise_set",
            "Sun up throughout (polar day)",
            ["sunrise", "sunset"],
        ),
        SunAltitudeLimit::Civil => ("civil", "Sun never below -6", ["civil_dawn", "civil_dusk"]),
        SunAltitudeLimit::Nautical => (
            "nautical",
            "Sun never below -12",
            ["nautical_dawn", "nautical_dusk"],
        ),
        SunAltitudeLimit::Astronomical => (
            "astronomical",
            "no astronomical darkness",
            ["astronomical_dawn", "astronomical_dusk"],
        ),
    }
}

impl Asked<'_> {
    fn events(&self, ridges: &[f64]) -> Value {
        let night = &self.night;
        let core = |altitude: TrueAltitude, kinds, always, never| {
            let margin = night.margin(SkyBody::Core, altitude);
            self.block(
                SkyBody::Core,
                (&night.core_at(altitude), margin),
                kinds,
                always,
                never,
            )
        };
        let pair = |height_deg: f64, kinds, always, never| {
            let height = Angle::from_degrees(height_deg);
            let seen = Air::STANDARD.to_true(ApparentAltitude(height));
            (
                core(TrueAltitude(height), kinds, always, never),
                core(seen, kinds, always, never),
            )
        };
        let (geometric, apparent) = pair(
            0.0,
            ["rise", "set"],
            ("always_up", "always up"),
            ("never_rises", "never rises"),
        );
        let ridge = ridges.iter().map(|height| {
            let (geometric, apparent) = pair(
                *height,
                ["clears", "drops_below"],
                ("always_above", "always above ridge"),
                ("always_below", "never clears ridge"),
            );
            json!({"alt_deg": height, "geometric": geometric, "apparent": apparent})
        });
        let ridge: Vec<_> = ridge.collect();
        let extreme = |highest| {
            let turn = night.extreme(SkyBody::Core, highest);
            turn.map(|turn| turn.value.clamp(-1.0, 1.0).asin().to_degrees())
        };
        let mut sun = json!({});
        for line in SunAltitudeLimit::ALL {
            let (key, always, kinds) = sun_words(line);
            let state = if line == SunAltitudeLimit::Horizon {
                "always_up"
            } else {
                "always_above"
            };
            let never = match line {
                SunAltitudeLimit::Horizon => ("always_down", "Sun down throughout (polar night)"),
                _ => ("always_below", "Sun below throughout"),
            };
            let (course, margin) = (
                night.sun_at(line),
                night.margin(SkyBody::Sun, line.altitude()),
            );
            let about = (&course, margin);
            sun[key] = self.block(SkyBody::Sun, about, kinds, (state, always), never);
        }
        let lowest = night.extreme(SkyBody::Sun, false);
        sun["min_alt"] = lowest
            .iter()
            .map(|turn| self.event(SkyBody::Sun, turn.at, "min_altitude"))
            .collect();
        let transit = |body, upper, kind| -> Value {
            let transits = night.transits(body, upper);
            transits
                .into_iter()
                .map(|at| self.event(body, at, kind))
                .collect()
        };
        let moon = self.block(
            SkyBody::Moon,
            (&night.moon_at_horizon(), night.moon_margin()),
            ["moonrise", "moonset"],
            ("always_up", "Moon up throughout"),
            ("always_down", "Moon down throughout"),
        );
        json!({
            "core": {
                "geometric": geometric,
                "apparent": apparent,
                "ridge": ridge,
                "upper_transit": transit(SkyBody::Core, true, "upper_transit"),
                "lower_transit": transit(SkyBody::Core, false, "lower_transit"),
                "max_alt_geom_deg": extreme(true),
                "min_alt_geom_deg": extreme(false),
            },
            "sun": sun,
            "moon": {
                "rise_set": moon,
                "upper_transit": transit(SkyBody::Moon, true, "upper_transit"),
            },
        })
    }

    /// Core, Sun and Moon over a ridge line, and the dark hours with the core
    /// over it.
    fn over_line(&self, line: &RidgeLine) -> Value {
        let night = &self.night;
        let course = |body| over_ridge(night, body, line, Air::STANDARD);
        let block = |body| {
            self.block(
                body,
                (&course(body), None),
                ["clears", "drops_below"],
                ("always_above", "always above the ridge line"),
                ("always_below", "never clears the ridge line"),
            )
        };
        let dark = Spans::new(&night.sun_at(SunAltitudeLimit::Astronomical), false);
        let core = Spans::new(&course(SkyBody::Core), true);
        let no_moon = Spans::new(&night.moon_at_horizon(), false);
        let dark_core = dark.and(&core);
        json!({
            "core": block(SkyBody::Core),
            "sun": block(SkyBody::Sun),
            "moon": block(SkyBody::Moon),
            "dark_core_up": self.intervals(&dark_core),
            "dark_core_up_moon_down": self.intervals(&dark_core.and(&no_moon)),
        })
    }

    fn block(
        &self,
        body: SkyBody,
        (course, margin): (&Course, Option<Angle>),
        [up, down]: [&str; 2],
        always: (&str, &str),
        never: (&str, &str),
    ) -> Value {
        let (state, label) = match course.standing() {
            Visibility::Crosses => ("crosses", None),
            Visibility::AlwaysAbove => (always.0, Some(always.1)),
            Visibility::NeverAbove => (never.0, Some(never.1)),
        };
        let events: Vec<_> = course
            .crossings
            .iter()
            .map(|crossing| self.event(body, crossing.at, if crossing.up { up } else { down }))
            .collect();
        json!({
            "state": state,
            "label": label,
            "at_start": if course.starts_above { "above" } else { "below" },
            "events": events,
            "closest_extremum_margin_deg": margin.map(Angle::degrees),
            "grazing": grazes(margin),
        })
    }

    fn event(&self, body: SkyBody, days: f64, kind: &str) -> Value {
        let night = &self.night;
        let at = |days: f64| {
            let moment = night.start().plus_days(days);
            night.observer().find(night.almanac(), body, moment)
        };
        let degrees = |days: f64| at(days).altitude.0.degrees();
        let rate =
            (degrees(days + RATE_REACH) - degrees(days - RATE_REACH)) / (2880.0 * RATE_REACH);
        let moment = night.start().plus_days(days);
        json!({
            "kind": kind,
            "utc": written(moment),
            "local": self.local(moment),
            "t_s": days * 86_400.0,
            "az_deg": at(days).bearing.degrees(),
            "alt_geom_deg": degrees(days),
            "rate_deg_per_min": rate,
        })
    }

    /// The same instant by the site's clocks, where its zone is known.
    fn local(&self, moment: Moment) -> Option<String> {
        let zone = self.zone?;
        let utc = written(moment);
        let instant = DateTime::parse_from_rfc3339(&utc).ok()?.with_timezone(&Utc);
        let offset_s = zone
            .offset_from_utc_datetime(&instant.naive_utc())
            .fix()
            .local_minus_utc();
        let there = Moment::from_utc(instant).plus_s(f64::from(offset_s));
        let mut text = written(there).trim_end_matches('Z').to_owned();
        let sign = if offset_s < 0 { '-' } else { '+' };
        let minutes = offset_s.abs() / 60;
        // writing to a String cannot fail
        let _ = write!(text, "{sign}{:02}:{:02}", minutes / 60, minutes % 60);
        Some(text)
    }

    fn windows(&self, ridges: &[f64]) -> Value {
        let night = &self.night;
        let dark = Spans::new(&night.sun_at(SunAltitudeLimit::Astronomical), false);
        let core = Spans::new(&night.core_at(TrueAltitude(Angle::ZERO)), true);
        let no_moon = Spans::new(&night.moon_at_horizon(), false);
        let dark_core = dark.and(&core);
        let over: Vec<_> = ridges
            .iter()
            .map(|height| {
                let seen = ApparentAltitude(Angle::from_degrees(*height));
                let over = Spans::new(&night.core_at(Air::STANDARD.to_true(seen)), true);
                json!({"alt_deg": height, "intervals": self.intervals(&dark.and(&over))})
            })
            .collect();
        json!({
            "dark": self.intervals(&dark),
            "dark_core_up": self.intervals(&dark_core),
            "dark_core_up_moon_down": self.intervals(&dark_core.and(&no_moon)),
            "dark_moon_down": self.intervals(&dark.and(&no_moon)),
            "dark_core_above_ridge_apparent": over,
        })
    }

    fn intervals(&self, spans: &Spans) -> Value {
        let at = |days: f64| written(self.night.start().plus_days(days));
        spans
            .0
            .iter()
            .map(|span| {
                json!({
                    "start_utc": at(span.start),
                    "end_utc": at(span.end),
                    "start_s": span.start * 86_400.0,
                    "end_s": span.end * 86_400.0,
                    "minutes": span.minutes(),
                })
            })
            .collect()
    }

    fn instant(&self, night: &Night<'_>, moment: Moment, site: GeoPosition, dut1_s: f64) -> Value {
        let almanac = night.almanac();
        let find = |body| night.observer().find(almanac, body, moment);
        let (core, moon, sun) = (find(SkyBody::Core), find(SkyBody::Moon), find(SkyBody::Sun));
        let message = |altitude: TrueAltitude| {
            let degrees = altitude.0.degrees();
            (degrees, apparent_deg(altitude))
        };
        let place = |standing: tarnlight::sky::observer::Horizontal| {
            let (true_deg, seen) = message(standing.altitude);
            json!({
                "az_deg": standing.bearing.degrees(),
                "alt_geom_deg": true_deg,
                "alt_apparent_deg": seen,
            })
        };
        let lit = |phase: Angle| (1.0 + phase.cos()) / 2.0;
        let (phase, phase_topo) = (almanac.phase_angle(moment), moon.phase_angle(sun));
        let longitude =
            |body| sidereal::ecliptic_longitude(almanac.place(body, moment), moment).degrees();
        let mut of_moon = place(moon);
        let more = json!({
            "distance_topo_km": moon.distance_au * AU_KM,
            "distance_geo_km": almanac.place(SkyBody::Moon, moment).length() * AU_KM,
            "semidiameter_topo_deg": moon.moon_radius().degrees(),
            "illuminated_fraction": almanac.lit_share(moment),
            "illuminated_fraction_topo": lit(phase_topo),
            "phase_angle_deg": phase.degrees(),
            "phase_angle_topo_deg": phase_topo.degrees(),
            "elongation_longitude_deg": (longitude(SkyBody::Moon) - longitude(SkyBody::Sun)).rem_euclid(360.0),
            "separation_from_core_deg": moon.angle_to(core).degrees(),
        });
        if let (Some(of_moon), Some(more)) = (of_moon.as_object_mut(), more.as_object()) {
            of_moon.extend(more.clone());
        }
        let hours = |angle: Angle| angle.degrees() / 15.0;
        // the Earth's own clock
        let turned = moment.plus_s(dut1_s);
        let apparent = hours(sidereal::apparent(turned));
        json!({
            "utc": written(moment),
            "local": self.local(moment),
            "t_s": moment.since_s(self.night.start()),
            "core": place(core),
            "moon": of_moon,
            "sun": place(sun),
            "sidereal": {
                "gmst_h": hours(sidereal::mean(turned)),
                "gast_h": apparent.rem_euclid(24.0),
                "last_h": (apparent + site.longitude.degrees() / 15.0).rem_euclid(24.0),
            },
        })
    }
}
