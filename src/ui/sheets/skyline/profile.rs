//! The picture of the skyline.

use yew::prelude::*;

use crate::angle::Angle;
use crate::decimal::fixed;
use crate::land::ridge::RidgeLine;
use crate::ui::widgets::svg_path::SvgPath;

/// Width and height of the picture; across, a unit is a degree of bearing.
const SIZE: (f64, f64) = (360.0, 90.0);

/// Room for the names of the directions below the line.
const NAMES: f64 = 14.0;

/// Room above the line and below it.
const ROOM: f64 = 20.0;

/// The least height that the picture spans, degrees.
const SPAN_DEG: f64 = 15.0;

/// The whole circle, north at both ends: firm where it was sighted, else dashed.
pub fn profile(ridge: &RidgeLine) -> Html {
    let scale = Scale::new(ridge);
    let (firm, dashed) = outline(ridge, &scale);
    let label = match ridge.sightings().len() {
        0 => "the skyline: nobody has looked yet".to_owned(),
        count => format!("the skyline: {count} sightings, dashed where nobody has looked"),
    };
    html! {
        <svg class="lens round" role="img" viewBox="0 0 360 90" aria-label={label}>
            { names() }
            if scale.least_deg < 0.0 {
                // distinguishes what lies below level
                <path class="drift" d={level(&scale)} />
            }
            <path class="unsighted" d={dashed} />
            <path class="sighted" d={firm} />
        </svg>
    }
}

/// Heights on the picture.
struct Scale {
    least_deg: f64,
    most_deg: f64,
}

impl Scale {
    fn new(ridge: &RidgeLine) -> Self {
        let (least, most) = ridge.least_and_most();
        Self {
            least_deg: least.degrees().min(0.0),
            most_deg: most.degrees().max(SPAN_DEG),
        }
    }

    fn y(&self, height: Angle) -> f64 {
        let share = (height.degrees() - self.least_deg) / (self.most_deg - self.least_deg);
        SIZE.1 - NAMES - share * (SIZE.1 - ROOM)
    }
}

/// The outline, degree by degree: where it was sighted, and where not.
fn outline(ridge: &RidgeLine, scale: &Scale) -> (String, String) {
    let [mut firm, mut dashed] = [SvgPath::default(), SvgPath::default()];
    let mut before = None;
    for bearing in 0..360 {
        let ends = [bearing, bearing + 1].map(|at| {
            let at = f64::from(at);
            let height = ridge.height(Angle::from_degrees(at % 360.0));
            (at, scale.y(height))
        });
        let sighted = ridge.sighted(Angle::from_degrees(f64::from(bearing) + 0.5));
        let path = if sighted { &mut firm } else { &mut dashed };
        if before != Some(sighted) {
            path.move_to(ends[0]);
        }
        path.line_to(ends[1]);
        before = Some(sighted);
    }
    (firm.finish(), dashed.finish())
}

/// A line at level.
fn level(scale: &Scale) -> String {
    let y = scale.y(Angle::ZERO);
    let mut path = SvgPath::default();
    path.move_to((0.0, y)).line_to((SIZE.0, y));
    path.finish()
}

/// The names of the directions along the lower edge.
fn names() -> Html {
    /// Half the width of a name, so that those at the ends are whole.
    const HALF_NAME: f64 = 7.0;
    let names = [
        (0.0, "N"),
        (90.0, "E"),
        (180.0, "S"),
        (270.0, "W"),
        (360.0, "N"),
    ];
    let name = |(bearing_deg, name): (f64, &'static str)| {
        let x = bearing_deg.clamp(HALF_NAME, SIZE.0 - HALF_NAME);
        html! {
            <text text-anchor="middle" x={fixed(x, 0)} y={fixed(SIZE.1 - 1.0, 0)}>{ name }</text>
        }
    };
    names.map(name).into_iter().collect()
}
