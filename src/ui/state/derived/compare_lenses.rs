//! The same place through three lenses: the photographer's own, and ordinary ones where these are fewer.

use std::rc::Rc;

use chrono::NaiveDate;

use super::scene::FramedScene;
use super::sky_images::{Grain, frame_image};
use super::{AnswerInputs, Derived};
use crate::angle::Angle;
use crate::camera::clean_time::CleanTime;
use crate::camera::coverage::FrameCoverage;
use crate::camera::dial::DialTime;
use crate::camera::lens::Lens;
use crate::outing::exposure::Answer;
use crate::outing::plan::Outing;
use crate::outing::plan::kit::Kit;
use crate::ui::layout::Size;
use crate::ui::state::State;
use crate::ui::widgets::sky_canvas::SkyImage;

/// Most lenses compared.
const MOST_LENSES: usize = 3;

/// Focal lengths that lenses are made with, mm (common practice).
const ORDINARY_MM: [f64; 11] = [
    7.0, 9.0, 12.0, 14.0, 16.0, 20.0, 24.0, 35.0, 50.0, 85.0, 135.0,
];

/// An ordinary focal length worth comparing is longer or shorter by at least this factor.
const APART: f64 = 1.3;

/// Focal lengths closer than this, relative, count as one.
pub(super) const SAME_FOCAL: f64 = 0.02;

/// A lens on the body in use.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedLens {
    /// The lens, at its widest aperture; the one in use at the f-number in use.
    pub lens: Lens,
    /// Whether it is the one in use.
    pub in_use: bool,
    /// Whether it is the photographer's own: in use or saved.
    pub own: bool,
    /// The answer with it: view, longest shutter, that of the core and of the whole frame. With a
    /// chosen frame it has the same aim, otherwise its own default frame.
    pub answer: Answer,
    /// Dial time of the core.
    pub core_dial: DialTime,
    /// Dial time of the whole frame.
    pub frame_dial: DialTime,
    /// Angles of view between the ends of the frame's level and upright middle lines, as the camera
    /// is held; `None` where the lens has no image there.
    pub field_of_view: Option<(Angle, Angle)>,
}

/// What the lenses compared depend on. With a chosen frame the skyline and the limits are not
/// among it.
#[derive(Debug, Clone, PartialEq)]
pub struct CompareInputs {
    outing: AnswerInputs,
    lenses: Vec<Candidate>,
}

/// A lens and what it frames.
#[derive(Debug, Clone)]
pub struct LensPicture {
    /// The lens.
    pub compared: ComparedLens,
    /// Land, path, core and Moon.
    pub scene: FramedScene,
    /// The sky.
    pub image: Rc<SkyImage>,
}

/// The lenses compared as pictures of a size.
#[derive(Debug, Clone)]
pub struct LensPictures {
    /// Size of each, px.
    pub size: Size,
    /// Shortest lens first.
    pub pictures: Vec<LensPicture>,
}

/// What [`LensPictures`] depend on. Of the night its date and the minute looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct LensPicturesInputs {
    outing: Outing,
    lenses: Vec<Candidate>,
    at: (NaiveDate, u16),
    size: Size,
}

/// A lens to be compared.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Candidate {
    lens: Lens,
    own: bool,
}

/// The photographer's own lenses, and where these are fewer than three, ordinary ones shorter than all
/// of them and longer, at the f-number in use; by focal length.
fn candidates(outing: &Outing, kits: &[Kit]) -> Vec<Candidate> {
    let own = own_lenses(outing, kits);
    let ends = own.first().zip(own.last());
    let (shortest, longest) =
        ends.map_or((0.0, 0.0), |(first, last)| (first.focal_mm, last.focal_mm));
    let shorter = |it: &&f64| **it * APART <= shortest;
    let longer = |it: &&f64| **it >= longest * APART;
    let ordinary = |focal_mm: &f64| Candidate {
        lens: Lens {
            focal_mm: *focal_mm,
            f_number: outing.f_number,
            ..Lens::default()
        },
        own: false,
    };
    let shorter = ORDINARY_MM.iter().rfind(shorter).map(ordinary);
    let longer = ORDINARY_MM.iter().find(longer).map(ordinary);
    let mut all: Vec<Candidate> = own
        .into_iter()
        .map(|lens| Candidate { lens, own: true })
        .collect();
    // a longer one first: it shows why a tracker may be wanted
    if all.len() < MOST_LENSES {
        all.extend(longer);
    }
    if all.len() < MOST_LENSES {
        all.splice(0..0, shorter);
    }
    all
}

/// Lenses of the saved kits and the one in use on the body in use, by focal length: the one in use
/// and its neighbours, at most three, each focal length once.
fn own_lenses(outing: &Outing, kits: &[Kit]) -> Vec<Lens> {
    let in_use = outing.lens();
    let mut lenses = vec![in_use];
    for kit in kits {
        let lens = kit.with_sensor(outing.kit.sensor).lens;
        let same = |other: &Lens| (lens.focal_mm / other.focal_mm - 1.0).abs() < SAME_FOCAL;
        if !lenses.iter().any(same) {
            lenses.push(lens);
        }
    }
    let longer = |lens: &Lens| {
        lenses
            .iter()
            .filter(|it| it.focal_mm < lens.focal_mm)
            .count()
    };
    let mut order: Vec<(usize, Lens)> = lenses.iter().map(|it| (longer(it), *it)).collect();
    // the one in use in the middle, as far as there are lenses on both sides
    let most = order.len().saturating_sub(MOST_LENSES);
    let first = longer(&in_use).saturating_sub(1).min(most);
    order.retain(|(place, _)| (first..first + MOST_LENSES).contains(place));
    let mut sorted = Vec::new();
    for place in first..first + MOST_LENSES {
        sorted.extend(order.iter().filter(|it| it.0 == place).map(|it| it.1));
    }
    sorted
}

impl ComparedLens {
    fn new(outing: &Outing, Candidate { lens, own }: Candidate) -> Self {
        let in_use = lens == outing.lens();
        let mut there = outing.clone();
        there.f_number = lens.f_number;
        there.kit.lens = lens;
        let answer = Answer::compute(&there);
        let dial = |time: CleanTime| DialTime::new(time);
        let cover = FrameCoverage::new(answer.view.sensor, lens);
        Self {
            lens,
            in_use,
            own,
            core_dial: dial(answer.clean_core),
            frame_dial: dial(answer.clean_frame),
            field_of_view: cover.map(|cover| (cover.width(Angle::ZERO), cover.height())),
            answer,
        }
    }
}

impl Derived {
    /// Three lenses, shortest first, with the one in use among them: the photographer's own, and
    /// ordinary ones where fewer are saved.
    pub fn compare_lenses(&self, state: &State) -> Rc<Vec<ComparedLens>> {
        let document = state.document();
        let inputs = CompareInputs {
            outing: AnswerInputs::new(&document.outing),
            lenses: candidates(&document.outing, &document.kits),
        };
        self.compared_lenses.get(inputs, |inputs| {
            let compared = |of: &Candidate| ComparedLens::new(&inputs.outing.0, *of);
            inputs.lenses.iter().map(compared).collect()
        })
    }
}

impl Derived {
    /// The same as pictures, each as large as it fits into `room`. While the sky is dragged they
    /// lag behind.
    pub fn lens_pictures(&self, state: &State, room: Size) -> Rc<LensPictures> {
        if state.framing.dragging
            && let Some(last) = self.lens_pictures.last()
        {
            return last;
        }
        let document = state.document();
        let outing = &document.outing;
        let selected = self.night(state);
        let sensor = outing.held_sensor();
        let inputs = LensPicturesInputs {
            outing: outing.clone(),
            lenses: candidates(outing, &document.kits),
            at: (selected.night.date, selected.minute),
            size: room.fitted(sensor.width_mm / sensor.height_mm),
        };
        self.lens_pictures.get(inputs, |inputs| {
            let band = self.night_band(state);
            let (site, size) = (&outing.site, inputs.size);
            let picture = |compared: &ComparedLens| {
                let view = compared.answer.view;
                LensPicture {
                    compared: compared.clone(),
                    scene: FramedScene::new((outing, view), &selected, &band),
                    image: Rc::new(frame_image(site, &selected, view, size, Grain::Small)),
                }
            };
            LensPictures {
                size,
                pictures: self.compare_lenses(state).iter().map(picture).collect(),
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::frame::Frame;

    fn kit(focal_mm: f64) -> Kit {
        let mut kit = Kit::default();
        kit.lens.focal_mm = focal_mm;
        kit
    }

    fn focal_lengths(own_mm: f64, saved_mm: &[f64]) -> Vec<f64> {
        let outing = Outing {
            kit: kit(own_mm),
            ..Outing::default()
        };
        let kits: Vec<Kit> = saved_mm.iter().map(|it| kit(*it)).collect();
        let lenses = own_lenses(&outing, &kits);
        lenses.iter().map(|lens| lens.focal_mm).collect()
    }

    #[test]
    fn the_lens_in_use_and_its_neighbours() {
        assert_eq!(focal_lengths(20.0, &[]), [20.0]);
        assert_eq!(focal_lengths(20.0, &[20.1, 20.0]), [20.0]);
        assert_eq!(focal_lengths(20.0, &[50.0, 14.0]), [14.0, 20.0, 50.0]);
        let many = [85.0, 50.0, 14.0, 35.0, 24.0, 24.0];
        assert_eq!(focal_lengths(24.0, &many), [14.0, 24.0, 35.0]);
        assert_eq!(focal_lengths(14.0, &many), [14.0, 24.0, 35.0]);
        assert_eq!(focal_lengths(85.0, &many), [35.0, 50.0, 85.0]);
    }

    /// Ordinary lenses fill up what is missing, one on either side as far as there are any.
    #[test]
    fn ordinary_lenses_stand_beside_few_of_ones_own() {
        let shown = |own_mm: f64, saved_mm: &[f64]| {
            let outing = Outing {
                kit: kit(own_mm),
                ..Outing::default()
            };
            let kits: Vec<Kit> = saved_mm.iter().map(|it| kit(*it)).collect();
            let all = candidates(&outing, &kits);
            let mark = |it: &Candidate| {
                if it.own {
                    it.lens.focal_mm
                } else {
                    -it.lens.focal_mm
                }
            };
            all.iter().map(mark).collect::<Vec<_>>()
        };
        assert_eq!(shown(20.0, &[]), [-14.0, 20.0, -35.0]);
        assert_eq!(shown(9.0, &[]), [9.0, -12.0]);
        assert_eq!(shown(20.0, &[24.0]), [20.0, 24.0, -35.0]);
        assert_eq!(shown(200.0, &[]), [-135.0, 200.0]);
        assert_eq!(shown(14.0, &[20.0, 50.0]), [14.0, 20.0, 50.0]);
    }

    /// The longer the lens, the shorter the shutter and the narrower the view: 2 atan(18/f) for the
    /// width of full frame. A chosen frame is the same for all.
    #[test]
    fn each_has_its_own_answer() {
        let frame = Frame {
            bearing: Angle::from_degrees(170.0),
            tilt: Angle::from_degrees(20.0),
            roll: Angle::ZERO,
        };
        for frame in [None, Some(frame)] {
            let outing = Outing {
                frame,
                ..Outing::default()
            };
            let compared: Vec<ComparedLens> = candidates(&outing, &[kit(14.0), kit(35.0)])
                .into_iter()
                .map(|of| ComparedLens::new(&outing, of))
                .collect();
            assert_eq!(compared.len(), 3);
            for (lens, focal_mm) in compared.iter().zip([14.0, 20.0, 35.0_f64]) {
                let (width, _) = lens.field_of_view.expect("an image");
                let want = 2.0 * (18.0 / focal_mm).atan();
                assert!(
                    (width.radians() - want).abs() < 1e-6,
                    "{focal_mm}: {width:?}"
                );
                assert_eq!(lens.in_use, focal_mm == 20.0);
                assert!(lens.answer.target_at.is_some(), "{focal_mm}");
            }
            let seconds = compared.iter().map(|it| it.answer.clean_core.seconds());
            let seconds: Vec<f64> = seconds.map(|it| it.expect("a limit")).collect();
            assert!(
                seconds[0] > seconds[1] && seconds[1] > seconds[2],
                "{seconds:?}"
            );
        }
    }
}
