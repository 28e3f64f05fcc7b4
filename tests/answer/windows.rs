//! The shot windows of a night, within limits.

use chrono::NaiveDate;
use serde_json::{Value, json};
use tarnlight::angle::Angle;
use tarnlight::land::ridge::RidgeLine;
use tarnlight::light::brightness::DARK_ZENITH_V;
use tarnlight::outing::night::site_sky::SiteSky;
use tarnlight::outing::night::{NoWindowReason, WindowBoundary};
use tarnlight::outing::plan::limits::{DarknessLimit, LEAST_CORE_DEG, Limits, MoonLimit};
use tarnlight::outing::plan::site::Site as OutingSite;
use tarnlight::sky::altitude::Air;
use tarnlight::sky::observer::{GeoPosition, Observer};

use super::question::{Bad, at, bad, number_or, word};

/// The limits a question asks for.
pub fn limits(question: &Value) -> Result<Limits, Bad> {
    let darkness_deg = number_or(question, "darkness_deg", (12.0, 18.0), 18.0)?;
    let darkness = DarknessLimit::ALL
        .into_iter()
        .find(|limit| f64::from(limit.degrees()) == darkness_deg)
        .ok_or_else(|| bad("darkness_deg", "must be 12, 15 or 18"))?;
    let least_deg = number_or(question, "least_core_deg", (0.0, 30.0), LEAST_CORE_DEG)?;
    let moon = match at(question, "moon") {
        None | Some(Value::Null) => MoonLimit::Harmless,
        Some(_) => match word(question, "moon")? {
            "any" => MoonLimit::Any,
            "harmless" => MoonLimit::Harmless,
            "none" => MoonLimit::None,
            _ => return Err(bad("moon", "must be any, harmless or none")),
        },
    };
    Ok(Limits {
        darkness,
        least_core: Angle::from_degrees(least_deg),
        moon,
    })
}

/// A site with its air as the page takes it, but for refraction.
pub fn site_with_sky(
    question: &Value,
    site: GeoPosition,
    ridge: RidgeLine,
) -> Result<OutingSite, Bad> {
    let known = at(question, "site.extinction").is_some_and(|given| !given.is_null());
    let extinction = number_or(question, "site.extinction", (0.0, 3.0), 0.0)?;
    Ok(OutingSite {
        latitude: site.latitude,
        longitude: site.longitude,
        height_m: site.height_m,
        ridge,
        sky_brightness: number_or(question, "site.zenith_v", (14.0, 23.0), DARK_ZENITH_V)?,
        extinction_mag: known.then_some(extinction),
        ..OutingSite::default()
    })
}

/// The windows of a date: `shot_windows` and `no_window`. Through standard air, as all
/// else in the answer.
pub fn windows(
    site: &OutingSite,
    observer: Observer,
    date: NaiveDate,
    limits: &Limits,
) -> (Value, Value) {
    let site_sky = SiteSky::through(Air::STANDARD, observer, site, (date, 1));
    let usable = site_sky.usable(&site_sky.night(date), limits);
    let message = usable.windows.iter().map(|window| {
        json!({
            "start_s": window.span.start * 86_400.0,
            "end_s": window.span.end * 86_400.0,
            "minutes": window.span.minutes(),
            "opens": edge_word(window.opens),
            "closes": edge_word(window.closes),
            "equivalent_hours": window.equivalent_h,
        })
    });
    (message.collect(), json!(usable.without.map(reason_word)))
}

/// What happens at an end.
const fn edge_word(edge: WindowBoundary) -> &'static str {
    match edge {
        WindowBoundary::Twilight => "twilight",
        WindowBoundary::Ridge => "ridge",
        WindowBoundary::LeastHeight => "least_height",
        WindowBoundary::Moon => "moon",
        WindowBoundary::MoonCost => "moon_cost",
        WindowBoundary::Noon => "noon",
    }
}

/// Why there is none.
const fn reason_word(why: NoWindowReason) -> &'static str {
    match why {
        NoWindowReason::NeverRises => "never_rises",
        NoWindowReason::BehindRidge => "behind_ridge",
        NoWindowReason::LeastHeight => "least_height",
        NoWindowReason::NotDark => "not_dark",
        NoWindowReason::CoreByDay => "core_by_day",
        NoWindowReason::Moon => "moon",
    }
}
