//! The page's state, and what becomes of it when something happens.
//!
//! One struct of plain inputs, one enum of things that happened, one pure
//! [`State::after`]. Nothing worked out is kept here.

pub mod action;
pub mod derived;
pub mod document;
pub mod drafts;
pub mod routes;
pub mod share;

use std::rc::Rc;

use chrono::{DateTime, NaiveDate, Utc};

use crate::angle::Angle;
use crate::camera::rules::Rule;
use crate::land::declination::Declination;
use crate::light::patch::SIDE;
use crate::outing::share::query::LINK_IGNORED;
pub use crate::ui::state::action::{Action, Change};
pub use crate::ui::state::document::Document;
use crate::ui::state::drafts::Drafts;
pub use crate::ui::state::routes::{Screen, Sheet, Theme};
use crate::ui::state::share::Share;
use crate::ui::text::framing::survey_read;
use crate::ui::text::photo::kit_from_photo;

/// Most sentences shown at once.
const MOST_NOTICES: usize = 3;

/// Everything the page knows.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// What is kept.
    pub kept: Document,
    /// What was kept before the last change, and what kind of change it was.
    pub before: Option<(Document, Change)>,
    /// The screen shown.
    pub screen: Screen,
    /// The time of day as last read from the phone.
    pub now: DateTime<Utc>,
    /// Thirds of a stop by which the shutter tried differs from the answer.
    pub tried_thirds: i32,
    /// The lens looked at under Why track?, mm; nothing for the one in use.
    pub tried_mm: Option<f64>,
    /// Pictures of the four ways, as bytes.
    pub patches: Option<Vec<Rc<[u8]>>>,
    /// The open sheet.
    pub sheet: Option<Sheet>,
    /// The sheet it was opened from, which is gone back to.
    pub under: Option<Sheet>,
    /// How the page is lit.
    pub theme: Theme,
    /// Whether the screen is asked to stay on.
    pub awake: bool,
    /// The row of the rules that is unfolded; the inner `None` is exact drift.
    pub open_rule: Option<Option<Rule>>,
    /// What the phone said of where it is, when asked last.
    pub place_message: Option<String>,
    /// The town looked for.
    pub sought: String,
    /// The list of towns.
    pub towns: Towns,
    /// The month of the season that is unfolded, by its first night.
    pub open_month: Option<NaiveDate>,
    /// The sighting in the making.
    pub draft: Drafts,
    /// Whether the drift map lies over the view through the lens.
    pub drift_laid: bool,
    /// What the photo opened last said.
    pub photo_message: Option<String>,
    /// What is passed on, and what came in.
    pub carry: Share,
    /// Sentences to show.
    pub notices: Vec<Notice>,
}

/// The list of towns, which is opened when somebody looks for one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Towns {
    /// Not asked for yet, or on its way.
    Unopened,
    /// Open.
    Open,
    /// Not to be had, and why.
    Missing(String),
}

/// A sentence to show until it is dismissed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Notice {
    /// Something to know.
    Said(String),
    /// A new version waits to be used.
    NewVersion,
}

impl State {
    /// A page that starts with this.
    pub fn new(kept: Document, theme: Theme, notices: Vec<Notice>) -> Self {
        Self {
            kept,
            before: None,
            screen: Screen::Exposure,
            now: DateTime::UNIX_EPOCH,
            tried_thirds: 0,
            tried_mm: None,
            patches: None,
            sheet: None,
            under: None,
            theme,
            awake: false,
            open_rule: None,
            place_message: None,
            sought: String::new(),
            towns: Towns::Unopened,
            open_month: None,
            draft: Drafts::default(),
            drift_laid: false,
            photo_message: None,
            carry: Share::default(),
            notices,
        }
    }

    /// The state after something happened.
    pub fn after(&self, action: Action) -> Self {
        let mut next = self.clone();
        if let Some(change) = next.change_kept(&action)
            && next.kept != self.kept
        {
            // each undo and each file stands for itself
            let same_run = !matches!(change, Change::Undo | Change::Carried)
                && matches!(&self.before, Some((_, last)) if *last == change);
            if !same_run {
                next.before = Some((self.kept.clone(), change));
            }
            next.tried_thirds = 0;
            // a lens chosen for good, however it came, is the one to look at
            if next.kept.outing.kit.lens.focal_mm != self.kept.outing.kit.lens.focal_mm {
                next.tried_mm = None;
            }
        }
        next.change_rest(action);
        next
    }

    /// Whether a code of the outing is wanted: to pass it on, or on the card in print.
    pub fn shows_code(&self) -> bool {
        matches!(self.sheet, Some(Sheet::Share | Sheet::Card))
    }

    /// Whether the screen is to stay on: asked for, or while the card is read.
    pub fn stays_on(&self) -> bool {
        self.awake || self.sheet == Some(Sheet::Card)
    }

    /// The declination at the site: typed, or by the model; none where the model
    /// has none.
    pub fn declination(&self) -> Angle {
        let Drafts {
            declination,
            modelled,
            ..
        } = &self.draft;
        let modelled = modelled.and_then(Declination::east);
        declination.or(modelled).unwrap_or(Angle::ZERO)
    }

    fn change_rest(&mut self, action: Action) {
        match action {
            Action::ShutterTried(thirds) => {
                self.tried_thirds = self.tried_thirds.saturating_add(thirds);
            }
            Action::LensTried(focal_mm) => self.tried_mm = focal_mm,
            // also where it is the one in use already
            Action::FocalTyped(_) | Action::KitTaken(_) => self.tried_mm = None,
            Action::PatchesDrawn(Ok(drawn)) => self.patches = Some(drawn),
            Action::PatchesDrawn(Err(why)) => {
                // none rather than those of another lens
                let blank: Rc<[u8]> = Rc::from(vec![0; SIDE * SIDE]);
                self.patches = Some(vec![blank; 4]);
                self.notice(Notice::Said(why));
            }
            Action::SheetOpened(sheet) => {
                self.draft.planned |= sheet == Sheet::Panorama;
                self.under = self.sheet.replace(sheet);
            }
            Action::SheetClosed => {
                self.sheet = self.under.take();
                (self.photo_message, self.place_message) = (None, None);
                self.draft.message = None;
                self.draft.leaning = false;
                self.draft.lean = None;
                self.sought.clear();
                self.carry = Share::default();
            }
            // told only while the sheet that asked is open
            Action::Located(found) if self.sheet == Some(Sheet::Site) => {
                self.place_message = Some(match found {
                    Ok(_) => "The phone's place is in use now.".to_owned(),
                    Err(why) => why,
                });
            }
            Action::TownSought(town) => self.sought = town,
            Action::TownTaken(_) => self.sought.clear(),
            Action::TownsOpened(opened) => {
                self.towns = match opened {
                    Ok(()) => Towns::Open,
                    Err(why) => Towns::Missing(why),
                };
            }
            // told only while the sheet that asked is open
            Action::PhotoRead(message) if self.sheet == Some(Sheet::Kit) => {
                self.photo_message = Some(match message {
                    Ok(facts) => kit_from_photo(&self.kept.outing.kit, facts).1,
                    Err(why) => why,
                });
            }
            Action::WeatherTyped(_) => self.draft.air = [None; 2],
            Action::AirTyped(half) => self.draft.air = half,
            Action::ClockRead(now) => self.now = now,
            Action::ScreenChosen(screen) => self.screen = screen,
            Action::NightPicked(_) => {
                (self.sheet, self.open_month) = (None, None);
                self.screen = Screen::When;
            }
            Action::Drafted(draft) => {
                self.draft = *draft;
                if !self.draft.leaning {
                    self.draft.lean = None;
                }
            }
            Action::Leaned(mut lean) if self.draft.leaning => {
                // one of the phone's two events may not tell the bearing
                let last = self.draft.lean.and_then(|lean| lean.compass_deg);
                lean.compass_deg = lean.compass_deg.or(last);
                self.draft.lean = Some(lean);
            }
            Action::DeclinationTold(Ok(modelled)) => self.draft.modelled = modelled,
            // told only while the sheet that asked is open
            Action::DeclinationTold(Err(why)) if self.sheet == Some(Sheet::Skyline) => {
                self.draft.message = Some(why);
            }
            Action::LeaningFailed(why) => {
                self.draft.leaning = false;
                self.draft.message = Some(why);
            }
            Action::BodyPointed(body) => {
                let site = &self.kept.outing.site;
                self.draft.set_against(body, site, self.now);
            }
            Action::SkylineOpened => self.draft.message = Some("Reading …".to_owned()),
            Action::RidgeDrawn(_) => self.draft.message = None,
            Action::SkylineRead(read) => {
                let kept = self.kept.outing.site.ridge.sightings().len();
                self.draft.message = Some(match read {
                    Ok(survey) => survey_read(&survey, kept),
                    Err(why) => why,
                });
            }
            Action::CodeDrawn(drawn) if self.shows_code() => {
                self.carry.drawn = Some(drawn);
            }
            Action::LinkCopied(copied) => self.carry.copied = Some(copied),
            Action::DriftLaid(laid) => self.drift_laid = laid,
            Action::LookChosen(theme) => self.theme = theme,
            Action::AwakeChosen(awake) => self.awake = awake,
            Action::MonthTapped(first) => {
                self.open_month = (self.open_month != Some(first)).then_some(first);
            }
            Action::RuleTapped(rule) => {
                self.open_rule = (self.open_rule != Some(rule)).then_some(rule);
            }
            Action::Noticed(notice) => self.notice(notice),
            Action::NewVersionTaken => {
                self.notices.retain(|notice| *notice != Notice::NewVersion);
            }
            Action::NoticeDismissed(place) if place < self.notices.len() => {
                self.notices.remove(place);
            }
            Action::Arrived(reading) => {
                let message = reading.errors;
                if reading.invalid && !reading.unsupported {
                    let all = message.join("; ");
                    self.notice(Notice::Said(LINK_IGNORED.to_owned() + &all));
                } else {
                    for error in message {
                        self.notice(Notice::Said(error));
                    }
                }
            }
            _ => {}
        }
    }

    fn notice(&mut self, notice: Notice) {
        if !self.notices.contains(&notice) {
            self.notices.insert(0, notice);
            self.notices.truncate(MOST_NOTICES);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::lens::Lens;
    use crate::camera::photo::PhotoFacts;
    use crate::outing::plan::kit::Kit;
    use crate::outing::plan::{NIGHT_MIN, Weather};
    use crate::outing::share::query;

    fn start() -> State {
        State::new(Document::default(), Theme::Dusk, Vec::new())
    }

    #[test]
    fn a_change_ends_the_trial() {
        let state = start().after(Action::ShutterTried(3));
        assert_eq!(state.tried_thirds, 3);
        assert_eq!(state.after(Action::FNumberStepped(true)).tried_thirds, 0);
    }

    #[test]
    fn a_bad_address_says_so_and_loses_nothing() {
        let state = start().after(Action::FocalTyped(85.0));
        let state = state.after(Action::Arrived(Box::new(query::read("v=9"))));
        assert_eq!(state.kept.outing.kit.lens.focal_mm, 85.0);
        assert_eq!(state.notices.len(), 1);
        let invalid = Box::new(query::read("v=1&mm=0&lat=999&night=2026-02-31"));
        let after = state.after(Action::Arrived(invalid));
        assert_eq!(after.kept, state.kept, "what was meant is not known");
        let state = state.after(Action::NoticeDismissed(0));
        assert!(state.notices.is_empty());
    }

    #[test]
    fn a_minute_looked_at_stays_with_its_night() {
        let date = NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
        let looked = start().after(Action::LookedAt(date, 5000));
        assert_eq!(
            looked.kept.outing.minute,
            Some(NIGHT_MIN - 1),
            "held in the night"
        );
        let other = date.succ_opt().expect("a date");
        let picked = looked.after(Action::NightPicked(other));
        assert_eq!(picked.kept.outing.night, Some(other));
        assert_eq!(picked.kept.outing.minute, None, "the best of the new night");
        assert_eq!(picked.screen, Screen::When);
        let undone = picked.after(Action::Undone);
        assert_eq!(undone.kept.outing.night, Some(date));
        let far = NaiveDate::from_ymd_opt(2101, 1, 1).expect("a date");
        let kept = undone.after(Action::NightChosen(far)).kept.outing.night;
        assert_eq!(kept, Some(date), "outside the years nothing changes");
    }

    #[test]
    fn half_the_air_is_held_until_the_other_half_comes() {
        let air = Weather {
            celsius: 8.0,
            humidity_percent: 90.0,
        };
        let half = start().after(Action::AirTyped([Some(8.0), None]));
        assert_eq!(half.draft.air, [Some(8.0), None]);
        assert_eq!((half.kept.outing.weather, &half.before), (None, &None));
        let whole = half.after(Action::WeatherTyped(Some(air)));
        assert_eq!(whole.kept.outing.weather, Some(air));
        let emptied = whole.after(Action::AirTyped([None, Some(90.0)]));
        assert_eq!(emptied.kept.outing.weather, None);
        let undone = emptied.after(Action::Undone);
        assert_eq!(undone.kept.outing.weather, None, "one run of typing");
    }

    #[test]
    fn a_lens_chosen_for_good_is_the_one_to_look_at() {
        let tried = start().after(Action::LensTried(Some(500.0)));
        let kept = tried.after(Action::FNumberStepped(true));
        assert_eq!(kept.tried_mm, Some(500.0));
        let kit = Kit {
            lens: Lens {
                focal_mm: 35.0,
                ..Kit::default().lens
            },
            ..Kit::default()
        };
        let edited = kept.after(Action::KitEdited(Box::new(kit)));
        assert_eq!(edited.tried_mm, None);
        let undone = edited
            .after(Action::LensTried(Some(500.0)))
            .after(Action::Undone);
        assert_eq!(undone.tried_mm, None, "another lens again");
    }

    #[test]
    fn the_card_keeps_the_screen_on_and_its_sheets_lead_back() {
        let card = start().after(Action::SheetOpened(Sheet::Card));
        assert!(card.stays_on() && !card.awake);
        let lists = card.after(Action::SheetOpened(Sheet::Lists));
        assert!(!lists.stays_on());
        let back = lists.after(Action::SheetClosed);
        assert_eq!(back.sheet, Some(Sheet::Card));
        assert_eq!(back.after(Action::SheetClosed).sheet, None);
    }

    #[test]
    fn a_photo_read_late_fills_the_kit_of_now() {
        let facts = PhotoFacts {
            focal_mm: Some(35.0),
            ..PhotoFacts::default()
        };
        let named = Kit {
            name: "typed meanwhile".to_owned(),
            ..Kit::default()
        };
        let state = start().after(Action::KitEdited(Box::new(named)));
        let state = state.after(Action::PhotoRead(Ok(facts)));
        assert_eq!(state.kept.outing.kit.name, "typed meanwhile");
        assert_eq!(state.kept.outing.kit.lens.focal_mm, 35.0);
        assert_eq!(state.photo_message, None, "its sheet is closed");
    }
}
