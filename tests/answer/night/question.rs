//! What a question about a night gives.

use chrono::NaiveDate;
use chrono_tz::Tz;
use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::land::ridge::{LEAST_DEG, MOST_DEG, RidgeLine, Sighting};
use tarnlight::light::brightness::DARK_ZENITH_V;
use tarnlight::outing::plan::limits::{DarknessLimit, LEAST_CORE_DEG, Limits, MoonLimit};
use tarnlight::sky::moment::Moment;
use tarnlight::sky::observer::GeoPosition;
use tarnlight::sky::subject::Subject;

use super::field::{Field, FieldError};
use super::site::{dut1_s, site};

/// A question about a night.
pub struct NightQuestion {
    pub position: GeoPosition,
    pub zone: Option<Tz>,
    /// UT1 less UTC, s.
    pub dut1_s: f64,
    /// The date on whose mean solar noon the night begins.
    pub date: NaiveDate,
    /// Heights of level ridges, degrees.
    pub ridges_deg: Vec<f64>,
    pub ridge_line: Option<RidgeLine>,
    /// Height of the skyline in gaps of the ridge line, or without one.
    pub ridge_level: Angle,
    /// What the answer calls `core`.
    pub subject: Subject,
    pub limits: Limits,
    pub instants: Vec<Moment>,
    /// The site's extinction, magnitudes an air mass; by its height if `None`.
    pub extinction_mag: Option<f64>,
    /// The sky overhead without Moon and twilight, mag/arcsec².
    pub zenith_v: f64,
}

impl NightQuestion {
    /// Reads it.
    pub fn read(question: &Field) -> Result<Self, FieldError> {
        let ridge_level = question.at("ridge_level_deg");
        Ok(Self {
            position: site(question)?,
            zone: zone(&question.at("site.tz"))?,
            dut1_s: dut1_s(question)?,
            date: question.at("night.date_lmt").date()?,
            ridges_deg: ridges_deg(question)?,
            ridge_line: ridge_line(&question.at("ridge_line"), &ridge_level)?,
            ridge_level: level(&ridge_level)?,
            subject: subject(&question.at("subject"))?,
            limits: limits(question)?,
            instants: instants(&question.at("instants"))?,
            extinction_mag: question.at("site.extinction").optional_number(0.0..=3.0)?,
            zenith_v: question
                .at("site.zenith_v")
                .number_or(14.0..=23.0, DARK_ZENITH_V)?,
        })
    }
}

fn subject(field: &Field) -> Result<Subject, FieldError> {
    if field.is_given() {
        field.choice(&Subject::ALL.map(|subject| (subject.key(), subject)))
    } else {
        Ok(Subject::Core)
    }
}

fn zone(field: &Field) -> Result<Option<Tz>, FieldError> {
    if !field.is_given() {
        return Ok(None);
    }
    let zone = field.text()?.parse();
    zone.map(Some)
        .map_err(|_| field.error("is not a zone of the time zone database"))
}

/// Heights in `ridge_alt_deg` and `core.ridge`.
fn ridges_deg(question: &Field) -> Result<Vec<f64>, FieldError> {
    let mut heights = Vec::new();
    for height in question.at("ridge_alt_deg").list()? {
        heights.push(height.number_in_row(-5.0..=90.0)?);
    }
    for row in question.at("core.ridge").list()? {
        heights.push(row.at("alt_deg").number_in_row(-5.0..=90.0)?);
    }
    Ok(heights)
}

fn level(field: &Field) -> Result<Angle, FieldError> {
    field.angle_or(LEAST_DEG..=MOST_DEG, 0.0)
}

/// Pairs of bearing and apparent height, or objects with `az_deg` and `alt_deg`.
fn ridge_line(field: &Field, ridge_level: &Field) -> Result<Option<RidgeLine>, FieldError> {
    let rows = field.list()?;
    if rows.is_empty() {
        return Ok(None);
    }
    let mut line = RidgeLine::level(level(ridge_level)?);
    for row in rows {
        let bearing_deg = row.column(0, "az_deg").number_in_row(-180.0..=360.0)?;
        let height_deg = row
            .column(1, "alt_deg")
            .number_in_row(LEAST_DEG..=MOST_DEG)?;
        line.take(Sighting {
            bearing: Angle::from_degrees(bearing_deg),
            height: Angle::from_degrees(height_deg),
        });
    }
    Ok(Some(line))
}

/// The limits of a shot window.
fn limits(question: &Field) -> Result<Limits, FieldError> {
    let darkness = question.at("darkness_deg");
    let darkness_deg = darkness.number_or(12.0..=18.0, 18.0)?;
    let darkness = DarknessLimit::ALL
        .into_iter()
        .find(|limit| f64::from(limit.degrees()) == darkness_deg)
        .ok_or_else(|| darkness.error("must be 12, 15 or 18"))?;
    let least_core = question
        .at("least_core_deg")
        .angle_or(0.0..=30.0, LEAST_CORE_DEG)?;
    let moon = question.at("moon");
    let moon = if moon.is_given() {
        moon.choice(&MOON_LIMITS)?
    } else {
        MoonLimit::Harmless
    };
    Ok(Limits {
        darkness,
        least_core,
        moon,
    })
}

const MOON_LIMITS: [(&str, MoonLimit); 3] = [
    ("any", MoonLimit::Any),
    ("harmless", MoonLimit::Harmless),
    ("none", MoonLimit::None),
];

/// Texts, or objects with `utc`.
fn instants(field: &Field) -> Result<Vec<Moment>, FieldError> {
    let moment = |row: &Field| {
        let text = row.value().and_then(Value::as_str);
        let utc = row.at("utc");
        let text = text.or_else(|| utc.value().and_then(Value::as_str));
        let text = text.ok_or_else(|| row.error("must be an instant, or have one in utc"))?;
        row.parse_moment(text)
    };
    field.list()?.iter().map(moment).collect()
}
