//! The Test frame sheet: a picture on its way to the worker and back, and the camera's clock.
//!
//! The sheet's own component holds this state beside the file, so that nothing of it is in the first
//! load.

use std::rc::Rc;

use chrono::DateTime;

use crate::angle::Angle;
use crate::outing::plan::camera_body::CameraClock;
use crate::outing::test_frame::border::Correction;
use crate::outing::test_frame::report::{ClockReading, FrameAnswer, FrameReport};
use crate::ui::text::frame_offers::clock_read;
use crate::ui::text::test_frame as words;

/// A thumb moves the border as far as this share of the picture's longer side from it.
const THUMB_SHARE: f32 = 0.06;

/// What has become of the picture.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Phase {
    /// None was opened.
    #[default]
    Empty,
    /// It is measured.
    Measuring,
    /// It could not be measured, with a sentence.
    Failed(String),
    /// It is measured.
    Measured,
}

/// What the photographer says the camera's clock showed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SaidClock {
    /// The site's time.
    Site,
    /// UTC.
    Utc,
}

/// What the outing can take over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Offer {
    /// Where the camera pointed.
    Aim,
    /// The lens.
    Lens,
    /// The skyline.
    Skyline,
    /// How the camera's clock stands.
    Clock,
}

/// The state.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TestFrame {
    /// What has become of the picture.
    pub phase: Phase,
    /// What it shows; while it is measured, or could not be, what the one before showed.
    pub report: Option<Rc<FrameReport>>,
    /// What was said of its clock.
    pub said: Option<SaidClock>,
    /// Whether the clock's code is shown.
    pub shows_code: bool,
    /// Whether a photo of it is read.
    pub reads_code: bool,
    /// What came of the photo of the code.
    pub clock_message: Option<String>,
    /// What was taken over last.
    pub taken: Option<Offer>,
    /// The number of the request about the picture whose answer is awaited.
    pub run: u32,
    /// The same about the photo of the code.
    pub code_run: u32,
    /// Whether a thumb on the picture corrects the border of sky and ground.
    pub corrects: bool,
    /// What it corrected.
    pub correction: Rc<Correction>,
    /// Whether the code was just asked for and is to be brought into sight.
    pub brings_code: bool,
}

/// What happens.
#[derive(Debug, Clone)]
pub enum TestFrameAction {
    /// A picture was opened.
    Opened,
    /// The picture is measured again, with what is known of its clock now.
    Again(Option<SaidClock>),
    /// The photographer does not want to wait.
    Stopped,
    /// The worker answered this request.
    Answered(u32, Result<FrameAnswer, String>),
    /// The code is to be shown, or no longer.
    ShowCode(bool),
    /// A photo of the code was opened.
    CodeOpened,
    /// It was read, or not.
    CodeRead(u32, Result<FrameAnswer, String>),
    /// Something was taken over, or taken back.
    Took(Option<Offer>),
    /// A thumb corrects the border from now on, or no longer.
    Correct(bool),
    /// It drags it, from a place, by so much; px of the picture, to the right and down.
    DragBorder((f32, f32), (f32, f32)),
    /// The border is as it was measured.
    BorderAsMeasured,
    /// The frame is put away.
    PutAway,
}

impl TestFrame {
    /// What stays when the sheet is closed.
    pub fn kept(&self) -> Self {
        Self {
            phase: Phase::Measured,
            report: self.report.clone(),
            said: self.said,
            correction: self.correction.clone(),
            ..Self::default()
        }
    }

    /// Whether the border of another report is in the same places of the picture.
    fn has_border_of(&self, other: &FrameReport) -> bool {
        let border = self.report.as_ref().map(|report| &report.border);
        border.is_some_and(|border| {
            let places = border.iter().map(|point| point.at);
            places.eq(other.border.iter().map(|point| point.at))
        })
    }

    /// The skyline as it was measured and corrected.
    pub fn skyline(&self) -> Vec<(Angle, Angle)> {
        match &self.report {
            Some(report) if self.correction.is_none() => report.skyline.clone(),
            Some(report) => self.correction.skyline(&report.border),
            None => Vec::new(),
        }
    }

    /// Applies an action; the camera's clock, where that was read.
    pub fn reduce(&mut self, action: TestFrameAction) -> Option<CameraClock> {
        match action {
            TestFrameAction::Opened => {
                // what was measured before stands until there is something better
                self.phase = Phase::Measuring;
                self.run += 1;
                self.taken = None;
                self.corrects = false;
            }
            TestFrameAction::Again(said) => {
                self.phase = Phase::Measuring;
                self.said = said;
                self.taken = None;
                self.run += 1;
            }
            TestFrameAction::Stopped => {
                self.run += 1;
                self.code_run += 1;
                self.reads_code = false;
                if self.phase == Phase::Measuring {
                    self.phase = match self.report {
                        Some(_) => Phase::Measured,
                        None => Phase::Empty,
                    };
                }
            }
            // of a picture before, or stopped
            TestFrameAction::Answered(run, _) if run != self.run => {}
            TestFrameAction::CodeRead(run, _) if run != self.code_run => {}
            TestFrameAction::Answered(_, answer) => {
                self.phase = match answer {
                    Ok(FrameAnswer::Measured(report)) => {
                        let report = Rc::<FrameReport>::from(report);
                        // of the same picture measured again the border is the same
                        if !self.has_border_of(&report) {
                            self.correction = Rc::default();
                            self.corrects = false;
                        }
                        self.report = Some(report);
                        Phase::Measured
                    }
                    Ok(FrameAnswer::Undecoded(why)) | Err(why) => {
                        Phase::Failed(words::sentence(&why))
                    }
                    Ok(FrameAnswer::Clock(_)) => Phase::Failed(words::UNEXPECTED.to_owned()),
                }
            }
            TestFrameAction::ShowCode(shown) => {
                (self.shows_code, self.brings_code) = (shown, shown);
                self.clock_message = None;
            }
            TestFrameAction::CodeOpened => {
                self.code_run += 1;
                self.reads_code = true;
                self.clock_message = None;
            }
            TestFrameAction::CodeRead(_, answer) => {
                self.reads_code = false;
                let (clock, message) = match answer {
                    Ok(FrameAnswer::Clock(reading)) => {
                        (camera_clock(reading), clock_read(reading.ahead_s))
                    }
                    Ok(FrameAnswer::Undecoded(why)) | Err(why) => (None, words::sentence(&why)),
                    Ok(FrameAnswer::Measured(_)) => (None, words::UNEXPECTED.to_owned()),
                };
                self.clock_message = Some(message);
                if clock.is_some() {
                    self.shows_code = false;
                    self.taken = Some(Offer::Clock);
                }
                return clock;
            }
            TestFrameAction::Took(offer) => self.taken = offer,
            TestFrameAction::Correct(corrects) => self.corrects = corrects,
            TestFrameAction::DragBorder(from, by) => {
                if let Some(report) = self.report.as_ref().filter(|_| self.corrects) {
                    let (width, height) = report.size_px;
                    let reach_px = THUMB_SHARE * width.max(height) as f32;
                    let correction = Rc::make_mut(&mut self.correction);
                    correction.drag(&report.border, from, by, reach_px);
                }
            }
            TestFrameAction::BorderAsMeasured => self.correction = Rc::default(),
            TestFrameAction::PutAway => {
                *self = Self {
                    // an answer that is awaited is of the frame that is put away
                    run: self.run.wrapping_add(1),
                    code_run: self.code_run,
                    reads_code: self.reads_code,
                    shows_code: self.shows_code,
                    ..Self::default()
                };
            }
        }
        None
    }
}

/// A reading as the kit keeps it.
fn camera_clock(reading: ClockReading) -> Option<CameraClock> {
    Some(CameraClock {
        ahead_s: reading.ahead_s,
        date: DateTime::from_timestamp(reading.utc_s, 0)?.date_naive(),
    })
}

#[cfg(test)]
mod tests {
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
}
