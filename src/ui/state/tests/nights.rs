//! Kept nights, the page that follows the clock, and edits that would move a site off the Earth.

use super::*;
use crate::outing::document::MOST_KEPT_NIGHTS;
use crate::ui::state::document::framing::FramingEdit;
use crate::ui::state::document::site::SiteEdit;
use chrono::{Days, TimeDelta};

/// Eleven in the evening of 4 June 2027, UTC.
const LATE_S: i64 = 1_812_150_000;

fn date(day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 6, day).expect("a date")
}

fn at(minutes: i64) -> DateTime<Utc> {
    DateTime::from_timestamp(LATE_S, 0).expect("a time") + TimeDelta::minutes(minutes)
}

fn live() -> State {
    start().after(Action::Clock(at(0))).after(Action::LookAtNow)
}

fn looked_at(state: &State) -> (Option<NaiveDate>, Option<u16>) {
    (state.outing().night, state.outing().minute)
}

#[test]
fn nights_are_kept_once_in_order_and_undone() {
    let state = start()
        .after(ListsEdit::KeepNight(date(9)))
        .after(ListsEdit::KeepNight(date(4)));
    assert_eq!(state.document().kept_nights, [date(4), date(9)]);
    let same = state.after(ListsEdit::KeepNight(date(9)));
    assert_eq!(same.history, state.history, "no step");
    let dropped = state.after(ListsEdit::DropNight(date(4)));
    assert_eq!(dropped.document().kept_nights, [date(9)]);
    let undone = dropped.after(Action::Undo);
    assert_eq!(undone.document().kept_nights, [date(4), date(9)]);
    let undone = undone.after(Action::Undo);
    assert_eq!(undone.document().kept_nights, [date(9)], "each a step");
    // what another tab keeps stays through undo
    let stored = SavedLists {
        kept_nights: vec![date(9), date(20)],
        ..SavedLists::default()
    };
    let merged = undone.after(Action::ListsStored(Box::new(stored)));
    assert_eq!(merged.document().kept_nights, [date(9), date(20)]);
    assert_eq!(
        merged.after(Action::Undo).document().kept_nights,
        [date(20)]
    );
}

#[test]
fn no_more_nights_are_kept_than_there_is_room_for() {
    let mut state = start();
    for day in 0..MOST_KEPT_NIGHTS as u64 {
        assert!(state.can_keep_night());
        state = state.after(ListsEdit::KeepNight(date(1) + Days::new(day)));
    }
    assert!(!state.can_keep_night());
    let full = state.after(ListsEdit::KeepNight(date(1) + Days::new(100)));
    assert_eq!(full.document().kept_nights.len(), MOST_KEPT_NIGHTS);
    let far = NaiveDate::from_ymd_opt(2101, 1, 1).expect("a date");
    let none = start().after(ListsEdit::KeepNight(far));
    assert!(none.document().kept_nights.is_empty());
}

#[test]
fn the_minute_follows_the_clock_without_steps_or_saving() {
    let mut state = live();
    assert!(state.night.live);
    assert_eq!(looked_at(&state), (Some(date(4)), Some(11 * 60)));
    for minutes in 1..=90 {
        let effects = state.reduce(Action::Clock(at(minutes)));
        assert_eq!(effects, [], "nothing is stored");
        assert_eq!(looked_at(&state).1, Some(660 + minutes as u16));
    }
    let same = state.after(Action::Clock(at(90)));
    assert_eq!(same.history, state.history, "nothing to draw");
    // one step back is the page before it followed
    let undone = state.after(Action::Undo);
    assert_eq!(looked_at(&undone), (None, None));
    assert!(!undone.night.live && !undone.history.can_undo());
    let still = undone.after(Action::Clock(at(120)));
    assert_eq!(looked_at(&still), (None, None));
}

#[test]
fn other_edits_and_their_undoing_leave_it_live() {
    let state = live().after(Action::Clock(at(5)));
    let edited = state
        .after(ExposureEdit::StepFNumber(true))
        .after(Action::Clock(at(9)));
    assert_eq!(looked_at(&edited).1, Some(669));
    let undone = edited.after(Action::Undo);
    assert!(undone.night.live);
    assert_eq!(looked_at(&undone).1, Some(669), "not the minute of then");
    // elsewhere the night's minutes are others: 15° are an hour
    let east = edited.after(SiteEdit::Longitude(Angle::from_degrees(15.0)));
    assert!(east.night.live);
    assert_eq!(looked_at(&east).1, Some(729));
    let framed = edited.after(FramingEdit::FollowCore);
    assert!(framed.night.live);
}

#[test]
fn another_minute_night_or_outing_ends_it() {
    let state = live();
    let ended = [
        NightEdit::Minute(date(4), 700).into(),
        NightEdit::Date(date(9)).into(),
        NightEdit::Tonight.into(),
        SeasonAction::Pick(date(20)).into(),
        link("v=1&lat=46.5&lon=9.9&night=2027-06-04&minute=660"),
    ];
    for action in ended {
        let other = state.after(action);
        assert!(!other.night.live, "{other:?}");
        let later = other.after(Action::Clock(at(30)));
        assert_eq!(looked_at(&later), looked_at(&other));
    }
    // the minute looked at already: from then on it is followed
    let planned = start().after(NightEdit::Minute(date(4), 660));
    let now = planned.after(Action::Clock(at(0))).after(Action::LookAtNow);
    assert!(now.night.live);
}

#[test]
fn no_edit_moves_a_site_off_the_earth() {
    let site = Site {
        latitude: Angle::from_degrees(46.5),
        longitude: Angle::from_degrees(9.9),
        ..Site::default()
    };
    let state = start()
        .after(SiteAction::ChooseTown(Box::new(site.clone())))
        .after(ListsEdit::SaveSite);
    let far = |latitude_deg: f64, longitude_deg: f64| Coordinates {
        latitude: Angle::from_degrees(latitude_deg),
        longitude: Angle::from_degrees(longitude_deg),
        height_m: None,
    };
    for edit in [
        SiteEdit::Latitude(Angle::from_degrees(95.0)),
        SiteEdit::Latitude(Angle::from_degrees(f64::NAN)),
        SiteEdit::Longitude(Angle::from_degrees(-180.5)),
        SiteEdit::Elevation(1e6),
        SiteEdit::Pasted(far(95.0, 9.9)),
        SiteEdit::Located(far(46.5, f64::INFINITY)),
        SiteEdit::Use(Box::new(Site {
            latitude: Angle::from_degrees(95.0),
            ..site.clone()
        })),
    ] {
        let other = state.after(edit.clone());
        assert_eq!(other.document(), state.document(), "{edit:?}");
        let saved = other.after(ListsEdit::SaveSite);
        assert_eq!(
            saved.document().sites,
            std::slice::from_ref(&site),
            "{edit:?}"
        );
    }
    let moved = state.after(SiteEdit::Latitude(Angle::from_degrees(-90.0)));
    assert_eq!(moved.outing().site.latitude.degrees(), -90.0);
    assert_eq!(moved.document().sites, [site], "the saved one stays");
}
