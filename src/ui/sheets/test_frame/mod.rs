//! Test frame: a picture of the photographer's own is opened and measured; what its stars show,
//! what to do next, and what the outing can take of it.

mod by_skyline;
mod clock;
mod compare;
mod keys;
mod kits;
mod offers;
pub mod picture;
mod requests;
mod stars;

use std::cell::RefCell;
use std::rc::Rc;

use web_sys::{Element, File, HtmlCanvasElement};
use yew::prelude::*;

use crate::astrometry::skyline_clock::ClockMisfit;
use crate::browser::theme::Theme;
use crate::browser::{frame_file, shared_picture, worker_client};
use crate::outing::document::Document;
use crate::outing::plan::Outing;
use crate::outing::plan::kit::Kit;
use crate::outing::plan::site::Site;
use crate::outing::test_frame::lens_priors::MARKED_TO;
use crate::outing::test_frame::report::{DecodedSize, FrameAnswer, FrameReport};
use crate::ui::deferred;
use crate::ui::layout::Size;
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::derived::frame_comparison::{Comparable, ComparisonInputs};
use crate::ui::state::derived::memo::Memo;
use crate::ui::state::test_frame::{Phase, TestFrame, TestFrameAction};
use crate::ui::text::{frame_causes as causes, test_frame as words};
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use keys::{border_keys, file_key, key_word, phase_line, put_away_key};
use picture::FramePicture;

/// From this width on the picture stands beside what is told of it, px; its share; the margin at the
/// sides and between them; and the most that both take.
const TWO_COLUMNS_PX: f64 = 700.0;
const LEFT_SHARE: f64 = 0.55;
const MARGIN_PX: f64 = 16.0;
const MOST_PX: f64 = 1200.0;

/// The sheet.
pub fn test_frame_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let size = state.layout.sheet();
    let content = html! {
        <TestFrameSheet
            document={state.history.document().clone()}
            theme={state.display.theme}
            {size}
            dispatch={dispatch.clone()}
        />
    };
    dialog("Test frame", vec![content], dispatch)
}

/// What the content is shown for.
#[derive(Properties, PartialEq)]
pub struct TestFrameProps {
    /// The document.
    pub document: Rc<Document>,
    /// The theme.
    pub theme: Theme,
    /// Room on the screen.
    pub size: Size,
    /// Where edits are reported.
    pub dispatch: Dispatch,
}

/// A picture that was opened.
#[derive(Debug, Clone)]
struct Picture {
    /// Which of all that were opened.
    number: u32,
    file: File,
    /// It as it is shown.
    shown: Option<HtmlCanvasElement>,
}

/// The sheet's content, which holds the files.
#[derive(Debug, Default)]
pub struct TestFrameSheet {
    sheet: TestFrame,
    /// The picture that was measured.
    measured: Option<Picture>,
    /// The picture that is being measured.
    opened: Option<Picture>,
    /// How many pictures were opened.
    opened_so_far: u32,
    /// The photo of the code.
    code: Option<File>,
    /// The code, once it is asked for: it is to be in sight.
    code_place: NodeRef,
    picture_place: NodeRef,
    top_place: NodeRef,
    /// What the skyline says of the clock.
    misfit: Option<ClockMisfit>,
    /// Whether the frame can be compared in How long?
    comparable: Memo<ComparisonInputs, Comparable>,
}

thread_local! {
    /// What was measured last, for when the sheet is opened again.
    static KEPT: RefCell<Option<Kept>> = const { RefCell::new(None) };
}

/// What stays of a closed sheet, and what of the outing it was measured with.
struct Kept {
    sheet: TestFrame,
    picture: Picture,
    known: Known,
}

/// What of an outing explains a picture: site, kit, and with it the camera's clock.
type Known = (Site, Kit);

/// Whether a picture is to be explained anew: by another place, sensor, focal length or clock.
fn differ((site, kit): &Known, (other_site, other_kit): &Known) -> bool {
    let place = |site: &Site| (site.is_set(), site.on_earth(), site.zone.clone());
    let marked = |kit: &Kit| (kit.sensor, kit.body.clock);
    // a lens that was measured is the one that was marked
    let longer = kit.lens.focal_mm / other_kit.lens.focal_mm;
    place(site) != place(other_site)
        || marked(kit) != marked(other_kit)
        || (longer - 1.0).abs() > MARKED_TO
}

fn known(props: &TestFrameProps) -> Known {
    let outing = &props.document.outing;
    (outing.site.clone(), outing.kit.clone())
}

/// What happens to it.
pub enum Message {
    /// The state changes.
    Do(TestFrameAction),
    /// What was taken last is taken back.
    Undo,
    /// What the skyline says of the clock is to be worked out.
    UpdateClockMisfit,
    /// A file was chosen.
    Open(File),
    /// A photo of the code was chosen.
    OpenCode(File),
    /// The browser decoded the picture of this number, or cannot.
    Shown(u32, Option<HtmlCanvasElement>),
    /// The browser decoded, for the worker, the picture of this request or the photo of the code.
    Decoded(u32, bool, frame_file::Pixels),
    /// The worker answered this request about the picture, or the photo of the code.
    Answered(u32, bool, DecodedSize, Result<FrameAnswer, String>),
}

impl Component for TestFrameSheet {
    type Message = Message;
    type Properties = TestFrameProps;

    fn create(context: &Context<Self>) -> Self {
        let open = context.link().callback(Message::Open);
        shared_picture::take(move |picture| open.emit(picture));
        let kept = KEPT.with_borrow_mut(Option::take);
        kept.map_or_else(Self::default, |kept| {
            context.link().send_message(Message::UpdateClockMisfit);
            if differ(&kept.known, &known(context.props())) {
                let again = TestFrameAction::Again(kept.sheet.said);
                context.link().send_message(Message::Do(again));
            }
            Self {
                sheet: kept.sheet,
                opened_so_far: kept.picture.number,
                measured: Some(kept.picture),
                ..Self::default()
            }
        })
    }

    fn update(&mut self, context: &Context<Self>, message: Message) -> bool {
        deferred::test_frame_update(self, context, message)
    }

    fn changed(&mut self, context: &Context<Self>, before: &TestFrameProps) -> bool {
        let waits = self.sheet.phase == Phase::Measuring || self.sheet.report.is_some();
        if waits && differ(&known(before), &known(context.props())) {
            let taken = self.sheet.taken;
            self.sheet.reduce(TestFrameAction::Again(self.sheet.said));
            self.sheet.reduce(TestFrameAction::Took(taken));
            self.measure(context);
        }
        let (site, site_before) = (
            &context.props().document.outing.site,
            &before.document.outing.site,
        );
        if site.ridge != site_before.ridge {
            context.link().send_message(Message::UpdateClockMisfit);
        }
        true
    }

    fn destroy(&mut self, context: &Context<Self>) {
        if self.sheet.phase == Phase::Measuring || self.sheet.reads_code {
            worker_client::cancel();
        }
        if let Some(picture) = self.measured.take() {
            let kept = Kept {
                sheet: self.sheet.kept(),
                picture,
                known: known(context.props()),
            };
            if kept.sheet.report.is_some() {
                KEPT.set(Some(kept));
            }
        }
    }

    fn rendered(&mut self, _: &Context<Self>, _: bool) {
        // under what was measured it would be out of sight
        let brought = [
            (std::mem::take(&mut self.sheet.brings_top), &self.top_place),
            (
                std::mem::take(&mut self.sheet.brings_code),
                &self.code_place,
            ),
            (
                std::mem::take(&mut self.sheet.brings_picture),
                &self.picture_place,
            ),
        ];
        for (_, place) in brought.into_iter().filter(|(brings, _)| *brings) {
            if let Some(place) = place.cast::<Element>() {
                place.scroll_into_view();
            }
        }
    }

    fn view(&self, context: &Context<Self>) -> Html {
        deferred::test_frame(self, context)
    }
}

impl TestFrameSheet {
    /// Takes in what happened; whether something else is to be shown.
    pub fn take(&mut self, context: &Context<Self>, message: Message) -> bool {
        match message {
            Message::Open(file) => {
                self.sheet.reduce(TestFrameAction::Opened);
                self.opened_so_far += 1;
                let (link, number) = (context.link().clone(), self.opened_so_far);
                frame_file::shown(&file, move |canvas| {
                    link.send_message(Message::Shown(number, canvas));
                });
                self.opened = Some(Picture {
                    number,
                    file,
                    shown: None,
                });
                self.measure(context);
            }
            Message::OpenCode(file) => {
                self.sheet.reduce(TestFrameAction::CodeOpened);
                self.code = Some(file);
                self.ask(context, true, None);
            }
            Message::Shown(number, canvas) => {
                // it may be measured before it is decoded to be shown
                let pictures = self.opened.iter_mut().chain(&mut self.measured);
                for picture in pictures.filter(|picture| picture.number == number) {
                    picture.shown.clone_from(&canvas);
                }
            }
            Message::Decoded(run, is_code, pixels) => {
                if run == self.awaited(is_code) {
                    self.ask(context, is_code, Some(pixels));
                }
            }
            Message::Answered(run, is_code, size, answer) => {
                let undecoded = matches!(answer, Ok(FrameAnswer::Undecoded(_)));
                if undecoded && size.is_none() && run == self.awaited(is_code) {
                    self.decode_here(context, is_code);
                } else {
                    self.answered(context, run, is_code, answer);
                }
            }
            Message::Do(action) => {
                let again = matches!(action, TestFrameAction::Again(_));
                let corrected = matches!(
                    action,
                    TestFrameAction::Correct(_) | TestFrameAction::BorderAsMeasured
                );
                match action {
                    TestFrameAction::Stopped => {
                        worker_client::cancel();
                        self.opened = None;
                    }
                    TestFrameAction::PutAway => {
                        self.measured = None;
                        let none = Action::FrameMeasured(None);
                        context.props().dispatch.emit(none);
                    }
                    _ => {}
                }
                if let Some(clock) = self.sheet.reduce(action) {
                    self.keep_clock(context, clock);
                }
                if again {
                    self.measure(context);
                }
                if corrected {
                    self.update_clock_misfit(context);
                }
            }
            Message::UpdateClockMisfit => self.update_clock_misfit(context),
            Message::Undo => {
                self.sheet.reduce(TestFrameAction::Took(None));
                context.props().dispatch.emit(Action::Undo);
            }
        }
        true
    }

    /// The content.
    pub fn content(&self, context: &Context<Self>) -> Html {
        let props = context.props();
        let link = context.link();
        let open = link.callback(Message::Open);
        let report = self.sheet.report.as_ref();
        html! {
            <div class="test-frame" ref={self.top_place.clone()}>
                { phase_line(&self.sheet, link) }
                if let Some(report) = report {
                    { self.measured(context, report) }
                } else {
                    { kits::kits(&props.document, None, &props.dispatch) }
                }
                { file_key("frame", key_word(&self.sheet), &open) }
                { put_away_key(&self.sheet, link) }
                { clock::clock(&self.sheet, props, (link, &self.code_place)) }
            </div>
        }
    }

    /// Whether the frame can be compared in How long?
    fn comparable(&self, report: &Rc<FrameReport>, outing: &Outing) -> Rc<Comparable> {
        let inputs = ComparisonInputs {
            outing: outing.clone(),
            report: report.clone(),
        };
        self.comparable.get(inputs, Comparable::new)
    }

    /// What was measured.
    fn measured(&self, context: &Context<Self>, report: &Rc<FrameReport>) -> Html {
        let props = context.props();
        let outing = &props.document.outing;
        let pixel_ratio = report.pixel_ratio(outing.kit.sensor);
        let shown = self.measured.as_ref().and_then(|it| it.shown.clone());
        let wide = props.size.width >= TWO_COLUMNS_PX;
        let width = (props.size.width - 2.0 * MARGIN_PX).min(MOST_PX);
        let (left, right) = if wide {
            (LEFT_SHARE * width, width - LEFT_SHARE * width - MARGIN_PX)
        } else {
            (width, width)
        };
        let room = Size {
            width: left,
            height: props.size.height * if wide { 0.75 } else { 0.6 },
        };
        let dragged = context
            .link()
            .callback(|(from, by)| Message::Do(TestFrameAction::DragBorder(from, by)));
        html! {
            <div class={classes!("measured-frame", wide.then_some("wide-frame"))}>
                <p class="verdict" role="status">
                    <strong>{ causes::verdict(report) }</strong>
                    <span>{ causes::next(report, outing.allowed_px(), pixel_ratio) }</span>
                </p>
                <div class="pictured" ref={self.picture_place.clone()}>
                    <FramePicture
                        report={report.clone()}
                        {shown}
                        theme={props.theme}
                        {room}
                        correction={self.sheet.correction.clone()}
                        dragged={self.sheet.corrects.then_some(dragged)}
                    />
                    if self.sheet.corrects {
                        { border_keys(&self.sheet, context.link()) }
                    }
                </div>
                <div class="told-of-frame">
                    { kits::kits(&props.document, Some(report), &props.dispatch) }
                    { stars::stars(report, props.theme, right) }
                    { compare::compare_key(&self.comparable(report, outing), props) }
                    <p class="quiet" id="frame-settings">{ words::settings(report) }</p>
                    <p class="quiet">{ words::found(report) }</p>
                    { offers::offers(&self.sheet, (report, self.misfit), props, context.link()) }
                    if !self.sheet.corrects {
                        { border_keys(&self.sheet, context.link()) }
                    }
                </div>
            </div>
        }
    }
}
