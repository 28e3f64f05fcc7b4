//! The Test frame sheet: a picture on its way to the worker and back, and the camera's clock.
//!
//! The sheet's own component holds this state beside the file, so that nothing of it is in the first
//! load.

use std::rc::Rc;

use chrono::DateTime;

use crate::angle::Angle;
use crate::astrometry::stage::Stage;
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
    /// So many seconds ahead of UTC, by the skyline.
    Skyline(i32),
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
    /// The same, by the skyline.
    ClockBySkyline,
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
    /// The same before the clock was set by the skyline.
    said_before: Option<SaidClock>,
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
    /// Which stage of the measuring has begun.
    pub stage: Option<Stage>,
    /// Whether the code was just asked for and is to be brought into sight.
    pub brings_code: bool,
    /// Whether the top is to be brought into sight, where a picture that was just opened is told of.
    pub brings_top: bool,
    /// The same of the picture, whose skyline is to be corrected.
    pub brings_picture: bool,
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
    /// A stage of this request has begun.
    StageBegan(u32, Stage),
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
    /// The clock is set as the skyline has it.
    BySkyline(CameraClock),
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

    /// Whether the picture's time is that of the clock set by its skyline: as long as the kit has that
    /// clock and no other was read since.
    pub fn is_timed_by_skyline(&self, clock: Option<CameraClock>) -> bool {
        match self.said {
            Some(SaidClock::Skyline(ahead_s)) => {
                clock.is_some_and(|clock| clock.ahead_s == f64::from(ahead_s))
            }
            _ => false,
        }
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
                self.stage = None;
                self.run += 1;
                self.taken = None;
                self.corrects = false;
                self.brings_top = true;
            }
            TestFrameAction::Again(said) => {
                self.phase = Phase::Measuring;
                self.stage = None;
                self.said = said;
                self.taken = None;
                self.run += 1;
            }
            TestFrameAction::Stopped => self.stop(),
            // of a picture before, or stopped
            TestFrameAction::StageBegan(run, _) if run != self.run => {}
            TestFrameAction::Answered(run, _) if run != self.run => {}
            TestFrameAction::CodeRead(run, _) if run != self.code_run => {}
            TestFrameAction::StageBegan(_, stage) => self.stage = Some(stage),
            TestFrameAction::Answered(_, answer) => return self.take_answer(answer),
            TestFrameAction::ShowCode(shown) => {
                (self.shows_code, self.brings_code) = (shown, shown);
                self.clock_message = None;
            }
            TestFrameAction::CodeOpened => {
                self.code_run += 1;
                self.reads_code = true;
                self.clock_message = None;
            }
            TestFrameAction::CodeRead(_, answer) => return self.take_code(answer),
            TestFrameAction::Took(offer) => {
                if self.taken == Some(Offer::ClockBySkyline) && offer.is_none() {
                    self.said = self.said_before;
                }
                self.taken = offer;
            }
            TestFrameAction::BySkyline(clock) => {
                self.said_before = self.said;
                // the file's own offset may be what is wrong
                self.said = Some(SaidClock::Skyline(clock.ahead_s as i32));
                self.taken = Some(Offer::ClockBySkyline);
                return Some(clock);
            }
            TestFrameAction::Correct(corrects) => {
                (self.corrects, self.brings_picture) = (corrects, corrects);
            }
            TestFrameAction::DragBorder(from, by) => self.drag_border(from, by),
            TestFrameAction::BorderAsMeasured => self.correction = Rc::default(),
            TestFrameAction::PutAway => self.put_away(),
        }
        None
    }

    /// Awaits no answer any more.
    fn stop(&mut self) {
        self.run += 1;
        self.code_run += 1;
        self.reads_code = false;
        if self.phase == Phase::Measuring {
            self.phase = self.without_it();
        }
    }

    /// Takes in the answer about the picture.
    fn take_answer(&mut self, answer: Result<FrameAnswer, String>) -> Option<CameraClock> {
        match answer {
            Ok(FrameAnswer::Measured(report)) => self.measured(Rc::from(report)),
            // the clock was photographed, and opened as a frame
            Ok(FrameAnswer::Clock(reading)) => {
                self.phase = self.without_it();
                self.brings_code = true;
                return self.read_clock(reading);
            }
            Ok(FrameAnswer::Undecoded(why)) | Err(why) => {
                self.phase = Phase::Failed(words::sentence(&why));
            }
        }
        None
    }

    /// Takes in the answer about the photo of the code.
    fn take_code(&mut self, answer: Result<FrameAnswer, String>) -> Option<CameraClock> {
        self.reads_code = false;
        let message = match answer {
            Ok(FrameAnswer::Clock(reading)) => return self.read_clock(reading),
            Ok(FrameAnswer::Undecoded(why)) | Err(why) => words::sentence(&why),
            Ok(FrameAnswer::Measured(_)) => words::UNEXPECTED.to_owned(),
        };
        self.clock_message = Some(message);
        None
    }

    /// Moves the border with the thumb, while it is corrected.
    fn drag_border(&mut self, from: (f32, f32), by: (f32, f32)) {
        if let Some(report) = self.report.as_ref().filter(|_| self.corrects) {
            let (width, height) = report.size_px;
            let reach_px = THUMB_SHARE * width.max(height) as f32;
            let correction = Rc::make_mut(&mut self.correction);
            correction.drag(&report.border, from, by, reach_px);
        }
    }

    /// Forgets the frame.
    fn put_away(&mut self) {
        *self = Self {
            // an answer that is awaited is of the frame that is put away
            run: self.run.wrapping_add(1),
            code_run: self.code_run,
            reads_code: self.reads_code,
            shows_code: self.shows_code,
            ..Self::default()
        };
    }

    /// Takes in what was measured.
    fn measured(&mut self, report: Rc<FrameReport>) {
        // of the same picture measured again the border is the same
        if !self.has_border_of(&report) {
            self.correction = Rc::default();
            self.corrects = false;
        }
        self.report = Some(report);
        self.phase = Phase::Measured;
    }

    /// What is shown without the picture that was opened last.
    const fn without_it(&self) -> Phase {
        match self.report {
            Some(_) => Phase::Measured,
            None => Phase::Empty,
        }
    }

    /// Takes in the camera's clock; as the kit keeps it.
    fn read_clock(&mut self, reading: ClockReading) -> Option<CameraClock> {
        let clock = camera_clock(reading);
        self.clock_message = Some(match clock {
            Some(_) => clock_read(reading.ahead_s),
            None => words::UNEXPECTED.to_owned(),
        });
        if clock.is_some() {
            self.shows_code = false;
            self.taken = Some(Offer::Clock);
        }
        clock
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
mod tests;
