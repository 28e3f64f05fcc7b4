//! What becomes of the state, action by action.

mod nights;
mod sharing;

use std::rc::Rc;

use chrono::NaiveDate;

use super::action::Action;
use super::document::exposure::ExposureEdit;
use super::document::framing::FramingEdit;
use super::document::kit::KitEdit;
use super::document::lists::ListsEdit;
use super::document::night::NightEdit;
use super::effect::Effect;
use super::notices::{Notice, NoticesAction};
use super::routes::{RouteAction, Screen};
use super::share::ShareAction;
use super::site_sheet::SiteAction;
use super::skyline::{PullAction, SkylineAction};
use super::views::{ExposureAction, SeasonAction, TrackingAction};
use super::*;
use crate::angle::Angle;
use crate::camera::photo::PhotoFacts;
use crate::land::ridge::Sighting;
use crate::outing::document::SavedLists;
use crate::outing::gazetteer::parse::Coordinates;
use crate::outing::plan::kit::{Kit, MOST_KITS};
use crate::outing::plan::site::Site;
use crate::outing::plan::{NIGHT_MIN, Weather};
use crate::outing::share::{file, query};
use crate::sky::subject::Subject;

fn start() -> State {
    holding(Document::default())
}

fn holding(document: Document) -> State {
    State::new(document, Theme::Dusk, DateTime::UNIX_EPOCH, 1)
}

fn kit(name: &str) -> Kit {
    Kit {
        name: name.to_owned(),
        ..Kit::default()
    }
}

impl State {
    /// The state after an action, and its effects.
    fn after(&self, action: impl Into<Action>) -> Self {
        let mut next = self.clone();
        next.reduce(action.into());
        next
    }

    fn focal_mm(&self) -> f64 {
        self.outing().kit.lens.focal_mm
    }
}

fn link(form: &str) -> Action {
    Action::Arrived(Box::new(query::read(form)))
}

#[test]
fn another_subject_drops_minute_and_aim_of_the_former() {
    let date = NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
    let aimed = start().after(FramingEdit::Point(
        date,
        700,
        start().outing().pointing().frame,
    ));
    let same = aimed.after(NightEdit::Subject(Subject::Core));
    assert_eq!(same.outing(), aimed.outing());
    let other = aimed.after(NightEdit::Subject(Subject::SummerBand));
    let outing = other.outing();
    assert_eq!(
        (outing.night, outing.minute, outing.frame),
        (Some(date), None, None)
    );
    assert_eq!(outing.subject, Subject::SummerBand);
    assert_eq!(other.after(Action::Undo).outing(), aimed.outing());
}

/// Two turns of the camera add up, though the page may not have drawn the first when the second
/// comes; the first keeps the minute for which the frame was drawn.
#[test]
fn turns_of_the_camera_add_up() {
    let date = NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
    let turn = |right_deg| FramingEdit::Turn {
        at: (date, 700),
        right_deg,
        up_deg: 1.0,
    };
    let before = start().outing().pointing().frame;
    let turned = start().after(turn(3.0)).after(turn(-1.0));
    let frame = turned.outing().frame.expect("a frame");
    assert!((frame.bearing.degrees() - before.bearing.degrees() - 2.0).abs() < 1e-9);
    assert!((frame.tilt.degrees() - before.tilt.degrees() - 2.0).abs() < 1e-9);
    assert_eq!(turned.outing().minute, Some(700));
}

#[test]
fn a_change_ends_the_trial() {
    let state = start().after(ExposureAction::TryShutter(3));
    assert_eq!(state.exposure.tried_thirds, 3);
    let state = state.after(ExposureEdit::StepFNumber(true));
    assert_eq!(state.exposure.tried_thirds, 0);
}

#[test]
fn a_held_stepper_is_undone_whole_and_redone() {
    let mut state = start();
    for _ in 0..4 {
        state = state.after(KitEdit::StepFocalLength(true));
    }
    assert_eq!(state.focal_mm(), 30.0);
    state = state.after(Action::Undo);
    assert_eq!((state.focal_mm(), state.history.can_undo()), (20.0, false));
    state = state.after(Action::Redo);
    assert_eq!((state.focal_mm(), state.history.can_redo()), (30.0, false));
}

/// Each pull of the skyline is one step, however far the thumb went.
#[test]
fn pulls_of_the_skyline_are_undone_one_by_one() {
    let place = |bearing, height| Sighting {
        bearing: Angle::from_degrees(bearing),
        height: Angle::from_degrees(height),
    };
    let pull = |action| SkylineAction::Pull(action);
    let mut state = start().after(RouteAction::Open(Sheet::Skyline));
    for (bearing, rises) in [(150.0, [1.0, 2.0]), (200.0, [3.0, 4.0])] {
        state = state.after(pull(PullAction::Press(place(bearing, 5.0), 3.0)));
        for rise in rises {
            state = state.after(pull(PullAction::Drag(0.0, rise)));
        }
        state = state.after(pull(PullAction::Release));
    }
    let heights = |state: &State| -> Vec<f64> {
        let sightings = state.outing().site.ridge.sightings().iter();
        sightings
            .map(|sighting| sighting.height.degrees())
            .collect()
    };
    assert_eq!(heights(&state), [7.0, 9.0]);
    state = state.after(Action::Undo);
    assert_eq!(heights(&state), [7.0]);
    state = state.after(Action::Undo);
    assert!(heights(&state).is_empty());
}

#[test]
fn a_minute_looked_at_stays_with_its_night() {
    let date = NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
    let looked = start().after(NightEdit::Minute(date, 5000));
    assert_eq!(
        looked.outing().minute,
        Some(NIGHT_MIN - 1),
        "kept in the night"
    );
    let other = date.succ_opt().expect("a date");
    let picked = looked.after(SeasonAction::Pick(other));
    assert_eq!(picked.outing().night, Some(other));
    assert_eq!(picked.outing().minute, None, "the best of the new night");
    assert_eq!(picked.routes.screen, Screen::Night);
    let undone = picked.after(Action::Undo);
    assert_eq!(undone.outing().night, Some(date));
    let far = NaiveDate::from_ymd_opt(2101, 1, 1).expect("a date");
    let same = undone.after(NightEdit::Date(far)).outing().night;
    assert_eq!(same, Some(date), "outside the years nothing changes");
}

#[test]
fn half_the_air_is_held_until_the_other_half_comes() {
    let half = WeatherDraft {
        celsius: Some(8.0),
        humidity_percent: None,
    };
    let typed = start().after(Action::Weather(half));
    assert_eq!(typed.weather, half);
    assert!(typed.outing().weather.is_none() && !typed.history.can_undo());
    let whole = typed.after(Action::Weather(WeatherDraft {
        humidity_percent: Some(90.0),
        ..half
    }));
    let air = Weather {
        celsius: 8.0,
        humidity_percent: 90.0,
    };
    assert_eq!(whole.outing().weather, Some(air));
    let emptied = whole.after(Action::Weather(WeatherDraft {
        celsius: None,
        humidity_percent: Some(90.0),
    }));
    assert_eq!(emptied.outing().weather, None);
}

#[test]
fn a_lens_that_is_chosen_is_the_one_to_look_at() {
    let tried = start().after(TrackingAction::TryLens(Some(500.0)));
    let other = tried.after(ExposureEdit::StepFNumber(true));
    assert_eq!(other.tracking.tried_mm, Some(500.0));
    let chosen = other.after(KitEdit::FocalLength(35.0));
    assert_eq!(chosen.tracking.tried_mm, None);
    let undone = chosen
        .after(TrackingAction::TryLens(Some(500.0)))
        .after(Action::Undo);
    assert_eq!(undone.tracking.tried_mm, None, "another lens again");
    let same = tried.after(KitEdit::FocalLength(20.0));
    assert_eq!(same.tracking.tried_mm, None, "the one in use already");
}

#[test]
fn the_card_keeps_the_screen_on_and_its_sheets_lead_back() {
    let mut state = start();
    let effects = state.reduce(RouteAction::Open(Sheet::FieldCard).into());
    assert!(effects.contains(&Effect::WakeLock(true)) && effects.contains(&Effect::DrawCode));
    let lists = state.after(RouteAction::Open(Sheet::Checklists));
    assert!(!lists.stays_awake());
    let mut back = lists.after(RouteAction::Close);
    assert_eq!(back.routes.sheet(), Some(Sheet::FieldCard));
    let effects = back.reduce(RouteAction::Close.into());
    assert_eq!(back.routes.sheet(), None);
    assert!(
        effects.contains(&Effect::Retreat(Routes::default())),
        "{effects:?}"
    );
}

#[test]
fn a_sheet_whose_program_cannot_be_loaded_closes_and_says_so() {
    let failed = Action::DeferredLoaded(Err("no signal".to_owned()));
    // nobody has asked for a sheet yet
    let fresh = start();
    assert_eq!(fresh.after(failed.clone()), fresh);
    let mut open = fresh.after(RouteAction::Open(Sheet::Kit));
    assert!(!open.deferred_loaded);
    let effects = open.reduce(failed);
    assert_eq!(open.routes.sheet(), None);
    assert_ne!(open.notices, fresh.notices);
    assert!(effects.contains(&Effect::Retreat(Routes::default())));
    let loaded = fresh.after(Action::DeferredLoaded(Ok(())));
    assert!(loaded.deferred_loaded);
}

#[test]
fn what_a_sheet_holds_ends_with_it() {
    let state = start().after(RouteAction::Open(Sheet::Site));
    let state = state.after(SiteAction::Located(Err("no fix".to_owned())));
    assert_eq!(state.site.location.as_deref(), Some("no fix"));
    // the browser's Back closes it as Done does
    let mut left = state.clone();
    let effects = left.reduce(RouteAction::Restore(Routes::default()).into());
    assert_eq!(
        (left.site.location, effects),
        (None, vec![Effect::RestLater])
    );
}

#[test]
fn a_photo_read_late_fills_the_kit_of_now() {
    let facts = PhotoFacts {
        focal_mm: Some(35.0),
        ..PhotoFacts::default()
    };
    let state = start().after(KitEdit::Name("typed meanwhile".to_owned()));
    let state = state.after(Action::PhotoRead(Ok(facts)));
    assert_eq!(state.outing().kit.name, "typed meanwhile");
    assert_eq!(state.focal_mm(), 35.0);
    assert_eq!(state.photo, None, "its sheet is closed");
}

#[test]
fn what_is_known_of_a_lens_is_not_said_of_another() {
    let mut known = Kit::default();
    known.lens.distortion.k1 = -0.03;
    known.lens.corner_falloff_stops = Some(2.0);
    let state = start().after(KitEdit::Use(Box::new(known.clone())));
    let other = state
        .after(KitEdit::StepFocalLength(true))
        .outing()
        .kit
        .lens;
    assert_eq!(other.distortion.k1, 0.0);
    assert_eq!(other.corner_falloff_stops, None);
    let same = state.after(KitEdit::FocalLength(known.lens.focal_mm));
    assert_eq!(same.outing().kit, known);
}

#[test]
fn kits_are_saved_once_used_and_removed() {
    let mut state = start().after(ListsEdit::SaveKit).after(ListsEdit::SaveKit);
    assert_eq!(state.document().kits.len(), 1);
    state = state
        .after(KitEdit::FocalLength(85.0))
        .after(ListsEdit::UseKit(0));
    assert_eq!(state.focal_mm(), 20.0);
    state = state
        .after(ListsEdit::UseKit(7))
        .after(ListsEdit::RemoveKit(0));
    assert!(state.document().kits.is_empty());
    assert_eq!(state.after(Action::Undo).document().kits.len(), 1);
}

#[test]
fn undo_does_not_mix_edits_with_using_or_saving_with_removing() {
    let state = start().after(ListsEdit::SaveKit);
    let state = state.after(KitEdit::Name("edited".to_owned()));
    let undone = state.after(ListsEdit::UseKit(0)).after(Action::Undo);
    assert_eq!(undone.outing().kit.name, "edited", "the edits come back");
    let state = state
        .after(ListsEdit::SaveKit)
        .after(ListsEdit::RemoveKit(1));
    let undone = state.after(Action::Undo);
    assert_eq!(undone.document().kits.len(), 2, "the saved one stays");
}

#[test]
fn the_phones_place_takes_the_place_of_another_with_its_name() {
    let named = Site {
        name: "elsewhere".to_owned(),
        ..Site::default()
    };
    let state = start().after(SiteAction::ChooseTown(Box::new(named)));
    let found = Coordinates {
        latitude: Angle::from_degrees(46.5),
        longitude: Angle::from_degrees(9.9),
        height_m: Some(1e6),
    };
    let state = state.after(SiteAction::Located(Ok(found)));
    let site = &state.outing().site;
    assert_eq!((site.name.as_str(), site.height_m), ("", 0.0));
    assert_eq!(site.latitude.degrees(), 46.5);
    assert_eq!(state.site.location, None, "its sheet is closed");
    let refused = state.after(SiteAction::Located(Err("no fix".to_owned())));
    assert_eq!(refused.document(), state.document(), "nothing is lost");
}

#[test]
fn ticks_are_undone_in_runs_and_cleared_by_list() {
    let state = start().after(ListsEdit::Tick(3, true));
    let state = state.after(ListsEdit::Tick(63, true));
    assert_eq!(state.document().ticks, 1 << 3 | 1 << 63);
    let cleared = state.after(ListsEdit::ClearTicks(0xFF));
    assert_eq!(cleared.document().ticks, 1 << 63);
    assert_eq!(cleared.after(Action::Undo).document(), state.document());
    let unticked = state.after(ListsEdit::Tick(3, false));
    assert_eq!(unticked.document().ticks, 1 << 63);
    assert_eq!(state.after(Action::Undo).document().ticks, 0);
    let beyond = state.after(ListsEdit::Tick(64, true));
    assert_eq!(beyond.document(), state.document());
}

#[test]
fn a_skyline_is_not_taken_for_another_site() {
    let survey = vec![crate::land::survey::Surveyed {
        bearing: Angle::ZERO,
        height: Some(Angle::from_degrees(5.0)),
    }];
    let read = || SkylineAction::Read(Ok(survey.clone()));
    let opened = start()
        .after(RouteAction::Open(Sheet::Skyline))
        .after(SkylineAction::Reading);
    let here = opened.after(read());
    assert_eq!(here.outing().site.ridge.sightings().len(), 1);
    let elsewhere = opened.after(link("v=1&lat=46.5&lon=9.9"));
    let after = elsewhere.after(read());
    assert_eq!(after.document(), elsewhere.document());
    let message = after.skyline.message.expect("a sentence");
    assert!(message.contains("another site"), "{message}");
}

/// Minutes are spent on a stack, so the picture of Why track? shows one; a failed picture is told
/// until it is drawn again.
#[test]
fn minutes_stack_the_picture_and_a_failure_is_told() {
    let state = start();
    assert!(!state.tracking.stacked);
    let spent = state.after(ExposureEdit::TotalTime(20.0));
    assert!(spent.tracking.stacked);
    assert!(!spent.after(TrackingAction::Stack(false)).tracking.stacked);
    let moved = state.after(TrackingAction::Split(1.4));
    assert_eq!(moved.tracking.split, 1.0);
    assert_eq!(moved.document(), state.document());
    let failed = state.after(TrackingAction::SamplesDrawn(Err("no".to_owned())));
    assert!(failed.tracking.failed());
    assert_eq!(failed.notices, state.notices, "told in the picture's place");
    assert!(!failed.after(TrackingAction::DrawAgain).tracking.failed());
}
