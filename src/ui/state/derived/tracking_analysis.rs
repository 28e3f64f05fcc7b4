//! What Why track? shows, from the outing, the night and the lens looked at.

use std::cell::OnceCell;
use std::rc::Rc;

use crate::camera::rules::Rule;
use crate::camera::sensor::Sensor;
use crate::camera::star_image::StarImage;
use crate::outing::exposure::by_focal_length::{
    ExposureByFocalLength, ExposureCurves, LONGEST_MM, SHORTEST_MM, by_rule,
};
use crate::outing::exposure::corner::Corner;
use crate::outing::exposure::sample_images::sample_stars;
use crate::outing::exposure::sky_brightness::{SkyBrightness, SkyBrightnessModel};
use crate::outing::exposure::strategies::{Strategies, Tracked, too_long_mm};
use crate::outing::exposure::targets::{TargetFrame, framed_by};
use crate::outing::exposure::tracker_gain::{Compared, with_best_body};
use crate::outing::plan::kit::Kit;
use crate::outing::plan::{KeepSharp, Outing};
use crate::sky::galactic_core::Culmination;
use crate::sky::targets::Target;
use crate::ui::state::derived::compare_lenses::SAME_FOCAL;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::text::tracking as words;

/// Everything Why track? shows.
#[derive(Debug, Clone)]
pub struct TrackingAnalysis {
    /// The sky where the camera points.
    pub sky: SkyBrightness,
    /// The lens looked at.
    pub reach: ExposureByFocalLength,
    /// What the tracker allows with it.
    pub tracked: Tracked,
    /// The four strategies with it.
    pub strategies: Strategies,
    /// A star of one frame, from the tripod and from the tracker.
    pub stars: [StarImage; 2],
    /// What the tracker gains with it.
    pub compared: Compared,
    /// What its corners gather in a stack; `None` for another lens than the one in use, of which
    /// nothing is known.
    pub corner: Option<Corner>,
    /// What does not depend on the lens looked at.
    pub table: Rc<LensTable>,
}

/// What depends on the outing and the minute alone.
#[derive(Debug, Clone)]
pub struct LensTable {
    /// The sky where the camera points.
    pub sky: SkyBrightness,
    /// Every lens.
    pub reaches: ExposureCurves,
    /// From where on a tripod is too little, mm: for the usual body, and for the best one
    /// that it could be.
    pub too_long_mm: [Option<f64>; 2],
    outing: Outing,
    /// Each of the usual lenses, once the folded table is drawn.
    lenses: OnceCell<Vec<LensRow>>,
    /// The outing with the best body that it could be, where that is not known.
    best: Option<Outing>,
    /// Each target.
    pub targets: Vec<TargetExposure>,
}

/// A usual lens.
#[derive(Debug, Clone)]
pub struct LensRow {
    /// Its longest exposures.
    pub reach: ExposureByFocalLength,
    /// The longest exposure by the 500 rule, s.
    pub rule_500_s: f64,
    /// What the tracker gains with it.
    pub compared: Compared,
}

/// A target where it stands highest over the site.
#[derive(Debug, Clone)]
pub struct TargetExposure {
    /// The target.
    pub target: Target,
    /// The sensor in use.
    sensor: Sensor,
    /// Whether it rises over the site at all.
    pub rises: bool,
    /// The four strategies with the lens that frames it.
    pub compared: Compared,
}

/// Lenses of the tables, mm.
const LENSES_MM: [f64; 11] = [
    14.0, 20.0, 24.0, 35.0, 50.0, 85.0, 135.0, 200.0, 300.0, 400.0, 600.0,
];

impl LensTable {
    /// For an outing at the minute looked at.
    pub fn new(outing: &Outing, selected: &SelectedNight) -> Self {
        let at = (selected.night.date, days_of(selected.minute));
        let lights = SkyBrightnessModel::at(&selected.night.site_sky, at);
        let here = lights.towards(outing.pointing().exposed_for());
        let sky = &here;
        let reaches = ExposureCurves::new(outing);
        let best = with_best_body(outing);
        let strategies = |outing: &Outing, focal_mm| {
            let tracked = reaches.tracked(outing, focal_mm);
            Strategies::new(outing, focal_mm, sky, tracked)
        };
        let too_long = |outing: &Outing| {
            too_long_mm(outing, (SHORTEST_MM, LONGEST_MM), |focal_mm| {
                strategies(outing, focal_mm)
            })
        };
        let usual = too_long(outing);
        let [mut there, mut best_there] =
            [outing, best.as_ref().unwrap_or(outing)].map(Outing::clone);
        let mut target = |(target, focal_mm): (Target, f64)| {
            for outing in [&mut there, &mut best_there] {
                outing.keep_sharp = KeepSharp::Declination(target.declination);
            }
            let highest = Culmination::new(target.declination, outing.site.latitude);
            let sky = lights.towards((highest.bearing, highest.altitude));
            // a search for each would take longer than all the rest
            let tracked = reaches.tracked(&there, focal_mm);
            TargetExposure {
                target,
                sensor: outing.kit.sensor,
                rises: highest.rises(),
                compared: Compared::new(
                    &there,
                    best.as_ref().map(|_| &best_there),
                    focal_mm,
                    &sky,
                    tracked,
                ),
            }
        };
        Self {
            sky: here,
            too_long_mm: [usual, best.as_ref().map_or(usual, too_long)],
            outing: outing.clone(),
            lenses: OnceCell::new(),
            targets: framed_by(outing.kit.sensor).map(&mut target).collect(),
            best,
            reaches,
        }
    }
}

/// The lens in use and those of the saved kits, mm, shortest first, each once.
pub fn own_lenses(outing: &Outing, kits: &[Kit]) -> Vec<f64> {
    let mut own_mm = vec![outing.kit.lens.focal_mm];
    for kit in kits {
        let focal_mm = kit.lens.focal_mm;
        if own_mm
            .iter()
            .all(|own| (focal_mm / own - 1.0).abs() >= SAME_FOCAL)
        {
            let longer = own_mm.iter().position(|own| *own > focal_mm);
            own_mm.insert(longer.unwrap_or(own_mm.len()), focal_mm);
        }
    }
    own_mm
}

impl LensTable {
    /// Each of the usual lenses: worked out when the folded table is first drawn, which waits until the
    /// page is at rest.
    pub fn lenses(&self) -> &[LensRow] {
        let (outing, best) = (&self.outing, self.best.as_ref());
        let lens = |focal_mm| {
            let tracked = self.reaches.tracked(outing, focal_mm);
            LensRow {
                reach: self.reaches.at(outing, focal_mm),
                rule_500_s: by_rule(outing, Rule::FiveHundred, focal_mm),
                compared: Compared::new(outing, best, focal_mm, &self.sky, tracked),
            }
        };
        self.lenses.get_or_init(|| LENSES_MM.map(lens).into())
    }

    /// The targets that rise over the site, in the frames of these lenses or of ones to get.
    pub fn framed(&self, own_mm: &[f64]) -> Vec<(&TargetExposure, TargetFrame)> {
        let framed = |it: &TargetExposure| {
            let filling_mm = it.compared.strategies.focal_mm;
            TargetFrame::new(it.sensor, &it.target, filling_mm, own_mm)
        };
        let rising = self.targets.iter().filter(|target| target.rises);
        rising.filter_map(|it| Some((it, framed(it)?))).collect()
    }
}

impl TrackingAnalysis {
    /// For an outing and a focal length, mm.
    pub fn new(outing: &Outing, table: Rc<LensTable>, focal_mm: f64) -> Self {
        let sky = table.sky;
        let reach = table.reaches.at(outing, focal_mm);
        let tracked = table.reaches.tracked(outing, focal_mm);
        let compared = Compared::new(outing, table.best.as_ref(), focal_mm, &sky, tracked);
        let strategies = compared.strategies;
        let in_use = focal_mm == outing.kit.lens.focal_mm;
        let corner = in_use.then(|| Corner::new(outing, &strategies.stack.settings));
        Self {
            sky,
            strategies,
            stars: sample_stars(outing, &strategies),
            corner: corner.flatten(),
            compared,
            reach,
            tracked,
            table,
        }
    }

    /// The lens looked at in one sentence.
    pub fn message(&self) -> String {
        words::lens_message(&self.strategies, self.reach.half_s, self.reach.tracked_s)
    }
}
