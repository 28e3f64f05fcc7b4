//! A question about a night: a site, a date, ridge heights, instants.

mod bodies;
mod instants;
mod question;
mod shot_windows;
mod windows;
mod zoned_night;

use serde::Serialize;
use tarnlight::outing::night::NoWindowReason;
use tarnlight::sky::almanac::Almanac;
use tarnlight::sky::night::{Night, noon};
use tarnlight::sky::observer::Observer;

use self::bodies::{CoreAnswer, MoonAnswer, SunAnswer};
use self::instants::InstantAnswer;
use self::question::NightQuestion;
use self::shot_windows::ShotWindow;
use self::windows::{RidgeLineAnswer, Windows};
use self::zoned_night::ZonedNight;
use super::field::{Field, FieldError};
use super::time::utc_text;
use super::{field, site, time};

#[derive(Serialize)]
pub struct NightAnswer {
    night: Extent,
    time: Clocks,
    subject: &'static str,
    core: CoreAnswer,
    sun: SunAnswer,
    moon: MoonAnswer,
    windows: Windows,
    shot_windows: Vec<ShotWindow>,
    no_window: Option<NoWindowReason>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ridge_line: Option<RidgeLineAnswer>,
    instants: Vec<InstantAnswer>,
}

#[derive(Serialize)]
struct Extent {
    start_utc: String,
    end_utc: String,
}

#[derive(Serialize)]
struct Clocks {
    tt_minus_utc_s: f64,
    dut1_s: f64,
}

/// Answers it.
pub fn answer(question: &Field) -> Result<NightAnswer, FieldError> {
    let question = NightQuestion::read(question)?;
    let start = noon(question.date, question.position.longitude);
    let subject = question.subject;
    let almanac = Almanac::with_subject(subject, start.plus_days(-1.0), 3.0);
    let observer = Observer::with_dut1(question.position, question.dut1_s);
    let night = ZonedNight {
        night: Night::new(&almanac, observer, start),
        zone: question.zone,
    };
    let (shot_windows, no_window) = shot_windows::compute(&question, observer);
    let instants = question.instants.iter().map(|moment| {
        // an instant far from the night has an almanac of its own
        let almanac = Almanac::with_subject(subject, moment.plus_days(-1.0), 2.0);
        night.instant(&almanac, *moment, &question)
    });
    Ok(NightAnswer {
        night: Extent {
            start_utc: utc_text(start),
            end_utc: utc_text(start.plus_days(1.0)),
        },
        time: Clocks {
            tt_minus_utc_s: start.tt_minus_utc_s(),
            dut1_s: question.dut1_s,
        },
        subject: subject.key(),
        core: night.core(&question.ridges_deg),
        sun: night.sun(),
        moon: night.moon(),
        windows: night.windows(&question.ridges_deg),
        shot_windows,
        no_window,
        ridge_line: question
            .ridge_line
            .as_ref()
            .map(|line| night.over_ridge_line(line)),
        instants: instants.collect(),
    })
}
