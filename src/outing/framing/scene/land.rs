//! The land in the frame: ground, ridge line, and scales along the edges.
//!
//! The frame is sampled column by column, so that any tilt and any projection is drawn correctly.

use crate::angle::Angle;
use crate::camera::view::SensorPoint;
use crate::land::ridge::RidgeLine;
use crate::outing::framing::scene::{Place, Scene};
use crate::vector::Vector;

/// How closely the land is followed in the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LandDetail {
    /// For a picture at rest.
    Fine,
    /// For small pictures, and while something changes.
    Coarse,
}

impl LandDetail {
    /// Columns in which it is sampled, less one.
    const fn columns(self) -> usize {
        match self {
            Self::Fine => 110,
            Self::Coarse => 44,
        }
    }

    /// Samples in a column at which land is distinguished from sky, less one.
    const fn rows(self) -> usize {
        match self {
            Self::Fine => 24,
            Self::Coarse => 14,
        }
    }
}

/// Bisections of an edge between two samples of a column, before a straight line between the last
/// two: within 1/2000 of the height also where the ridge line has a corner.
const HALVINGS: usize = 4;

/// The same at the edge of the lens's image, beyond which there is nothing to draw a line to.
const HALVINGS_AT_RIM: usize = 9;

/// Most numbers along an edge.
const MOST_NUMBERS: f64 = 5.0;

/// Degrees between numbers.
const STEPS: [f64; 9] = [0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 45.0, 90.0];

/// The land, in fractions of the frame.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Land {
    /// Areas below the ridge line.
    pub ridge: Vec<Vec<Place>>,
    /// Areas below both the flat horizon and the ridge line.
    pub ground: Vec<Vec<Place>>,
    /// The ridge line where it was sighted.
    pub sighted: Vec<Vec<Place>>,
    /// The line where nothing was sighted.
    pub unsighted: Vec<Vec<Place>>,
    /// Bearings along the lower edge: position from the left, and degrees.
    pub bearings: Vec<(f64, f64)>,
    /// Altitudes along the left edge: position from the top, and degrees.
    pub heights: Vec<(f64, f64)>,
}

/// Direction of a line of sight in east, north, up; `None` where the lens has no image.
type Sight = Option<Vector>;

/// A step's share of all.
fn share(step: usize, steps: usize) -> f64 {
    step as f64 / steps as f64
}

/// Altitude of a direction, degrees.
fn altitude_deg(sight: Vector) -> f64 {
    let level = (sight.x * sight.x + sight.y * sight.y).sqrt();
    sight.z.atan2(level).to_degrees()
}

/// True bearing of a direction.
fn bearing(sight: Vector) -> Angle {
    Angle::from_degrees(sight.x.atan2(sight.y).to_degrees().rem_euclid(360.0))
}

/// What counts as land: all below the ridge line, or only what is below the flat horizon too.
struct Cover<'a> {
    ridge: &'a RidgeLine,
    ground_only: bool,
    /// Sines of altitudes below and above which all is land and sky, whatever the bearing: for most
    /// sights no angle is computed.
    all_land: f64,
    all_sky: f64,
}

impl<'a> Cover<'a> {
    fn new(ridge: &'a RidgeLine, ground_only: bool) -> Self {
        let (least, most) = ridge.least_and_most();
        // there is no ground in front of the sky where the skyline is below level
        let level = if ground_only { 0.0 } else { f64::INFINITY };
        Self {
            ridge,
            ground_only,
            all_land: least.sin().min(level),
            all_sky: most.sin().min(level),
        }
    }

    /// Altitude of a sight above the land's edge, degrees.
    fn over(&self, sight: Vector) -> f64 {
        let altitude = altitude_deg(sight);
        let over = altitude - self.ridge.height(bearing(sight)).degrees();
        if self.ground_only {
            over.max(altitude)
        } else {
            over
        }
    }

    fn is_land(&self, sight: Sight) -> bool {
        sight.is_some_and(|sight| {
            sight.z < self.all_land || (sight.z <= self.all_sky && self.over(sight) < 0.0)
        })
    }
}

/// Land in a column from one place down to another; whether each end is an edge of the land instead
/// of the frame.
#[derive(Clone, Copy)]
struct Stretch {
    top: (f64, bool),
    foot: (f64, bool),
}

impl Scene<'_> {
    /// The land in the frame.
    pub fn land(&self, ridge: &RidgeLine, detail: LandDetail) -> Land {
        let (count, down) = (detail.columns(), detail.rows());
        let rows: Vec<Vec<Sight>> = (0..=count)
            .map(|column| {
                let x = share(column, count);
                (0..=down)
                    .map(|row| self.sight(x, share(row, down)))
                    .collect()
            })
            .collect();
        let columns = self.columns(&rows, &Cover::new(ridge, false));
        let mut land = Land {
            ridge: areas(&columns),
            ground: areas(&self.columns(&rows, &Cover::new(ridge, true))),
            ..Land::default()
        };
        for line in edges(&columns) {
            let looked = line.into_iter().map(|(x, y)| {
                let sight = self.sight(x, y);
                let sighted = sight.is_some_and(|sight| ridge.sighted(bearing(sight)));
                (sighted, (x, y))
            });
            let looked: Vec<(bool, Place)> = looked.collect();
            for piece in looked.chunk_by(|(a, _), (b, _)| a == b) {
                let kind = if piece[0].0 {
                    &mut land.sighted
                } else {
                    &mut land.unsighted
                };
                kind.push(piece.iter().map(|(_, place)| *place).collect());
            }
        }
        let along = |at: &dyn Fn(f64) -> Sight, which: fn(Vector) -> f64| {
            let values = (0..=count).map(|step| at(share(step, count)).map(which));
            numbers(&values.collect::<Vec<_>>())
        };
        land.bearings = along(&|x| self.sight(x, 1.0), |sight| bearing(sight).degrees());
        land.heights = along(&|y| self.sight(0.0, y), altitude_deg);
        land
    }

    /// The line of sight at a place of the frame.
    fn sight(&self, x: f64, y: f64) -> Sight {
        let point = SensorPoint {
            x_mm: (x - 0.5) * self.view.sensor.width_mm,
            y_mm: (0.5 - y) * self.view.sensor.height_mm,
        };
        self.view
            .direction_at(point)
            .map(|seen| self.view.to_enu(seen))
    }

    /// The land in each column.
    fn columns(&self, rows: &[Vec<Sight>], cover: &Cover<'_>) -> Vec<Vec<Stretch>> {
        let mut columns = Vec::with_capacity(rows.len());
        for (column, sights) in rows.iter().enumerate() {
            let x = share(column, rows.len() - 1);
            let land: Vec<bool> = sights.iter().map(|sight| cover.is_land(*sight)).collect();
            let mut found = Vec::new();
            let mut open = land[0].then_some((0.0, false));
            let down = sights.len() - 1;
            for row in 1..=down {
                if land[row - 1] == land[row] {
                    continue;
                }
                let within_image = sights[row - 1].is_some() && sights[row].is_some();
                let [high, low] = [row - 1, row].map(|row| share(row, down));
                let y = self.edge(x, (high, low), (cover, land[row - 1], within_image));
                let edge = (y, within_image);
                match open.take() {
                    Some(top) => found.push(Stretch { top, foot: edge }),
                    None => open = Some(edge),
                }
            }
            if let Some(top) = open {
                let foot = (1.0, false);
                found.push(Stretch { top, foot });
            }
            columns.push(found);
        }
        columns
    }

    /// Where the land begins or ends in a column, between a place and a lower one; whether the
    /// higher is land, and whether both are within the lens's image.
    fn edge(
        &self,
        x: f64,
        (mut high, mut low): (f64, f64),
        (cover, land_above, within_image): (&Cover<'_>, bool, bool),
    ) -> f64 {
        let halvings = if within_image {
            HALVINGS
        } else {
            HALVINGS_AT_RIM
        };
        for _ in 0..halvings {
            let middle = (high + low) / 2.0;
            if cover.is_land(self.sight(x, middle)) == land_above {
                high = middle;
            } else {
                low = middle;
            }
        }
        let over = |y: f64| Some(cover.over(self.sight(x, y)?));
        match (over(high), over(low)) {
            (Some(above), Some(below)) if above != below => {
                let way = (above / (above - below)).clamp(0.0, 1.0);
                high + (low - high) * way
            }
            _ => low,
        }
    }
}

/// Neighbouring columns with equally many stretches form areas.
fn areas(columns: &[Vec<Stretch>]) -> Vec<Vec<Place>> {
    let mut found = Vec::new();
    let mut start = 0;
    while start < columns.len() {
        let count = columns[start].len();
        let alike = columns[start..].iter().take_while(|c| c.len() == count);
        let end = start + alike.count();
        let last = columns.len() - 1;
        let x = |column: usize| share(column.min(last), last);
        let alike = &columns[start..end];
        for which in 0..count {
            let edge = |foot: bool| {
                let edge = alike.iter().enumerate().map(move |(column, stretches)| {
                    let Stretch { top, foot: low } = stretches[which];
                    (x(start + column), if foot { low.0 } else { top.0 })
                });
                // to the neighbour's edge, so that there is no visible gap
                let last = alike[alike.len() - 1][which];
                let y = if foot { last.foot.0 } else { last.top.0 };
                edge.chain([(x(end), y)])
            };
            let mut area: Vec<Place> = edge(false).collect();
            area.extend(edge(true).collect::<Vec<_>>().into_iter().rev());
            found.push(area);
        }
        start = end;
    }
    found
}

/// The lines between land and sky.
fn edges(columns: &[Vec<Stretch>]) -> Vec<Vec<Place>> {
    let most = columns.iter().map(Vec::len).max().unwrap_or(0);
    let mut lines = Vec::new();
    for which in 0..most {
        for end in [
            |stretch: &Stretch| stretch.top,
            |stretch: &Stretch| stretch.foot,
        ] {
            let mut line = Vec::new();
            for (column, stretches) in columns.iter().enumerate() {
                match stretches.get(which).map(end) {
                    Some((y, true)) => line.push((share(column, columns.len() - 1), y)),
                    _ => lines.push(std::mem::take(&mut line)),
                }
            }
            lines.push(line);
        }
    }
    lines.retain(|line| line.len() > 1);
    lines
}

/// Round numbers along an edge that has these values at even steps, and their positions.
fn numbers(values: &[Option<f64>]) -> Vec<(f64, f64)> {
    // bearings wrap around; neighbours differ by less than half a turn
    let apart = |from: f64, to: f64| (to - from + 540.0).rem_euclid(360.0) - 180.0;
    let passed = |pair: &[Option<f64>]| Some((pair[0]?, apart(pair[0]?, pair[1]?)));
    let mut whole = 0.0;
    for (_, turn) in values.windows(2).filter_map(passed) {
        whole += turn.abs();
    }
    let few = |step: &&f64| whole / **step <= MOST_NUMBERS;
    let step = STEPS.iter().find(few).copied().unwrap_or(90.0);
    let mut found = Vec::new();
    for (place, pair) in values.windows(2).enumerate() {
        let Some((from, turn)) = passed(pair) else {
            continue;
        };
        // a small offset, so that a number exactly at a sample is passed once
        const HAIR: f64 = 1e-6;
        let steps = [from, from + turn].map(|value| ((value + HAIR) / step).floor());
        if steps[0] != steps[1] && turn.abs() < 60.0 {
            let round = steps[0].max(steps[1]) * step;
            let along = (place as f64 + (round - from) / turn) / (values.len() - 1) as f64;
            found.push((along, round));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::frame::Frame;
    use crate::camera::lens::Projection;
    use crate::land::ridge::Sighting;
    use crate::outing::night::site_sky::SiteSky;
    use crate::outing::plan::Outing;

    fn land(tilt: f64, projection: Projection, focal_mm: f64, ridge: &RidgeLine) -> Land {
        let mut outing = Outing::default();
        outing.kit.lens.projection = projection;
        outing.kit.lens.focal_mm = focal_mm;
        outing.frame = Some(Frame {
            bearing: Angle::from_degrees(180.0),
            tilt: Angle::from_degrees(tilt),
            roll: Angle::ZERO,
        });
        let date = chrono::NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
        let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
        Scene::new(&outing, &site_sky, site_sky.night(date)).land(ridge, LandDetail::Fine)
    }

    /// 20 mm level on 24 mm: the horizon crosses the middle, and a ridge of 10° is 20 tan 10° =
    /// 3.527 mm above it, all the more to the sides, where it is a curve: y = f tan h / cos of the
    /// turn.
    #[test]
    fn a_level_ridge_stands_where_the_projection_puts_it() {
        let ridge = RidgeLine::level(Angle::from_degrees(10.0));
        let land = land(0.0, Projection::Rectilinear, 20.0, &ridge);
        let line = &land.unsighted[0];
        assert_eq!(line.len(), LandDetail::Fine.columns() + 1);
        for (x, y) in line {
            let x_mm = (x - 0.5) * 36.0;
            let up_mm = 20.0_f64.hypot(x_mm) * 10.0_f64.to_radians().tan();
            let want = 0.5 - up_mm / 24.0;
            assert!((y - want).abs() < 2e-4, "{x}: {y}, want {want}");
        }
        assert_eq!(land.sighted, Vec::<Vec<Place>>::new());
        assert_eq!((land.ridge.len(), land.ground.len()), (1, 1));
        // 36 mm at 20 mm are 84°, and 24 mm in height are 62°
        let bearings: Vec<f64> = land.bearings.iter().map(|mark| mark.1).collect();
        assert_eq!(bearings, [150.0, 180.0, 210.0]);
        assert!((land.bearings[1].0 - 0.5).abs() < 1e-9);
        let heights: Vec<f64> = land.heights.iter().map(|mark| mark.1).collect();
        // the left edge is 27 mm away: atan(12 / 27) is 24°
        assert_eq!(heights, [20.0, 10.0, 0.0, -10.0, -20.0]);
    }

    /// Below level there is no ground in front of the sky, for a horizon and for a sighting: both
    /// end at the ridge line, 20 tan(−3°) from the middle.
    #[test]
    fn a_horizon_below_level_has_no_ground_before_the_sky() {
        let ridge = RidgeLine::level(Angle::from_degrees(-3.0));
        let land = land(0.0, Projection::Rectilinear, 20.0, &ridge);
        assert_eq!((land.ridge.len(), land.ground.len()), (1, 1));
        assert_eq!(land.ridge, land.ground);
        let top = land.unsighted[0][LandDetail::Fine.columns() / 2].1;
        let want = 0.5 + 20.0 * 3.0_f64.to_radians().tan() / 24.0;
        assert!((top - want).abs() < 2e-4, "{top}, want {want}");
    }

    /// Coarsely followed, the line between two of the columns is off by no more than the bend of
    /// the ridge within one.
    #[test]
    fn coarse_land_is_near_the_fine() {
        // wider than the frame: beyond the last of them the line falls to level at once
        let points = [90.0, 148.0, 172.0, 185.0, 200.0, 230.0, 300.0];
        let heights = [4.0, 8.0, 12.0, 3.0, 6.0, 9.0, 5.0];
        let sightings = points
            .into_iter()
            .zip(heights)
            .map(|(bearing, height)| Sighting {
                bearing: Angle::from_degrees(bearing),
                height: Angle::from_degrees(height),
            });
        let outing = Outing::default();
        let date = chrono::NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
        let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
        let scene = Scene::new(&outing, &site_sky, site_sky.night(date));
        let ridge = RidgeLine::new(Angle::ZERO, sightings);
        let [fine, coarse] =
            [LandDetail::Fine, LandDetail::Coarse].map(|detail| scene.land(&ridge, detail));
        assert_eq!(fine.ridge.len(), coarse.ridge.len());
        let top = |land: &Land, x: f64| {
            let above = land.ridge[0]
                .windows(2)
                .find(|pair| pair[0].0 <= x && x <= pair[1].0);
            let pair = above.expect("land at every place");
            let way = (x - pair[0].0) / (pair[1].0 - pair[0].0).max(1e-9);
            pair[0].1 + (pair[1].1 - pair[0].1) * way
        };
        for step in 0..100 {
            let x = share(step, 100);
            let (fine, coarse) = (top(&fine, x), top(&coarse, x));
            assert!((fine - coarse).abs() < 0.01, "{x}: {fine}, {coarse}");
        }
    }

    #[test]
    fn what_nobody_looked_at_is_told_apart() {
        let points = [(170.0, 8.0), (190.0, 12.0)].map(|(bearing, height)| Sighting {
            bearing: Angle::from_degrees(bearing),
            height: Angle::from_degrees(height),
        });
        let ridge = RidgeLine::new(Angle::ZERO, points);
        let land = land(10.0, Projection::Rectilinear, 20.0, &ridge);
        assert_eq!((land.sighted.len(), land.unsighted.len()), (1, 2));
    }

    /// Turning camera and land together does not change the picture.
    #[test]
    fn turned_together_nothing_changes() {
        let angle = Angle::from_degrees;
        let points = [(150.0, 8.0), (185.0, 12.0), (200.0, 3.0)];
        let seen = |turn: f64| {
            let sightings = points.map(|(bearing, height)| Sighting {
                bearing: angle(bearing + turn),
                height: angle(height),
            });
            let outing = Outing {
                frame: Some(Frame {
                    bearing: angle(175.0 + turn),
                    tilt: angle(8.0),
                    roll: angle(5.0),
                }),
                ..Outing::default()
            };
            let date = chrono::NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
            let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
            let scene = Scene::new(&outing, &site_sky, site_sky.night(date));
            scene.land(&RidgeLine::new(angle(1.0), sightings), LandDetail::Fine)
        };
        let want = seen(0.0);
        for turn in [37.0, 111.5, 240.0, 359.0] {
            let got = seen(turn);
            let pairs = [(&got.ridge, &want.ridge), (&got.sighted, &want.sighted)];
            for (got, want) in pairs {
                assert_eq!(got.len(), want.len(), "{turn}°");
                for (got, want) in got.iter().flatten().zip(want.iter().flatten()) {
                    let miss = (got.0 - want.0).hypot(got.1 - want.1);
                    assert!(miss < 1e-3, "{turn}°: {got:?}, want {want:?}");
                }
            }
        }
    }

    /// A fisheye straight up has land all round: in every column at the top and at the bottom.
    #[test]
    fn a_fisheye_straight_up_has_land_all_round() {
        let ridge = RidgeLine::level(Angle::from_degrees(25.0));
        let land = land(90.0, Projection::Equisolid, 8.0, &ridge);
        let has = |x: f64, y: f64| {
            land.ridge
                .iter()
                .flatten()
                .any(|p| (p.0 - x).abs() < 0.01 && (p.1 - y).abs() < 0.08)
        };
        assert!(has(0.5, 0.0) && has(0.5, 1.0), "{:?}", land.ridge.len());
        assert!(land.unsighted.len() >= 2);
        for (x, y) in land.unsighted.iter().flatten() {
            // 65° from the zenith: 2 f sin(65°/2)
            let from_middle = ((x - 0.5) * 36.0).hypot((y - 0.5) * 24.0);
            let want = 16.0 * 32.5_f64.to_radians().sin();
            assert!(
                (from_middle - want).abs() < 0.05,
                "{from_middle}, want {want}"
            );
        }
    }
}
