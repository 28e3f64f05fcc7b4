//! The page's state, and what becomes of it when something happens.
//!
//! One struct of plain inputs, one enum of things that happened, one pure
//! [`State::after`]. Nothing worked out is kept here.

use std::rc::Rc;

use chrono::{DateTime, Datelike, NaiveDate, Utc};

pub use super::action::{Action, Change};
use super::carry::{self, Carry};
use super::draft::Draft;
use super::words;
use crate::angle::Angle;
use crate::camera::dial::{next_f_number, next_of};
use crate::camera::rules::Rule;
use crate::camera::sharpness::Sharpness;
use crate::land::ridge::RidgeLine;
use crate::outing::bounds::SITE_HEIGHT_M;
use crate::outing::checklist;
use crate::outing::kit::{Kit, MOST_KITS, next_focal_mm};
use crate::outing::plan::{NIGHT_MIN, Outing};
use crate::outing::series::next_total_min;
use crate::outing::site::{MOST_SITES, Site};
use crate::sky::moment::{Moment, YEARS};
use crate::sky::night::{date_of, noon};

/// Trails the stepper goes through, pixels.
const USUAL_TRAILS_PX: [f64; 12] = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0];

/// A skyline that was read is drawn to this.
const THINNED: Angle = Angle::from_degrees(0.05);

/// Most sentences shown at once.
const MOST_NOTICES: usize = 3;

/// How the page is lit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Look {
    /// By day: ink on warm paper.
    Paper,
    /// At home: dark.
    Dusk,
    /// In the field: pure red on black.
    Red,
}

/// A screen, named by the question it answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screen {
    /// The shutter time.
    HowLong,
    /// The night.
    When,
    /// The view through the lens.
    Where,
    /// What a tracker or a stack buys.
    Why,
}

/// A sheet that slides over the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// Bodies and lenses.
    Kit,
    /// Where the outing goes.
    Site,
    /// What must stay sharp, and how sharp.
    Sharp,
    /// How the page is lit, and how far to trust it.
    Lamp,
    /// A focal length typed in.
    Focal,
    /// An f-number typed in.
    FNumber,
    /// The night picked, the ridge and the Moon put up with.
    Night,
    /// A year of nights.
    Season,
    /// The skyline and what it was made from.
    Skyline,
    /// The arch of the Milky Way and the panorama that covers it.
    Panorama,
    /// The tracker and its errors.
    Tracker,
    /// The field card.
    Card,
    /// Frames, ISO, and what is known of body, sky and subject.
    Frames,
    /// Lists to tick.
    Lists,
    /// The outing, kits and sites on their way to another phone and from one.
    Carry,
}

/// What is worth keeping when the page closes, and what undo brings back.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Kept {
    /// The outing.
    pub outing: Outing,
    /// Saved kits, newest first.
    pub kits: Vec<Kit>,
    /// Saved sites, newest first.
    pub sites: Vec<Site>,
    /// Lines ticked, a bit for each number of
    /// [`checklist`](crate::outing::checklist).
    pub ticks: u64,
}

/// Everything the page knows.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// What is kept.
    pub kept: Kept,
    /// What was kept before the last change, and what kind of change it was.
    pub before: Option<(Kept, Change)>,
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
    pub look: Look,
    /// Whether the screen is asked to stay on.
    pub awake: bool,
    /// The row of the rules that is unfolded; the inner `None` is exact drift.
    pub open_rule: Option<Option<Rule>>,
    /// What the phone said of where it is, when asked last.
    pub place_told: Option<String>,
    /// The town looked for.
    pub sought: String,
    /// The list of towns.
    pub towns: Towns,
    /// The month of the season that is unfolded, by its first night.
    pub open_month: Option<NaiveDate>,
    /// The sighting in the making.
    pub draft: Draft,
    /// Whether the drift map lies over the view through the lens.
    pub drift_laid: bool,
    /// What the photo opened last said.
    pub photo_told: Option<String>,
    /// What is passed on, and what came in.
    pub carry: Carry,
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
    pub fn new(kept: Kept, look: Look, notices: Vec<Notice>) -> Self {
        Self {
            kept,
            before: None,
            screen: Screen::HowLong,
            now: DateTime::UNIX_EPOCH,
            tried_thirds: 0,
            tried_mm: None,
            patches: None,
            sheet: None,
            under: None,
            look,
            awake: false,
            open_rule: None,
            place_told: None,
            sought: String::new(),
            towns: Towns::Unopened,
            open_month: None,
            draft: Draft::default(),
            drift_laid: false,
            photo_told: None,
            carry: Carry::default(),
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
        }
        next.change_rest(action);
        next
    }

    /// Whether a code of the outing is wanted: to pass it on, or on the card in print.
    pub fn shows_code(&self) -> bool {
        matches!(self.sheet, Some(Sheet::Carry | Sheet::Card))
    }

    /// Whether the screen is to stay on: asked for, or while the card is read.
    pub fn stays_on(&self) -> bool {
        self.awake || self.sheet == Some(Sheet::Card)
    }

    /// The declination at the site: typed, or by the model; none where the model
    /// has none.
    pub fn declination(&self) -> Angle {
        let Draft {
            declination,
            modelled,
            ..
        } = &self.draft;
        declination.or(*modelled).unwrap_or(Angle::ZERO)
    }

    /// Applies what changes the kept part; says which kind of change it was.
    fn change_kept(&mut self, action: &Action) -> Option<Change> {
        let Kept {
            outing,
            kits,
            sites,
            ticks,
        } = &mut self.kept;
        Some(match action {
            Action::FocalStepped(up) => {
                outing.kit.lens.focal_mm = next_focal_mm(outing.kit.lens.focal_mm, *up);
                Change::Focal
            }
            Action::FocalTyped(focal_mm) => {
                outing.kit.lens.focal_mm = *focal_mm;
                Change::Focal
            }
            Action::FNumberStepped(up) => {
                outing.f_number = next_f_number(outing.f_number, *up);
                Change::FNumber
            }
            Action::FNumberTyped(f_number) => {
                outing.f_number = *f_number;
                Change::FNumber
            }
            Action::TrailStepped(up) => {
                outing.sharpness = next_trail(outing.allowed_px(), *up);
                Change::Sharpness
            }
            Action::SharpnessChosen(sharpness) => {
                outing.sharpness = *sharpness;
                Change::Sharpness
            }
            Action::KeepSharpChosen(place) => {
                outing.keep_sharp = *place;
                Change::KeepSharp
            }
            Action::HeldChosen(held) => {
                outing.held = *held;
                Change::Held
            }
            Action::FocusChosen(focus) => {
                outing.focus = *focus;
                Change::Focus
            }
            Action::MountTyped(mount) => {
                outing.mount = *mount;
                Change::Mount
            }
            Action::SiteEdited(site) | Action::TownTaken(site) => {
                outing.site.clone_from(site);
                Change::Site
            }
            Action::Located(Ok(place)) => {
                // into the site as it is now
                let height_m = place
                    .height_m
                    .and_then(|height_m| SITE_HEIGHT_M.check(height_m).ok());
                let height_m = height_m.unwrap_or(0.0);
                outing
                    .site
                    .move_to(place.latitude, place.longitude, height_m);
                Change::Site
            }
            Action::SiteSaved => {
                let site = outing.site.clone();
                sites.retain(|held| *held != site);
                sites.insert(0, site);
                sites.truncate(MOST_SITES);
                Change::SiteSaved
            }
            Action::SiteTaken(place) => {
                outing.site = sites.get(*place)?.clone();
                Change::SiteTaken
            }
            Action::SiteRemoved(place) => {
                if *place < sites.len() {
                    sites.remove(*place);
                }
                Change::SiteRemoved
            }
            Action::SkylineRead(Ok(sightings)) => {
                let line = RidgeLine::of(outing.site.ridge.all_round(), sightings.iter().copied());
                outing.site.ridge = line.thinned(THINNED);
                Change::Ridge
            }
            Action::RidgeDrawn(ridge) => {
                outing.site.ridge.clone_from(ridge);
                Change::Ridge
            }
            Action::Framed(date, minute, frame) => {
                (outing.night, outing.minute) = (Some(*date), Some(*minute));
                outing.frame = Some(*frame);
                Change::Frame
            }
            Action::FrameFreed => {
                outing.frame = None;
                Change::Frame
            }
            Action::MoonLimitChosen(limit) => {
                outing.moon = *limit;
                Change::MoonLimit
            }
            Action::NightChosen(date) | Action::NightPicked(date) => {
                if YEARS.contains(&date.year()) {
                    (outing.night, outing.minute) = (Some(*date), None);
                }
                Change::Night
            }
            Action::TonightChosen => {
                (outing.night, outing.minute) = (None, None);
                Change::Night
            }
            Action::LookedAt(date, minute) => {
                let minute = (*minute).min(NIGHT_MIN - 1);
                (outing.night, outing.minute) = (Some(*date), Some(minute));
                Change::Minute
            }
            Action::NowTapped => {
                let date = date_of(self.now, outing.site.longitude);
                let start = noon(date, outing.site.longitude);
                let minute = Moment::of(self.now).since_s(start) / 60.0;
                (outing.night, outing.minute) = (Some(date), Some(minute as u16));
                Change::Minute
            }
            Action::KitEdited(kit) => {
                if kit.lens.f_number != outing.kit.lens.f_number {
                    outing.f_number = kit.lens.f_number;
                }
                outing.kit.clone_from(kit);
                Change::Kit
            }
            // into the kit as it is now, which may have changed while the file was read
            Action::PhotoRead(Ok(facts)) => {
                let (kit, _) = words::kit_from_photo(&outing.kit, *facts);
                outing.f_number = kit.lens.f_number;
                outing.kit = kit;
                Change::Kit
            }
            Action::KitSaved => {
                let kit = outing.kit.clone();
                kits.retain(|held| *held != kit);
                kits.insert(0, kit);
                kits.truncate(MOST_KITS);
                Change::Saved
            }
            Action::KitTaken(place) => {
                let kit = kits.get(*place)?.clone();
                outing.f_number = kit.lens.f_number;
                outing.kit = kit;
                Change::Taken
            }
            Action::KitRemoved(place) => {
                if *place < kits.len() {
                    kits.remove(*place);
                }
                Change::Removed
            }
            Action::BodyKnown(body) => {
                outing.kit.body.clone_from(body);
                Change::Body
            }
            Action::DarknessTyped(dark_v) => {
                outing.site.dark_v = *dark_v;
                Change::Darkness
            }
            Action::GlowTyped(glow_v) => {
                outing.glow_v = *glow_v;
                Change::Glow
            }
            Action::IsoChosen(iso) => {
                outing.iso = *iso;
                Change::Iso
            }
            Action::StackStepped(up) => {
                outing.stack_min = next_total_min(outing.stack_min, *up);
                Change::Stack
            }
            Action::StackTyped(minutes) => {
                outing.stack_min = *minutes;
                Change::Stack
            }
            Action::SupportChosen(support) => {
                outing.support = *support;
                Change::Support
            }
            Action::WeatherTyped(weather) => {
                outing.weather = *weather;
                Change::Weather
            }
            Action::AirTyped(_) => {
                outing.weather = None;
                Change::Weather
            }
            Action::Ticked(id, ticked) => {
                let bit = checklist::bit(*id);
                *ticks = if *ticked { *ticks | bit } else { *ticks & !bit };
                Change::Tick
            }
            Action::TicksCleared(bits) => {
                *ticks &= !bits;
                Change::Clear
            }
            Action::Arrived(reading) => {
                if !reading.refused {
                    outing.clone_from(&reading.outing);
                }
                Change::Arrival
            }
            Action::BundleRead(read) => {
                self.carry.told = Some(carry::take_in(&mut self.kept, read));
                Change::Carried
            }
            Action::Undone => {
                let (before, _) = self.before.clone()?;
                self.kept = before;
                Change::Undo
            }
            _ => return None,
        })
    }

    fn change_rest(&mut self, action: Action) {
        match action {
            Action::ShutterTried(thirds) => {
                self.tried_thirds = self.tried_thirds.saturating_add(thirds);
            }
            Action::LensTried(focal_mm) => self.tried_mm = focal_mm,
            // a lens chosen for good is the one to look at
            Action::FocalStepped(_) | Action::FocalTyped(_) | Action::KitTaken(_) => {
                self.tried_mm = None;
            }
            Action::PatchesDrawn(drawn) => self.patches = drawn.ok(),
            Action::SheetOpened(sheet) => {
                self.draft.planned |= sheet == Sheet::Panorama;
                self.under = self.sheet.replace(sheet);
            }
            Action::SheetClosed => {
                self.sheet = self.under.take();
                (self.photo_told, self.place_told) = (None, None);
                self.draft.told = None;
                self.draft.leaning = false;
                self.draft.lean = None;
                self.sought.clear();
                self.carry = Carry::default();
            }
            // told only while the sheet that asked is open
            Action::Located(found) if self.sheet == Some(Sheet::Site) => {
                self.place_told = Some(match found {
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
            Action::PhotoRead(said) if self.sheet == Some(Sheet::Kit) => {
                self.photo_told = Some(match said {
                    Ok(facts) => words::kit_from_photo(&self.kept.outing.kit, facts).1,
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
            Action::DeclinationTold(modelled) => self.draft.modelled = modelled,
            Action::LeaningFailed(why) => {
                self.draft.leaning = false;
                self.draft.told = Some(why);
            }
            Action::BodyPointed(body) => {
                let site = &self.kept.outing.site;
                self.draft.set_against(body, site, self.now);
            }
            Action::SkylineOpened => self.draft.told = Some("Reading …".to_owned()),
            Action::RidgeDrawn(_) => self.draft.told = None,
            Action::SkylineRead(read) => {
                let kept = self.kept.outing.site.ridge.sightings().len();
                self.draft.told = Some(match read {
                    Ok(rows) => format!(
                        "{} bearings read; {kept} of them draw the same skyline to 0.05°.",
                        rows.len()
                    ),
                    Err(why) => why,
                });
            }
            Action::CodeDrawn(drawn) if self.shows_code() => {
                self.carry.drawn = Some(drawn);
            }
            Action::LinkCopied(copied) => self.carry.copied = Some(copied),
            Action::DriftLaid(laid) => self.drift_laid = laid,
            Action::LookChosen(look) => self.look = look,
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
                for complaint in reading.complaints {
                    self.notice(Notice::Said(complaint));
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

/// The next usual trail; the close look keeps its name.
fn next_trail(allowed_px: f64, up: bool) -> Sharpness {
    let pixels = next_of(&USUAL_TRAILS_PX, allowed_px, up);
    if pixels == Sharpness::CloseLook.pixels(0) {
        Sharpness::CloseLook
    } else {
        Sharpness::Pixels(pixels)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::camera::photo::PhotoFacts;
    use crate::outing::form;
    use crate::outing::place_text::Place;
    use crate::outing::plan::Weather;

    fn start() -> State {
        State::new(Kept::default(), Look::Dusk, Vec::new())
    }

    #[test]
    fn a_held_stepper_is_undone_whole_and_redone() {
        let mut state = start();
        for _ in 0..4 {
            state = state.after(Action::FocalStepped(true));
        }
        assert_eq!(state.kept.outing.kit.lens.focal_mm, 30.0);
        state = state.after(Action::Undone);
        assert_eq!(state.kept.outing.kit.lens.focal_mm, 20.0);
        state = state.after(Action::Undone);
        assert_eq!(state.kept.outing.kit.lens.focal_mm, 30.0);
    }

    #[test]
    fn a_change_ends_the_trial() {
        let state = start().after(Action::ShutterTried(3));
        assert_eq!(state.tried_thirds, 3);
        assert_eq!(state.after(Action::FNumberStepped(true)).tried_thirds, 0);
    }

    #[test]
    fn kits_are_kept_once_taken_and_removed() {
        let mut state = start().after(Action::KitSaved).after(Action::KitSaved);
        assert_eq!(state.kept.kits.len(), 1);
        state = state
            .after(Action::FocalTyped(85.0))
            .after(Action::KitTaken(0));
        assert_eq!(state.kept.outing.kit.lens.focal_mm, 20.0);
        state = state
            .after(Action::KitTaken(7))
            .after(Action::KitRemoved(0));
        assert!(state.kept.kits.is_empty());
        assert_eq!(state.after(Action::Undone).kept.kits.len(), 1);
    }

    #[test]
    fn a_bad_address_says_so_and_loses_nothing() {
        let state = start().after(Action::FocalTyped(85.0));
        let state = state.after(Action::Arrived(Box::new(form::read("v=9"))));
        assert_eq!(state.kept.outing.kit.lens.focal_mm, 85.0);
        assert_eq!(state.notices.len(), 1);
        assert!(state.after(Action::NoticeDismissed(0)).notices.is_empty());
    }

    #[test]
    fn the_trail_steps_from_a_print_too() {
        let step = |pixels, up| next_trail(pixels, up);
        assert_eq!(step(2.909, true), Sharpness::Pixels(3.0));
        assert_eq!(step(2.909, false), Sharpness::Pixels(2.5));
        assert_eq!(step(1.5, true), Sharpness::CloseLook);
        assert_eq!(step(80.0, true), Sharpness::Pixels(80.0));
    }

    #[test]
    fn undo_does_not_mix_edits_with_taking_or_saving_with_removing() {
        let state = start().after(Action::KitSaved);
        let mut edited = state.kept.outing.kit.clone();
        edited.name = "edited".to_owned();
        let state = state.after(Action::KitEdited(Box::new(edited.clone())));
        let undone = state.after(Action::KitTaken(0)).after(Action::Undone);
        assert_eq!(undone.kept.outing.kit, edited, "the edits come back");
        let state = state.after(Action::KitSaved).after(Action::KitRemoved(1));
        let undone = state.after(Action::Undone);
        assert_eq!(undone.kept.kits.len(), 2, "the saved one stays");
    }

    #[test]
    fn the_phones_place_takes_the_place_of_another_with_its_name() {
        let named = Site {
            name: "elsewhere".to_owned(),
            ..Site::default()
        };
        let state = start().after(Action::SiteEdited(Box::new(named)));
        let found = Place {
            latitude: Angle::from_degrees(46.5),
            longitude: Angle::from_degrees(9.9),
            height_m: Some(1e6),
        };
        let state = state.after(Action::Located(Ok(found)));
        let site = &state.kept.outing.site;
        assert_eq!((site.name.as_str(), site.height_m), ("", 0.0));
        assert_eq!(site.latitude.degrees(), 46.5);
        assert_eq!(state.place_told, None, "its sheet is closed");
        let refused = state.after(Action::Located(Err("no fix".to_owned())));
        assert_eq!(refused.kept, state.kept, "nothing is lost");
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
    fn ticks_are_undone_in_runs_and_cleared_by_list() {
        let state = start().after(Action::Ticked(3, true));
        let state = state.after(Action::Ticked(63, true));
        assert_eq!(state.kept.ticks, 1 << 3 | 1 << 63);
        let cleared = state.after(Action::TicksCleared(0xFF));
        assert_eq!(cleared.kept.ticks, 1 << 63);
        let undone = cleared.after(Action::Undone);
        assert_eq!(undone.kept.ticks, state.kept.ticks);
        assert_eq!(state.after(Action::Ticked(3, false)).kept.ticks, 1 << 63);
        assert_eq!(state.after(Action::Undone).kept.ticks, 0);
        assert_eq!(state.after(Action::Ticked(64, true)).kept, state.kept);
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
        assert_eq!(state.photo_told, None, "its sheet is closed");
    }
}
