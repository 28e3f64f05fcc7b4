//! Tests of the Test frame sheet's state.

use super::*;
use crate::outing::test_frame::border::{BorderDirection, BorderPoint};
use crate::outing::test_frame::offers::tests::good;

fn measured() -> Result<FrameAnswer, String> {
    Ok(FrameAnswer::Measured(Box::new(good())))
}

#[test]
fn an_answer_counts_only_for_the_picture_it_was_made_of() {
    let mut sheet = TestFrame::default();
    sheet.reduce(TestFrameAction::Opened);
    let first = sheet.run;
    sheet.reduce(TestFrameAction::Opened);
    sheet.reduce(TestFrameAction::Answered(first, measured()));
    assert_eq!(sheet.phase, Phase::Measuring);
    sheet.reduce(TestFrameAction::Answered(sheet.run, measured()));
    assert_eq!(sheet.report.as_ref().map(|report| report.found), Some(900));

    sheet.reduce(TestFrameAction::Again(Some(SaidClock::Utc)));
    let stopped = sheet.run;
    sheet.reduce(TestFrameAction::Stopped);
    // it still shows what it showed
    assert_eq!(sheet.phase, Phase::Measured);
    sheet.reduce(TestFrameAction::Answered(stopped, measured()));
    // nor is it lost to a picture that cannot be measured
    sheet.reduce(TestFrameAction::Opened);
    let failed = Err("this is not a picture".to_owned());
    sheet.reduce(TestFrameAction::Answered(sheet.run, failed));
    assert!(matches!(sheet.phase, Phase::Failed(_)) && sheet.report.is_some());
    let mut sheet = TestFrame::default();
    sheet.reduce(TestFrameAction::Opened);
    sheet.reduce(TestFrameAction::Stopped);
    assert_eq!((&sheet.phase, &sheet.report), (&Phase::Empty, &None));
}

#[test]
fn a_thumb_corrects_the_border_once_it_is_asked_to() {
    let degrees = Angle::from_degrees;
    let mut report = good();
    report.skyline = vec![(degrees(171.0), degrees(7.0))];
    report.border = vec![BorderPoint {
        at: (100.0, 500.0),
        towards: Some(BorderDirection {
            bearing: degrees(170.0),
            altitude: degrees(6.0),
            right_deg: (0.01, 0.0),
            down_deg: (0.0, -0.01),
        }),
    }];
    let mut sheet = TestFrame::default();
    sheet.reduce(TestFrameAction::Opened);
    let answer = Ok(FrameAnswer::Measured(Box::new(report.clone())));
    sheet.reduce(TestFrameAction::Answered(sheet.run, answer));
    let drag = TestFrameAction::DragBorder((100.0, 500.0), (0.0, -50.0));
    sheet.reduce(drag.clone());
    assert_eq!(sheet.skyline(), report.skyline);
    sheet.reduce(TestFrameAction::Correct(true));
    sheet.reduce(drag);
    let altitude = sheet.skyline()[0].1;
    assert!((altitude.degrees() - 6.5).abs() < 1e-9, "{altitude:?}");
    // it stays when the sheet is closed
    assert_eq!(sheet.kept().skyline(), sheet.skyline());
    // nor is it lost when the same picture is measured again, as with another clock
    sheet.reduce(TestFrameAction::Again(Some(SaidClock::Utc)));
    let again = Ok(FrameAnswer::Measured(Box::new(report.clone())));
    sheet.reduce(TestFrameAction::Answered(sheet.run, again));
    assert!((sheet.skyline()[0].1.degrees() - 6.5).abs() < 1e-9);
    sheet.reduce(TestFrameAction::BorderAsMeasured);
    assert_eq!(sheet.skyline(), report.skyline);
}

#[test]
fn stages_are_told_of_the_picture_that_is_awaited() {
    let mut sheet = TestFrame::default();
    sheet.reduce(TestFrameAction::Opened);
    let first = sheet.run;
    for stage in Stage::ALL {
        sheet.reduce(TestFrameAction::StageBegan(first, stage));
        assert_eq!(sheet.stage, Some(stage));
    }
    sheet.reduce(TestFrameAction::Opened);
    assert_eq!(sheet.stage, None);
    sheet.reduce(TestFrameAction::StageBegan(first, Stage::Reading));
    assert_eq!(sheet.stage, None);
    sheet.reduce(TestFrameAction::StageBegan(sheet.run, Stage::Finding));
    sheet.reduce(TestFrameAction::Stopped);
    assert_eq!(sheet.phase, Phase::Empty);
}

/// What was measured before stands, and so does what is said of the clock.
#[test]
fn the_clock_opened_as_a_frame_is_read() {
    let reading = ClockReading {
        ahead_s: 20.0,
        utc_s: 1_783_598_407,
    };
    let mut sheet = TestFrame::default();
    for (phase, before) in [(Phase::Empty, None), (Phase::Measured, Some(measured()))] {
        if let Some(before) = before {
            sheet.reduce(TestFrameAction::Opened);
            sheet.reduce(TestFrameAction::Answered(sheet.run, before));
        }
        sheet.reduce(TestFrameAction::Opened);
        let answer = Ok(FrameAnswer::Clock(reading));
        let clock = sheet.reduce(TestFrameAction::Answered(sheet.run, answer));
        assert_eq!(clock.map(|clock| clock.ahead_s), Some(20.0));
        assert_eq!((&sheet.phase, sheet.taken), (&phase, Some(Offer::Clock)));
        assert!(sheet.clock_message.is_some() && sheet.brings_code);
    }
}

#[test]
fn a_frame_that_is_put_away_is_gone_and_no_answer_brings_it_back() {
    let mut sheet = TestFrame::default();
    sheet.reduce(TestFrameAction::Opened);
    let run = sheet.run;
    sheet.reduce(TestFrameAction::Answered(run, measured()));
    sheet.reduce(TestFrameAction::PutAway);
    assert_eq!((&sheet.phase, &sheet.report), (&Phase::Empty, &None));
    sheet.reduce(TestFrameAction::Answered(run, measured()));
    assert_eq!(sheet.report, None);
}

#[test]
fn a_clock_set_by_the_skyline_is_taken_back_with_what_was_said_before() {
    let mut sheet = TestFrame::default();
    sheet.reduce(TestFrameAction::Again(Some(SaidClock::Utc)));
    let clock = camera_clock(ClockReading {
        ahead_s: -420.0,
        utc_s: 1_783_598_407,
    });
    let clock = clock.expect("a date");
    let kept = sheet.reduce(TestFrameAction::BySkyline(clock));
    assert_eq!(kept, Some(clock));
    assert_eq!(sheet.said, Some(SaidClock::Skyline(-420)));
    sheet.reduce(TestFrameAction::Took(None));
    assert_eq!((sheet.said, sheet.taken), (Some(SaidClock::Utc), None));
}

/// A code read meanwhile does not make the picture's answer another's.
#[test]
fn picture_and_code_are_waited_for_apart() {
    let mut sheet = TestFrame::default();
    sheet.reduce(TestFrameAction::Opened);
    let picture = sheet.run;
    sheet.reduce(TestFrameAction::CodeOpened);
    let none = Err("no code was found".to_owned());
    sheet.reduce(TestFrameAction::CodeRead(sheet.code_run, none));
    assert!(!sheet.reads_code);
    sheet.reduce(TestFrameAction::Answered(picture, measured()));
    assert_eq!(sheet.phase, Phase::Measured);
}

#[test]
fn failures_are_sentences() {
    let mut sheet = TestFrame::default();
    sheet.reduce(TestFrameAction::Opened);
    let why = Err("this is not a picture".to_owned());
    sheet.reduce(TestFrameAction::Answered(sheet.run, why));
    assert_eq!(
        sheet.phase,
        Phase::Failed("This is not a picture.".to_owned())
    );
}

/// 1 783 598 407 is in the day of 9 July 2026 (Unix time, POSIX).
#[test]
fn a_clock_that_was_read_is_kept_with_its_date() {
    let mut sheet = TestFrame::default();
    sheet.reduce(TestFrameAction::ShowCode(true));
    sheet.reduce(TestFrameAction::CodeOpened);
    let reading = ClockReading {
        ahead_s: 7207.0,
        utc_s: 1_783_598_407,
    };
    let answer = Ok(FrameAnswer::Clock(reading));
    let stale = sheet.reduce(TestFrameAction::CodeRead(9, answer.clone()));
    assert_eq!(stale, None);
    let clock = sheet
        .reduce(TestFrameAction::CodeRead(sheet.code_run, answer))
        .expect("a clock");
    assert_eq!(
        (clock.ahead_s, clock.date.to_string().as_str()),
        (7207.0, "2026-07-09")
    );
    assert!(!sheet.shows_code && !sheet.reads_code);
    assert_eq!(sheet.taken, Some(Offer::Clock));

    sheet.reduce(TestFrameAction::ShowCode(true));
    sheet.reduce(TestFrameAction::CodeOpened);
    let none = Err("no code was found".to_owned());
    assert_eq!(
        sheet.reduce(TestFrameAction::CodeRead(sheet.code_run, none)),
        None
    );
    assert_eq!(sheet.clock_message.as_deref(), Some("No code was found."));
    assert!(sheet.shows_code);
}
