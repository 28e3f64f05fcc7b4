//! Random actions.

use std::rc::Rc;

use super::draw::Draw;
use super::{SCREENS, SHEETS, edits};
use crate::browser::orientation::DeviceTilt;
use crate::browser::theme::Theme;
use crate::browser::viewport::Viewport;
use crate::camera::rules::Rule;
use crate::land::declination::Declination;
use crate::outing::document::{OutingId, SavedLists};
use crate::outing::plan::bounds;
use crate::outing::share::{file, query};
use crate::outing::test_frame::measured_stars::MeasuredStars;
use crate::outing::test_frame::offers::tests::good;
use crate::outing::test_frame::offers::{measured_lens, taken_frame};
use crate::outing::test_frame::report::StarCrop;
use crate::sky::almanac::SkyBody;
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::deck::DeckAction;
use crate::ui::state::derived::frame_comparison::FrameComparison;
use crate::ui::state::display::DisplayAction;
use crate::ui::state::ground::GroundAction;
use crate::ui::state::notices::{Notice, NoticesAction};
use crate::ui::state::panorama::PanoramaAction;
use crate::ui::state::routes::{RouteAction, Routes};
use crate::ui::state::share::ShareAction;
use crate::ui::state::site_sheet::SiteAction;
use crate::ui::state::skyline::{PullAction, SkylineAction, WayIn};
use crate::ui::state::views::{ExposureAction, FramingAction, SeasonAction, TrackingAction};
use crate::ui::state::weather::WeatherDraft;

/// Any action.
pub fn any(draw: &mut Draw, state: &State) -> Action {
    match draw.below(20) {
        0..=7 => Action::Edit(edits::any(draw)),
        8 => draw.one(&[Undo::Undo, Undo::Redo]).into(),
        9 | 10 => route(draw).into(),
        11 => skyline(draw).into(),
        12 => panorama(draw).into(),
        13 => tracking(draw).into(),
        14 => site(draw).into(),
        15 => Action::Clock(draw.instant()),
        16 => arrival(draw, state),
        17 => screen(draw),
        _ => small(draw, state),
    }
}

/// The two ways through the history.
#[derive(Clone, Copy)]
enum Undo {
    Undo,
    Redo,
}

impl From<Undo> for Action {
    fn from(way: Undo) -> Self {
        match way {
            Undo::Undo => Self::Undo,
            Undo::Redo => Self::Redo,
        }
    }
}

fn route(draw: &mut Draw) -> RouteAction {
    match draw.below(6) {
        0 | 1 => RouteAction::Show(draw.one(&SCREENS)),
        2 | 3 => RouteAction::Open(draw.one(&SHEETS)),
        4 => RouteAction::Close,
        _ => RouteAction::Restore(Routes {
            screen: draw.one(&SCREENS),
            sheets: vec![draw.one(&SHEETS)],
        }),
    }
}

fn skyline(draw: &mut Draw) -> SkylineAction {
    let strip = |draw: &mut Draw| (draw.angle(bounds::BEARING), 20.0 + 340.0 * draw.share());
    match draw.below(16) {
        0 => SkylineAction::Pull(PullAction::Press(edits::sighting(draw), 3.0)),
        1 => SkylineAction::Pull(PullAction::Drag(draw.measured(), draw.measured())),
        2 => SkylineAction::Pull(match draw.below(4) {
            0 => PullAction::Release,
            1 => PullAction::Turn(draw.angle(bounds::BEARING), strip(draw)),
            2 => PullAction::Raise(draw.angle(bounds::BEARING), draw.one(&[-10.0, 1.0])),
            _ => PullAction::Pan(draw.flag(), strip(draw)),
        }),
        3 => SkylineAction::Unfold(draw.one(&[
            WayIn::Numbers,
            WayIn::Table,
            WayIn::Tile,
            WayIn::Tilt,
        ])),
        4 => SkylineAction::Bearing(draw.angle(bounds::BEARING)),
        5 => SkylineAction::Height(draw.angle(bounds::SIGHTED)),
        6 => SkylineAction::Magnetic(draw.flag()),
        7 => SkylineAction::Declination(draw.angle(bounds::ROLL)),
        8 => SkylineAction::Distance(draw.within(bounds::DISTANCE_M)),
        9 => SkylineAction::Rise(draw.within(bounds::RISE_M)),
        10 => SkylineAction::Bend(draw.within(bounds::BEND)),
        11 => SkylineAction::Sense(draw.flag()),
        12 => SkylineAction::Tilted(DeviceTilt {
            height_deg: draw.measured(),
            compass_deg: draw.flag().then(|| draw.measured()),
        }),
        13 => draw
            .one(&[SkyBody::Subject, SkyBody::Sun, SkyBody::Moon].map(Some))
            .map_or(SkylineAction::SetLevel, SkylineAction::PointedAt),
        14 => SkylineAction::DeclinationFound(Ok(draw
            .flag()
            .then(|| Declination::Usual(draw.angle(bounds::ROLL))))),
        _ => match draw.below(3) {
            0 => SkylineAction::Reading,
            1 => SkylineAction::SetLevel,
            _ => SkylineAction::Read(Ok(edits::survey(draw))),
        },
    }
}

fn panorama(draw: &mut Draw) -> PanoramaAction {
    match draw.below(10) {
        0 => PanoramaAction::Overlap(draw.within(bounds::OVERLAP) / 100.0),
        1 => PanoramaAction::Pause(draw.within(bounds::PAUSE_S)),
        2 => PanoramaAction::ClickStops(draw.one(&[0, 1, 7, usize::MAX])),
        3 => PanoramaAction::Low(draw.angle(bounds::SIGHTED)),
        4 => PanoramaAction::AboutCore(draw.flag()),
        5 => PanoramaAction::Rows(draw.one(&[None, Some(1), Some(2), Some(3)])),
        6 => PanoramaAction::FieldStart,
        7 => PanoramaAction::FieldNext(draw.one(&[0, 1, 40])),
        8 => PanoramaAction::FieldBack,
        _ => PanoramaAction::FieldEnd,
    }
}

fn tracking(draw: &mut Draw) -> TrackingAction {
    match draw.below(5) {
        0 => TrackingAction::TryLens(draw.perhaps(bounds::FOCAL_MM)),
        1 => TrackingAction::Split(draw.measured()),
        2 => TrackingAction::Stack(draw.flag()),
        3 => TrackingAction::SamplesDrawn(Err("no memory".to_owned())),
        _ => TrackingAction::DrawAgain,
    }
}

fn site(draw: &mut Draw) -> SiteAction {
    match draw.below(4) {
        0 => SiteAction::Located(Ok(edits::coordinates(draw))),
        1 => SiteAction::Search(draw.name()),
        2 => SiteAction::ChooseTown(Box::new(edits::town(draw))),
        _ => SiteAction::Located(Err("no fix".to_owned())),
    }
}

/// What comes from outside: links, files, other tabs.
fn arrival(draw: &mut Draw, state: &State) -> Action {
    let form = "v=1&lat=-33.8694&lon=-70.25&mm=24&f=2&keep=dec-29.5&zone=-3&night=2026-06-14&\
        minute=1439&line=1.00*2.00_350.5*8.25&subject=winter";
    match draw.below(7) {
        0 => Action::Arrived(Box::new(query::read(form))),
        1 => Action::Arrived(Box::new(query::read("v=1&lat=x"))),
        2 => Action::OpenRecent(OutingId(draw.below(9) as u64), Box::default()),
        3 => Action::ReturnTo(state.document().id),
        4 => Action::OutingIdTaken(state.document().id),
        5 => Action::ListsStored(Box::new(SavedLists {
            kits: vec![state.outing().kit.clone(); draw.below(3)],
            kept_nights: vec![draw.night()],
            ticks: u64::MAX >> draw.below(64),
            ..SavedLists::default()
        })),
        _ => ShareAction::Import(Rc::new(file::read(&format!(
            "tarnlight 1\nkit {form}\nsite {form}\n"
        ))))
        .into(),
    }
}

fn screen(draw: &mut Draw) -> Action {
    match draw.below(4) {
        0 => {
            // from a watch to a wall; as small as a window can be made
            let widths = [1.0, 240.0, 360.0, 844.0, 1024.0, 2560.0];
            Action::Resized(Viewport {
                width_px: draw.one(&widths),
                height_px: draw.one(&widths),
                text_scale: draw.one(&[0.5, 1.0, 2.0]),
            })
        }
        1 => ExposureAction::TryShutter(draw.one(&[-1, 1, i32::MAX, i32::MIN])).into(),
        2 => ExposureAction::ToggleRule(draw.flag().then(|| draw.one(&Rule::ALL))).into(),
        _ => SeasonAction::Pick(draw.date()).into(),
    }
}

/// Stars of a frame taken with the kit in use, or none.
fn measured_stars(draw: &mut Draw, state: &State) -> Option<Rc<MeasuredStars>> {
    let mut report = good();
    for stars in report.zones.iter_mut().flat_map(|zone| &mut zone.measured) {
        stars.crop = Some(StarCrop {
            side: 1,
            light: vec![255],
        });
    }
    let stars = MeasuredStars::new(&report, &state.outing().kit, |_, _| String::new());
    stars.filter(|_| draw.flag()).map(Rc::new)
}

fn small(draw: &mut Draw, state: &State) -> Action {
    match draw.below(14) {
        0 => Action::Rest,
        1 => Action::LookAtNow,
        2 => DeckAction::DrawUp(draw.flag()).into(),
        3 => DeckAction::HideUndo.into(),
        4 => DisplayAction::Theme(draw.one(&Theme::ALL)).into(),
        5 => DisplayAction::Brighter(draw.flag()).into(),
        6 => NoticesAction::Show(Notice::NewVersion).into(),
        7 => NoticesAction::Dismiss(draw.one(&[0, 3, usize::MAX])).into(),
        8 => FramingAction::ShowDriftMap(draw.flag()).into(),
        9 => GroundAction::Nearest(draw.within(bounds::NEAREST_M)).into(),
        10 => GroundAction::Longest(draw.within(bounds::GROUND_S)).into(),
        11 => Action::CompareFrame(Box::new(FrameComparison {
            taken: taken_frame(&good()).filter(|_| draw.flag()),
            lens: measured_lens(&good(), &state.outing().kit).filter(|_| draw.flag()),
            thirds: draw.one(&[-30, 0, 2]),
        })),
        12 => Action::FrameMeasured(measured_stars(draw, state)),
        _ => Action::Weather(WeatherDraft {
            celsius: draw.perhaps(bounds::CELSIUS),
            humidity_percent: draw.perhaps(bounds::HUMIDITY),
        }),
    }
}
