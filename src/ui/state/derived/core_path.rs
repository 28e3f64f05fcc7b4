//! The core's path through the picture of a view, for a night.

use chrono::NaiveDate;

use super::horizon::PATH_STEP_DAYS;
use super::night_band::NightBand;
use super::selected_night::SelectedNight;
use crate::camera::view::View;
use crate::outing::framing::scene::{Place, Scene};
use crate::outing::plan::Outing;
use crate::outing::plan::site::Site;
use crate::sky::almanac::SkyBody;
use crate::sky::subject::Subject;

/// A moment just inside an end of a span, days from it: about a second.
const JUST_INSIDE_DAYS: f64 = 1e-5;

/// What a [`CorePath`] depends on. With a frame that was set, the minute does not matter.
#[derive(Debug, Clone, PartialEq)]
pub struct CorePathInputs {
    view: View,
    pub(super) site: Site,
    pub(super) subject: Subject,
    pub(super) date: NaiveDate,
    pub(super) windows: Vec<(f64, f64)>,
}

/// The core's path through the picture, where it is above the ridge.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CorePath {
    /// Outside the shot windows.
    pub outside: Vec<Vec<Place>>,
    /// In a shot window.
    pub window: Vec<Vec<Place>>,
    /// The full hours: days since noon, and the place.
    pub hours: Vec<(f64, Place)>,
}

impl CorePathInputs {
    /// Of an outing's night, through this view.
    pub(super) fn new(outing: &Outing, view: View, selected: &SelectedNight) -> Self {
        Self {
            view,
            site: outing.site.clone(),
            subject: selected.night.subject,
            date: selected.night.date,
            windows: windows(selected),
        }
    }
}

impl CorePath {
    /// Of the night of the scene, with its shot windows.
    pub(super) fn new(
        scene: &Scene<'_>,
        selected: &SelectedNight,
        band: &NightBand,
        windows: &[(f64, f64)],
    ) -> Self {
        let span = band.span;
        let steps = ((span.end - span.start) / PATH_STEP_DAYS).ceil().max(1.0);
        let step = |step: usize| span.start + (span.end - span.start) * step as f64 / steps;
        let mut moments: Vec<f64> = (0..=steps as usize).map(step).collect();
        // the ends are met to the second
        for (from, to) in windows {
            moments.extend([from - JUST_INSIDE_DAYS, *from, *to, to + JUST_INSIDE_DAYS]);
        }
        for crossing in &selected.night.evening.core.crossings {
            let inside = if crossing.up {
                JUST_INSIDE_DAYS
            } else {
                -JUST_INSIDE_DAYS
            };
            moments.extend([
                crossing.at - JUST_INSIDE_DAYS,
                crossing.at,
                crossing.at + inside,
            ]);
        }
        moments.retain(|at| span.contains(*at));
        moments.sort_by(f64::total_cmp);
        let mut found = Self::default();
        let mut last = None;
        for at in moments {
            let in_window = windows.iter().any(|(from, to)| (*from..=*to).contains(&at));
            let place = scene.body(SkyBody::Subject, at);
            let Some(place) = place.filter(|_| in_window || scene.core_is_clear(at)) else {
                last = None;
                continue;
            };
            let pieces = if in_window {
                &mut found.window
            } else {
                &mut found.outside
            };
            if last != Some(in_window) {
                pieces.push(Vec::new());
            }
            if let Some(piece) = pieces.last_mut() {
                piece.push(place);
            }
            last = Some(in_window);
        }
        let hours = band.hours.iter().copied();
        let hours = hours.filter(|at| span.contains(*at) && scene.core_is_clear(*at));
        found.hours = hours
            .filter_map(|at| Some((at, scene.body(SkyBody::Subject, at)?)))
            .collect();
        found
    }
}

/// The spans of the shot windows, days.
pub(super) fn windows(selected: &SelectedNight) -> Vec<(f64, f64)> {
    let windows = selected.night.evening.usable.windows.iter();
    windows.map(|it| (it.span.start, it.span.end)).collect()
}
