//! Keys of the night: the subject, limits of a shot window, the date and the minute.

use super::{Key, set, set_some, unless};
use crate::outing::night::local_time::{format_date, read_date};
use crate::outing::plan::bounds;
use crate::outing::plan::limits::{DarknessLimit, LEAST_CORE_DEG, Limits, MoonLimit};
use crate::sky::subject::Subject;

/// Does not compile when a field is added: give it a key below, then name it here.
const _: fn(Limits) = |limits| {
    let Limits {
        darkness: _,
        least_core: _,
        moon: _,
    } = limits;
};

/// Subject, limits of a shot window, date and minute.
pub const LIMITS_AND_TIME: &[Key] = &[
    // What the night is planned about: `scutum`, `summer`, `winter`, `southern`, `magellanic`.
    // Left out: the core.
    Key::new(
        "subject",
        |outing| {
            let subject = outing.subject;
            (subject != Subject::Core).then(|| subject.key().to_owned())
        },
        |outing, text| set(&mut outing.subject, subject(text)),
    ),
    // Darkness limit: degrees the Sun is down, `15`, `12`. Left out: 18.
    Key::new(
        "sun",
        |outing| {
            let darkness = outing.limits.darkness;
            let written = darkness != Limits::default().darkness;
            written.then(|| darkness.degrees().to_string())
        },
        |outing, text| {
            let limit = text.parse().ok().and_then(DarknessLimit::from_degrees);
            outing.limits.darkness = limit.ok_or("must be 12, 15 or 18")?;
            Ok(())
        },
    ),
    // Least height of the subject, degrees. Left out: 5.
    Key::new(
        "least",
        |outing| unless(LEAST_CORE_DEG, outing.limits.least_core.degrees()),
        |outing, text| {
            let least_core = bounds::LEAST_CORE.read_angle(text);
            set(&mut outing.limits.least_core, least_core)
        },
    ),
    // `any`, `none`. Left out: harmless.
    Key::new(
        "moon",
        |outing| match outing.limits.moon {
            MoonLimit::Harmless => None,
            MoonLimit::Any => Some("any".to_owned()),
            MoonLimit::None => Some("none".to_owned()),
        },
        |outing, text| {
            outing.limits.moon = match text {
                "any" => MoonLimit::Any,
                "harmless" => MoonLimit::Harmless,
                "none" => MoonLimit::None,
                _ => return Err("must be any, harmless or none".to_owned()),
            };
            Ok(())
        },
    ),
    // Date of the night's noon. Left out: tonight: from sunrise on the coming night.
    Key::new(
        "night",
        |outing| outing.night.map(format_date),
        |outing, text| set_some(&mut outing.night, read_date(text)),
    ),
    // Minute looked at, from that noon. Left out: the subject's best.
    Key::new(
        "minute",
        |outing| outing.minute.map(|minute| minute.to_string()),
        |outing, text| set_some(&mut outing.minute, minute(text)),
    ),
];

fn subject(text: &str) -> Result<Subject, String> {
    let known = || Subject::ALL.map(Subject::key).join(", ");
    Subject::from_key(text).ok_or_else(|| format!("must be one of {}", known()))
}

fn minute(text: &str) -> Result<u16, String> {
    let minute = bounds::NIGHT_MINUTE.read_whole(text)?;
    // the bounds exclude larger numbers
    Ok(u16::try_from(minute).unwrap_or(0))
}
