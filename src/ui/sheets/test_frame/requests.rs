//! What Test frame asks of the worker, and takes in of its answers.

use std::rc::Rc;

use js_sys::Array;
use web_sys::File;
use yew::prelude::*;

use super::{Message, TestFrameSheet, by_skyline};
use crate::browser::time_zone::BrowserTimeZones;
use crate::browser::{frame_file, worker_client};
use crate::outing::document::Document;
use crate::outing::plan::camera_body::CameraClock;
use crate::outing::test_frame::clock_time::zone_ahead_s;
use crate::outing::test_frame::measured_stars::MeasuredStars;
use crate::outing::test_frame::report::{DecodedSize, FrameAnswer, FramePriors, FrameReport};
use crate::ui::state::action::Action;
use crate::ui::state::document::Edit;
use crate::ui::state::document::kit::{BodyEdit, KitEdit};
use crate::ui::state::test_frame::{Offer, SaidClock, TestFrameAction};
use crate::ui::text::test_frame as words;

impl TestFrameSheet {
    /// Takes in an answer.
    pub(super) fn answered(
        &mut self,
        context: &Context<Self>,
        run: u32,
        is_code: bool,
        answer: Result<FrameAnswer, String>,
    ) {
        if !is_code && run == self.sheet.run {
            let opened = self.opened.take();
            if matches!(answer, Ok(FrameAnswer::Measured(_))) && opened.is_some() {
                self.measured = opened;
                // that was said of the picture before
                self.sheet.said = None;
            }
            if let Ok(FrameAnswer::Measured(report)) = &answer {
                let props = context.props();
                let kit = &props.document.outing.kit;
                let stars = MeasuredStars::new(report, kit, words::beside_drawn);
                let stars = Action::FrameMeasured(stars.map(Rc::new));
                props.dispatch.emit(stars);
            }
        }
        let clock = self.sheet.reduce(if is_code {
            TestFrameAction::CodeRead(run, answer)
        } else {
            TestFrameAction::Answered(run, answer)
        });
        if let Some(clock) = clock {
            self.keep_clock(context, clock);
        }
        self.update_clock_misfit(context);
    }

    /// Keeps the camera's clock with the kit, after which the picture is measured again.
    pub(super) fn keep_clock(&mut self, context: &Context<Self>, clock: CameraClock) {
        let props = context.props();
        if props.document.outing.kit.body.clock != Some(clock) {
            let edit = Edit::Kit(KitEdit::Body(BodyEdit::Clock(Some(clock))));
            props.dispatch.emit(edit.into());
            return;
        }
        // it is kept already: there is nothing to be taken back
        let by_skyline = self.sheet.taken == Some(Offer::ClockBySkyline);
        self.sheet.taken = None;
        if by_skyline {
            self.sheet.reduce(TestFrameAction::Again(self.sheet.said));
            self.measure(context);
        }
    }

    /// Works out what the skyline says of the clock.
    pub(super) fn update_clock_misfit(&mut self, context: &Context<Self>) {
        let site = &context.props().document.outing.site;
        let report = self.sheet.report.as_ref();
        self.misfit =
            report.and_then(|report| by_skyline::misfit(report, &self.sheet.skyline(), site));
    }

    /// Has the picture measured.
    pub(super) fn measure(&self, context: &Context<Self>) {
        self.ask(context, false, None);
    }

    /// The number of the request whose answer is awaited.
    pub(super) const fn awaited(&self, is_code: bool) -> u32 {
        if is_code {
            self.sheet.code_run
        } else {
            self.sheet.run
        }
    }

    /// The photo of the code, or the picture that is to be measured.
    fn file(&self, is_code: bool) -> Option<&File> {
        if is_code {
            return self.code.as_ref();
        }
        let picture = self.opened.as_ref().or(self.measured.as_ref());
        picture.map(|picture| &picture.file)
    }

    /// Asks the worker about the picture or the photo of the code.
    pub(super) fn ask(
        &self,
        context: &Context<Self>,
        is_code: bool,
        pixels: Option<frame_file::Pixels>,
    ) {
        let Some(file) = self.file(is_code) else {
            return;
        };
        let files = Array::of1(file);
        let size = pixels.as_ref().map(|pixels| pixels.size);
        if let Some(pixels) = &pixels {
            files.push(&pixels.file);
        }
        let (link, run) = (context.link().clone(), self.awaited(is_code));
        let on_stage = context
            .link()
            .callback(move |stage| Message::Do(TestFrameAction::StageBegan(run, stage)));
        let done = move |answer| link.send_message(Message::Answered(run, is_code, size, answer));
        if is_code {
            worker_client::clock(&files, size, done);
        } else {
            let on_stage = move |stage| on_stage.emit(stage);
            worker_client::frame(&files, self.priors(context, size), on_stage, done);
        }
    }

    /// The worker cannot decode the file: the browser may.
    pub(super) fn decode_here(&self, context: &Context<Self>, is_code: bool) {
        let Some(file) = self.file(is_code) else {
            return;
        };
        let (link, run) = (context.link().clone(), self.awaited(is_code));
        frame_file::pixels(file, move |pixels| {
            link.send_message(match pixels {
                Ok(pixels) => Message::Decoded(run, is_code, pixels),
                Err(why) => Message::Answered(run, is_code, None, Err(why)),
            });
        });
    }

    /// What the outing knows of a picture.
    fn priors(&self, context: &Context<Self>, decoded: DecodedSize) -> FramePriors {
        let outing = &context.props().document.outing;
        let (kit, site) = (&outing.kit, &outing.site);
        let sides = (kit.sensor.width_mm, kit.sensor.height_mm);
        FramePriors {
            sensor_mm: (sides.0.max(sides.1), sides.0.min(sides.1)),
            focal_mm: kit.lens.focal_mm,
            site: site.is_set().then(|| site.on_earth()),
            clock_ahead_s: kit.body.clock.map(|clock| clock.ahead_s),
            said_ahead_s: self.said_ahead_s(&context.props().document),
            decoded,
        }
    }

    fn said_ahead_s(&self, document: &Document) -> Option<f64> {
        // what was said is of the picture that is measured, not of one just opened
        if self.opened.is_some() {
            return None;
        }
        match self.sheet.said? {
            SaidClock::Utc => Some(0.0),
            SaidClock::Skyline(ahead_s) => {
                let clock = document.outing.kit.body.clock;
                let holds = self.sheet.is_timed_by_skyline(clock);
                holds.then_some(f64::from(ahead_s))
            }
            SaidClock::Site => site_ahead_s(document, self.sheet.report.as_ref()?),
        }
    }
}

/// What the site's clocks are ahead of UTC, s, when they show the time that a file has.
pub(super) fn site_ahead_s(document: &Document, report: &FrameReport) -> Option<f64> {
    let zone = &document.outing.site.zone;
    zone_ahead_s(zone, report.notes.taken_ms?, &BrowserTimeZones)
}
