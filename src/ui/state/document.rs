//! What is kept when the page closes, and what changes it.

use chrono::Datelike;

use crate::angle::Angle;
use crate::camera::dial::{next_f_number, next_of};
use crate::camera::sharpness::Sharpness;
use crate::land::ridge::RidgeLine;
use crate::outing::exposure::sequence::next_total_min;
use crate::outing::field::checklist;
use crate::outing::plan::bounds::SITE_HEIGHT_M;
use crate::outing::plan::kit::{Kit, MOST_KITS, next_focal_mm};
use crate::outing::plan::site::{MOST_SITES, Site};
use crate::outing::plan::{NIGHT_MIN, Outing};
use crate::sky::moment::{Moment, YEARS};
use crate::sky::night::{date_of, noon};
use crate::ui::state::State;
use crate::ui::state::action::{Action, Change};
use crate::ui::state::share;
use crate::ui::text::photo::kit_from_photo;

/// Trails the stepper goes through, pixels.
const USUAL_TRAILS_PX: [f64; 12] = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0];

/// A skyline that was read is drawn to this.
const THINNED: Angle = Angle::from_degrees(0.05);

/// What is worth keeping when the page closes, and what undo brings back.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Document {
    /// The outing.
    pub outing: Outing,
    /// Saved kits, newest first.
    pub kits: Vec<Kit>,
    /// Saved sites, newest first.
    pub sites: Vec<Site>,
    /// Lines ticked, a bit for each number of [`checklist`].
    pub ticks: u64,
}

impl State {
    /// Applies what changes the kept part; says which kind of change it was.
    pub(super) fn change_kept(&mut self, action: &Action) -> Option<Change> {
        let Document {
            outing,
            kits,
            sites,
            ticks,
        } = &mut self.kept;
        Some(match action {
            Action::FocalStepped(up) => {
                let lens = outing.kit.lens;
                outing.kit.lens = lens.with_focal_mm(next_focal_mm(lens.focal_mm, *up));
                Change::Focal
            }
            Action::FocalTyped(focal_mm) => {
                outing.kit.lens = outing.kit.lens.with_focal_mm(*focal_mm);
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
                outing.orientation = *held;
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
            Action::SkylineRead(Ok(survey)) => {
                let line = RidgeLine::surveyed(outing.site.ridge.all_round(), survey);
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
            Action::LimitsChosen(limits) => {
                outing.limits = *limits;
                Change::Limits
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
                // the night that holds the minute, which from sunrise to noon is not tonight
                let date = date_of(self.now, outing.site.longitude);
                let start = noon(date, outing.site.longitude);
                let minute = Moment::from_utc(self.now).since_s(start) / 60.0;
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
                let (kit, _) = kit_from_photo(&outing.kit, *facts);
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
            Action::DarknessTyped(sky_brightness) => {
                outing.site.sky_brightness = *sky_brightness;
                Change::Darkness
            }
            Action::ExtinctionTyped(extinction_mag) => {
                outing.site.extinction_mag = *extinction_mag;
                Change::Extinction
            }
            Action::GlowTyped(subject_brightness) => {
                outing.subject_brightness = *subject_brightness;
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
                // one that was spoilt on its way is not the one that was meant
                if !reading.invalid {
                    outing.clone_from(&reading.outing);
                }
                Change::Arrival
            }
            Action::BundleRead(read) => {
                self.carry.message = Some(share::import(&mut self.kept, read));
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
    use crate::outing::gazetteer::parse::Coordinates;
    use crate::ui::state::routes::Theme;

    fn start() -> State {
        State::new(Document::default(), Theme::Dusk, Vec::new())
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
    fn what_is_known_of_a_lens_is_not_said_of_another() {
        let mut known = Kit::default();
        known.lens.distortion.k1 = -0.03;
        known.lens.corner_falloff_stops = Some(2.0);
        let state = start().after(Action::KitEdited(Box::new(known.clone())));
        let other = state.after(Action::FocalStepped(true)).kept.outing.kit.lens;
        assert_eq!(other.distortion.k1, 0.0);
        assert_eq!(other.corner_falloff_stops, None);
        let same = state.after(Action::FocalTyped(known.lens.focal_mm));
        assert_eq!(same.kept.outing.kit, known);
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
        let found = Coordinates {
            latitude: Angle::from_degrees(46.5),
            longitude: Angle::from_degrees(9.9),
            height_m: Some(1e6),
        };
        let state = state.after(Action::Located(Ok(found)));
        let site = &state.kept.outing.site;
        assert_eq!((site.name.as_str(), site.height_m), ("", 0.0));
        assert_eq!(site.latitude.degrees(), 46.5);
        assert_eq!(state.place_message, None, "its sheet is closed");
        let refused = state.after(Action::Located(Err("no fix".to_owned())));
        assert_eq!(refused.kept, state.kept, "nothing is lost");
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
}
