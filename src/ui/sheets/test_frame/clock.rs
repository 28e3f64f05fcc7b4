//! The camera's clock: what zone it is in, and a code to be photographed that sets it right.

use std::rc::Rc;

use gloo_timers::callback::Timeout;
use yew::html::Scope;
use yew::prelude::*;

use super::keys::{file_key, stop_key};
use super::requests::site_ahead_s;
use super::{Message, TestFrameProps, TestFrameSheet};
use crate::browser::{time_zone, worker_client};
use crate::outing::document::Document;
use crate::outing::test_frame::clock_code;
use crate::outing::test_frame::report::{FrameReport, TimeSource};
use crate::outing::test_frame::zone_preview::aim_if_ahead;
use crate::ui::sheets::share::labelled_squares;
use crate::ui::state::share::CodeImage;
use crate::ui::state::test_frame::{Offer, SaidClock, TestFrame, TestFrameAction};
use crate::ui::text::{frame_offers, test_frame as words};
use crate::ui::widgets::toggle_group::option;

/// What is asked about a file that does not say how its clock stands.
pub fn which_clock(
    sheet: &TestFrame,
    report: &FrameReport,
    document: &Document,
    link: &Scope<TestFrameSheet>,
) -> Html {
    let by_skyline = sheet.is_timed_by_skyline(document.outing.kit.body.clock);
    let asked = matches!(report.time, TimeSource::UnknownZone | TimeSource::Said);
    if !asked || by_skyline {
        return Html::default();
    }
    let site = &document.outing.site;
    let choice = |word, said, ahead_s: Option<f64>| {
        let onclick =
            link.callback(move |_: MouseEvent| Message::Do(TestFrameAction::Again(Some(said))));
        let aim = ahead_s
            .filter(|_| site.is_set())
            .and_then(|ahead_s| aim_if_ahead(report, site.on_earth(), ahead_s));
        let line = aim.map_or_else(String::new, frame_offers::aim_preview);
        option(word, &line, sheet.said == Some(said), onclick)
    };
    let zone = frame_offers::site_time(&site.zone.written());
    html! {
        <div class="which-clock" id="which-clock">
            <p>{ words::WHICH_CLOCK }</p>
            <div class="choice" role="group" aria-label="the camera's clock">
                { choice(&zone, SaidClock::Site, site_ahead_s(document, report)) }
                { choice("UTC", SaidClock::Utc, Some(0.0)) }
            </div>
        </div>
    }
}

/// The kit's clock, and the code.
pub fn clock(
    sheet: &TestFrame,
    props: &TestFrameProps,
    (link, place): (&Scope<TestFrameSheet>, &NodeRef),
) -> Html {
    let known = props.document.outing.kit.body.clock;
    let shows = sheet.shows_code;
    let onclick =
        link.callback(move |_: MouseEvent| Message::Do(TestFrameAction::ShowCode(!shows)));
    let undo = link.callback(|_: MouseEvent| Message::Undo);
    // what is brought into sight: the code, as long as it is shown
    let (section, code) = if shows {
        (NodeRef::default(), place.clone())
    } else {
        (place.clone(), NodeRef::default())
    };
    html! {
        <section class="camera-clock" ref={section}>
            <h3>{ "The camera's clock" }</h3>
            <p class="quiet">{ frame_offers::clock(known) }</p>
            if shows {
                <div class="clock-face" ref={code}><ClockCode /></div>
                <p>{ words::CODE }</p>
                { file_key("code-photo", "Open the photo of the code", &link.callback(Message::OpenCode)) }
            }
            <button id="clock-code" type="button" class="wide" {onclick}>
                if shows {
                    { "Put the clock away" }
                } else {
                    <>
                        { "Show a clock to photograph" }
                        <span class="offer-fact">{ words::WHY_CLOCK }</span>
                    </>
                }
            </button>
            if sheet.reads_code {
                <div class="row waits" role="status">
                    <span>{ words::READING }</span>
                    { stop_key(link) }
                </div>
            }
            if let Some(message) = &sheet.clock_message {
                <p class="told" role="status">{ message }</p>
            }
            if sheet.taken == Some(Offer::Clock) {
                <button id="undo-clock" type="button" class="wide" onclick={undo}>{ "Undo" }</button>
            }
        </section>
    }
}

/// The code of the present second.
///
/// Each second's code is drawn a second ahead and shown when the second begins.
struct ClockCode {
    shown: Option<Rc<CodeImage>>,
    next: Option<(i64, Rc<CodeImage>)>,
    failed: Option<String>,
    second: i64,
    _tick: Option<Timeout>,
}

enum ClockMessage {
    /// A second begins.
    Tick,
    /// The code of a second was drawn.
    Drawn(i64, Result<CodeImage, String>),
}

impl Component for ClockCode {
    type Message = ClockMessage;
    type Properties = ();

    fn create(context: &Context<Self>) -> Self {
        let mut code = Self {
            shown: None,
            next: None,
            failed: None,
            second: 0,
            _tick: None,
        };
        code.tick(context);
        code
    }

    fn update(&mut self, context: &Context<Self>, message: ClockMessage) -> bool {
        match message {
            ClockMessage::Tick => self.tick(context),
            ClockMessage::Drawn(second, Ok(image)) => {
                self.failed = None;
                self.next = Some((second, Rc::new(image)));
            }
            ClockMessage::Drawn(_, Err(why)) => self.failed = Some(words::sentence(&why)),
        }
        true
    }

    fn view(&self, _: &Context<Self>) -> Html {
        if let Some(why) = &self.failed {
            return html! { <p class="told" role="status">{ why }</p> };
        }
        match &self.shown {
            Some(image) => html! {
                <div id="clock-squares" data-second={self.second.to_string()}>
                    { labelled_squares(image, "QR code of the present second") }
                </div>
            },
            None => html! { <p role="status">{ words::DRAWING }</p> },
        }
    }
}

impl ClockCode {
    /// Shows the code of the second that begins, if it is drawn, and has the next one drawn.
    fn tick(&mut self, context: &Context<Self>) {
        let now = time_zone::now();
        let second = now.timestamp();
        // a code of another second would set a clock wrong
        self.shown = self
            .next
            .take()
            .filter(|(drawn, _)| *drawn == second)
            .map(|(_, image)| image);
        self.second = second;
        let link = context.link().clone();
        let ahead = second + 1;
        worker_client::code(clock_code::text(ahead), move |code| {
            let image = code.map(|code| CodeImage::new(&code));
            link.send_message(ClockMessage::Drawn(ahead, image));
        });
        let link = context.link().clone();
        let left_ms = 1000 - now.timestamp_subsec_millis().min(999);
        let tick = move || link.send_message(ClockMessage::Tick);
        self._tick = Some(Timeout::new(left_ms, tick));
    }
}
