//! The light of stars on the pixels: trails, coma, discs, a knocked camera.

use super::{DrawnStar, Scene};

/// Samples of a trail to a px, in focus and where discs smooth them.
const SAMPLES_PER_PX: f64 = 4.0;
const SAMPLES_OF_DISCS_PER_PX: f64 = 2.0;

impl Scene {
    /// Adds a star to a channel.
    pub(super) fn draw(&self, star: &DrawnStar, channel: usize, plane: &mut [f32]) {
        let corner = 0.5 * (self.width as f64).hypot(self.height as f64);
        let (dx, dy) = (star.at.x_px - self.centre.0, star.at.y_px - self.centre.1);
        let scale = [self.lateral_colour, 0.0, -self.lateral_colour][channel];
        let (x, y) = (star.at.x_px + scale * dx, star.at.y_px + scale * dy);
        let field = dx.hypot(dy) / corner;
        let radial = self.coma_px * field * field;
        let (ux, uy) = (dx / dx.hypot(dy).max(1.0), dy / dx.hypot(dy).max(1.0));
        let mut spots: Vec<(f64, f64, f64)> = Vec::new();
        let stands = match self.knock {
            Some((right, down, part)) => vec![(0.0, 0.0, 1.0 - part), (right, down, part)],
            None => vec![(0.0, 0.0, 1.0)],
        };
        let trail = if self.tracked { (0.0, 0.0) } else { star.trail };
        let askew = self.askew_px * (1.0 - star.at.x_px / self.width as f64);
        let disc_px = self.disc_px + askew.clamp(0.0, self.askew_px.abs());
        let samples = if disc_px > self.sigma_px {
            SAMPLES_OF_DISCS_PER_PX
        } else {
            SAMPLES_PER_PX
        };
        let steps = (trail.0.hypot(trail.1) * samples).ceil().max(1.0);
        let coma_steps = (radial * samples).ceil().max(1.0);
        for (right, down, part) in stands {
            for step in 0..steps as usize {
                let along = (step as f64 + 0.5) / steps - 0.5;
                for coma in 0..coma_steps as usize {
                    let outward = radial * ((coma as f64 + 0.5) / coma_steps - 0.5);
                    spots.push((
                        x + right + along * trail.0 + outward * ux,
                        y + down + along * trail.1 + outward * uy,
                        part * star.electrons / (steps * coma_steps),
                    ));
                }
            }
        }
        for (x, y, electrons) in spots {
            self.spot((x, y), disc_px, electrons, plane);
        }
    }

    fn spot(&self, (x, y): (f64, f64), disc_px: f64, electrons: f64, plane: &mut [f32]) {
        // a disc smaller than a star in focus is none
        let is_disc = disc_px > self.sigma_px;
        let reach = disc_px + 5.0 * self.sigma_px + 1.0;
        let columns =
            (x - reach).max(0.0) as usize..((x + reach).ceil().max(0.0) as usize).min(self.width);
        let rows =
            (y - reach).max(0.0) as usize..((y + reach).ceil().max(0.0) as usize).min(self.height);
        // pixels are integrated by four by four points
        let points = [-0.375, -0.125, 0.125, 0.375];
        // the disc's area and what its soft edge adds
        let area = std::f64::consts::PI * (disc_px.powi(2) + (1.066 * self.sigma_px).powi(2));
        let norm = if is_disc {
            electrons / area / 16.0
        } else {
            electrons / (std::f64::consts::TAU * self.sigma_px.powi(2)) / 16.0
        };
        for row in rows {
            for column in columns.clone() {
                let mut sum = 0.0;
                for down in points {
                    for right in points {
                        let dx = column as f64 + 0.5 + right - x;
                        let dy = row as f64 + 0.5 + down - y;
                        let square = dx * dx + dy * dy;
                        sum += if is_disc {
                            let beyond = (square.sqrt() - disc_px) / self.sigma_px;
                            1.0 / (1.0 + (1.702 * beyond).exp())
                        } else {
                            (-0.5 * square / self.sigma_px.powi(2)).exp()
                        };
                    }
                }
                plane[row * self.width + column] += (norm * sum) as f32;
            }
        }
    }
}
